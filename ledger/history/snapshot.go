package history

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"tenths/ledger/source"
)

// ErrUnmerged says that the index holds files with unresolved conflicts. The
// error is always an *UnmergedError.
var ErrUnmerged = errors.New("unresolved merge conflicts")

// UnmergedError names the files in conflict, relative to the ledger, sorted.
type UnmergedError struct{ Paths []string }

func (e *UnmergedError) Error() string {
	const most = 5
	shown := e.Paths[:min(len(e.Paths), most)]
	more := ""
	if n := len(e.Paths) - len(shown); n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	return fmt.Sprintf("%s in %q%s: resolve them and \"git add\" the files", ErrUnmerged, shown, more)
}

// Unwrap makes errors.Is(err, ErrUnmerged) true.
func (e *UnmergedError) Unwrap() error { return ErrUnmerged }

// entry is a path of a snapshot and the object that it names.
type entry struct {
	path    string // relative to the ledger root
	oid     string
	kind    source.FileKind
	size    int64
	missing bool
	chunk   *chunk // nil for what is fetched alone
}

// snapshot is an immutable source.Source: the listing is taken once, the bytes
// are fetched by object name when they are read, so that later git commands do
// not change it.
type snapshot struct {
	repo   *Repo
	files  []source.File
	byPath map[string]*entry
}

// Index returns the index under prefix, the folder of the ledger relative to
// the top of the working tree ("" for the top): the whole ledger as the next
// commit will hold it. The working tree is not looked at. Files added with
// intent-to-add are left out, as the commit leaves them out. Links are listed as
// source.Symlink, submodules as source.Other. Bytes are as git stores them,
// before any line-end conversion or filter.
//
// Errors: *UnmergedError, and git's own messages.
func (r *Repo) Index(prefix string) (source.Source, error) {
	prefix, err := cleanPrefix(prefix)
	if err != nil {
		return nil, err
	}
	out, err := r.run(under(prefix, "ls-files", "-s", "-z", "--full-name")...)
	if err != nil {
		return nil, err
	}
	entries, unmerged, err := parseListing(out, prefix, true)
	if err != nil {
		return nil, err
	}
	if len(unmerged) > 0 {
		return nil, &UnmergedError{Paths: unmerged}
	}
	if err := r.sizes(entries); err != nil {
		return nil, err
	}
	if entries, err = r.dropIntended(prefix, entries); err != nil {
		return nil, err
	}
	return newSnapshot(r, entries), nil
}

// At returns the ledger at a revision: a commit, tag or branch in git's
// notation. A prefix that the revision does not have gives an empty source.
func (r *Repo) At(rev, prefix string) (source.Source, error) {
	prefix, err := cleanPrefix(prefix)
	if err != nil {
		return nil, err
	}
	commit, err := r.commit(rev)
	if err != nil {
		return nil, err
	}
	out, err := r.run(under(prefix, "ls-tree", "-r", "-z", "--full-tree", commit)...)
	if err != nil {
		return nil, err
	}
	entries, _, err := parseListing(out, prefix, false)
	if err != nil {
		return nil, err
	}
	if err := r.sizes(entries); err != nil {
		return nil, err
	}
	return newSnapshot(r, entries), nil
}

// parseListing reads "ls-files -s -z" (mode, object, stage, TAB, path) or
// "ls-tree -r -z" (mode, type, object, TAB, path). Paths of dot folders and
// outside the prefix are left out; paths with a stage above 0 are unmerged.
func parseListing(out []byte, prefix string, index bool) (entries []*entry, unmerged []string, err error) {
	for record := range records(out) {
		head, name, ok := strings.Cut(record, "\t")
		fields := strings.Fields(head)
		if !ok || len(fields) != 3 {
			return nil, nil, fmt.Errorf("git listing: unexpected answer %q", record)
		}
		local, in, err := relative(prefix, name)
		if err != nil {
			return nil, nil, err
		}
		if !in || source.Hidden(local) {
			continue
		}
		object := fields[2]
		if index {
			object = fields[1]
			if fields[2] != "0" {
				if len(unmerged) == 0 || unmerged[len(unmerged)-1] != local {
					unmerged = append(unmerged, local) // the stages of a path follow each other
				}
				continue
			}
		}
		entries = append(entries, &entry{path: local, oid: object, kind: kindOf(fields[0])})
	}
	return entries, unmerged, nil
}

// commit resolves a revision. A text that git could take for an option, or for
// more than one line, never reaches it.
func (r *Repo) commit(rev string) (string, error) {
	if rev == "" || strings.HasPrefix(rev, "-") || strings.ContainsAny(rev, "\x00\n") {
		return "", fmt.Errorf("%q is not a revision: give a commit, a tag or a branch", rev)
	}
	out, err := r.run("rev-parse", "--verify", "--quiet", rev+"^{commit}")
	if err != nil {
		if r.ctx.Err() != nil {
			return "", err
		}
		if cut, err := r.Shallow(); err == nil && cut {
			return "", fmt.Errorf("no commit %q in this clone, whose history was cut off (a shallow clone); \"git fetch --unshallow --tags\" brings the rest", rev)
		}
		return "", fmt.Errorf("no commit, tag or branch %q in this repository", rev)
	}
	return strings.TrimSpace(string(out)), nil
}

// dropIntended takes out files of "git add -N". The index lists them with the
// empty object; only the comparison with HEAD tells them from files that are
// empty on purpose, and it is made only where there is an empty file.
func (r *Repo) dropIntended(prefix string, entries []*entry) ([]*entry, error) {
	empty := make(map[string]bool)
	for _, e := range entries {
		if e.kind == source.Regular && e.size == 0 && !e.missing {
			empty[e.path] = true
		}
	}
	if len(empty) == 0 {
		return entries, nil
	}
	intended := make(map[string]bool)
	visible, err := r.diff(prefix, "--ita-visible-in-index")
	if err != nil {
		return nil, err
	}
	for _, c := range visible {
		if c.status != 'D' && empty[c.path] {
			intended[c.path] = true
		}
	}
	if len(intended) == 0 {
		return entries, nil
	}
	committed, err := r.diff(prefix, "--ita-invisible-in-index")
	if err != nil {
		return nil, err
	}
	for _, c := range committed {
		if c.status != 'D' {
			delete(intended, c.path)
		}
	}
	kept := entries[:0]
	for _, e := range entries {
		if !intended[e.path] {
			kept = append(kept, e)
		}
	}
	return kept, nil
}

func newSnapshot(r *Repo, entries []*entry) *snapshot {
	s := &snapshot{repo: r, files: make([]source.File, 0, len(entries)), byPath: make(map[string]*entry, len(entries))}
	for _, e := range entries {
		s.files = append(s.files, source.File{Path: e.path, Size: e.size, Kind: e.kind})
		s.byPath[e.path] = e
	}
	source.Sort(s.files)
	group(entries)
	return s
}

func (s *snapshot) Files() ([]source.File, error) {
	return append([]source.File(nil), s.files...), nil
}

func (s *snapshot) Read(name string) ([]byte, error) {
	if err := source.CheckPath(name); err != nil {
		return nil, err
	}
	e, ok := s.byPath[name]
	switch {
	case !ok:
		return nil, source.NotExist(name)
	case e.kind == source.Symlink:
		return nil, fmt.Errorf("%q: %w: it is a symbolic link, and a ledger holds the files themselves", name, source.ErrRefused)
	case e.kind != source.Regular:
		return nil, fmt.Errorf("%q: %w: it is a repository of its own (a submodule)", name, source.ErrRefused)
	case e.missing:
		return nil, fmt.Errorf("%q: %w", name, errMissing)
	case e.size > source.MaxRead:
		return nil, &source.TooLargeError{Path: name, Size: e.size, Limit: source.MaxRead}
	}
	text, err := s.repo.text(e)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", name, err)
	}
	return text, nil
}

// kindOf reads a mode of git: 100644 and 100755 are files, 120000 a link,
// 160000 a submodule.
func kindOf(mode string) source.FileKind {
	switch {
	case strings.HasPrefix(mode, "100"):
		return source.Regular
	case mode == "120000":
		return source.Symlink
	}
	return source.Other
}

// cleanPrefix takes "", ".", "a/b" and "a/b/".
func cleanPrefix(prefix string) (string, error) {
	clean := path.Clean(prefix)
	if clean == "." {
		return "", nil
	}
	if !fs.ValidPath(clean) {
		return "", fmt.Errorf("ledger folder %q: give it relative to the top of the repository, with / and without \"..\"", prefix)
	}
	return clean, nil
}

// under limits a listing to the folder of the ledger.
func under(prefix string, args ...string) []string {
	if prefix == "" {
		return args
	}
	return append(args, "--", prefix)
}

// records yields the NUL-ended records of an answer.
func records(out []byte) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for len(out) > 0 {
			record, rest, _ := bytes.Cut(out, []byte{0})
			if !yield(string(record)) {
				return
			}
			out = rest
		}
	}
}

// relative takes the ledger's folder off a path of git, and tells whether the
// path lies in it. git does not let "..", empty or "." parts into an index;
// one that holds them was made by hand to break something.
func relative(prefix, name string) (local string, in bool, err error) {
	if !fs.ValidPath(strings.ToValidUTF8(name, "\uFFFD")) {
		return "", false, fmt.Errorf("the repository holds the impossible path %q", name)
	}
	if prefix == "" {
		return name, true, nil
	}
	local, in = strings.CutPrefix(name, prefix+"/")
	return local, in, nil
}
