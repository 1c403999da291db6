package history

import (
	"cmp"
	"context"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"maps"
	"slices"
	"sync"

	"tenths/ledger"
	"tenths/ledger/source"
)

// Past answers what the records of a ledger said in earlier commits of HEAD. It
// asks nothing of git before the first question, then walks the history once, and
// reads the texts of those files only that it is asked about. It is a
// ledger.Past.
type Past struct {
	l    *ledger.Ledger
	open func() (*Repo, string, error)

	once   sync.Once
	repo   *Repo
	walk   *walk
	err    error
	byPath map[string][]*node
	at     map[string]int // place of a commit in the walk
	moved  []string       // committed, and no longer in the ledger

	mu       sync.Mutex
	versions map[*ledger.Record][]*ledger.Version
	follows  map[[2]int]bool
}

// node is one text that a path has had.
type node struct {
	step
	path  string
	entry *entry // nil if the file was taken away
	sized bool   // its size is known
	once  sync.Once
	recs  []*ledger.Record
}

// Past is the history of a ledger in the folder prefix of the repository.
func (r *Repo) Past(prefix string, l *ledger.Ledger) *Past {
	return newPast(l, func() (*Repo, string, error) { return r, prefix, nil })
}

// PastOf is the history of the ledger in a folder. Where the folder is in no
// repository, or git cannot be asked, there is none: Err says why.
func PastOf(ctx context.Context, dir string, l *ledger.Ledger) *Past {
	return newPast(l, func() (*Repo, string, error) {
		r, err := Open(ctx, dir)
		if err != nil {
			return nil, "", err
		}
		return r, r.Prefix(), nil
	})
}

func newPast(l *ledger.Ledger, open func() (*Repo, string, error)) *Past {
	return &Past{l: l, open: open, byPath: map[string][]*node{}, at: map[string]int{}, versions: map[*ledger.Record][]*ledger.Version{}, follows: map[[2]int]bool{}}
}

// Err says why there is no history; nil if there is one.
func (p *Past) Err() error {
	p.once.Do(func() { p.err = p.load() })
	return p.err
}

func (p *Past) load() error {
	repo, prefix, err := p.open()
	if err != nil {
		return err
	}
	if prefix, err = cleanPrefix(prefix); err != nil {
		return err
	}
	if p.walk, err = repo.walk(prefix); err != nil {
		return err
	}
	p.repo = repo
	for i, c := range p.walk.commits {
		p.at[c.name] = i
	}
	// The texts of one path stand together, so that one process brings them all.
	// Where a path has had one text only, it is the one in the ledger, but for what
	// was edited and not committed: that is fetched when somebody asks.
	var entries []*entry
	for _, path := range slices.Sorted(maps.Keys(p.walk.steps)) {
		steps := p.walk.steps[path]
		for _, s := range steps {
			n := &node{step: s, path: path}
			if s.oid != "" {
				n.entry = &entry{path: path, oid: s.oid, kind: source.Regular}
				if n.sized = len(steps) > 1; n.sized {
					entries = append(entries, n.entry)
				}
			}
			p.byPath[path] = append(p.byPath[path], n)
		}
		list := p.byPath[path]
		if _, there := p.l.Files[path]; !there && list[len(list)-1].entry != nil {
			p.moved = append(p.moved, path)
		}
	}
	if err := repo.sizes(entries); err != nil {
		return err
	}
	group(entries)
	return nil
}

// Versions implements ledger.Past.
func (p *Past) Versions(rec *ledger.Record) []*ledger.Version {
	now := &ledger.Version{Uncommitted: true, Record: func() *ledger.Record { return rec }}
	if p.Err() != nil {
		return []*ledger.Version{now}
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if v, ok := p.versions[rec]; ok {
		return v
	}
	var out []*ledger.Version
	byCommit := map[int]*ledger.Version{}
	committed := false
	for _, n := range p.chain(rec) {
		c := p.walk.commits[n.commit]
		v := &ledger.Version{Commit: c.name, On: day(c.on), Record: func() *ledger.Record { return p.record(n, rec.ID()) }}
		if isText(n.oid, rec.Src) {
			v.Record, committed = now.Record, true
		}
		v.Prev = p.before(c.parents, byCommit)
		byCommit[n.commit] = v
		out = append(out, v)
	}
	if !committed {
		if head := len(p.walk.commits) - 1; head >= 0 {
			now.Prev = p.before([]int{head}, byCommit)
		}
		out = append(out, now)
	}
	p.versions[rec] = out
	return out
}

// before gives the versions that are nearest, looking from commits back to their
// ancestors. One that another of them was built on is none: a branch that left the
// file alone leads to it too.
func (p *Past) before(from []int, byCommit map[int]*ledger.Version) []*ledger.Version {
	var found []int
	seen := map[int]bool{}
	open := slices.Clone(from)
	for len(open) > 0 {
		c := open[len(open)-1]
		open = open[:len(open)-1]
		if seen[c] {
			continue
		}
		seen[c] = true
		if byCommit[c] != nil {
			found = append(found, c)
			continue
		}
		open = append(open, p.walk.commits[c].parents...)
	}
	var out []*ledger.Version
	for _, c := range found {
		if !slices.ContainsFunc(found, func(other int) bool { return p.walk.follows(other, c) }) {
			out = append(out, byCommit[c])
		}
	}
	return out
}

// chain gives the texts that the file of a record has had, from the oldest. A file
// that is not committed yet may be one that was committed under another name.
func (p *Past) chain(rec *ledger.Record) []*node {
	seen := map[*node]bool{}
	p.gather(rec.Path, rec.ID(), len(p.walk.commits), seen)
	if len(seen) == 0 {
		for _, from := range p.moved {
			list := p.byPath[from]
			if p.record(list[len(list)-1], rec.ID()) != nil {
				p.gather(from, rec.ID(), len(p.walk.commits), seen)
			}
		}
	}
	return slices.SortedFunc(maps.Keys(seen), func(a, b *node) int { return cmp.Or(cmp.Compare(a.commit, b.commit), cmp.Compare(a.path, b.path)) })
}

// gather collects the texts of a path before a commit. Where a commit put the file
// there and took one with the same record from elsewhere, it was renamed, and the
// texts at the old path belong to it.
func (p *Past) gather(path, id string, before int, seen map[*node]bool) {
	for _, n := range p.byPath[path] {
		if n.commit >= before || n.entry == nil || seen[n] {
			continue
		}
		seen[n] = true
		if n.was != "" {
			continue
		}
		for _, from := range p.walk.gone[n.commit] {
			for _, old := range p.byPath[from] {
				if old.commit < n.commit && p.record(old, id) != nil {
					p.gather(from, id, n.commit, seen)
					break
				}
			}
		}
	}
}

// record reads the record with an id out of an old text; nil if the text cannot
// be read or does not hold it. What a record leaves out it takes from the config
// of today.
func (p *Past) record(n *node, id string) *ledger.Record {
	n.once.Do(func() {
		if n.entry == nil || !n.sized && p.repo.sizes([]*entry{n.entry}) != nil || n.entry.missing || n.entry.size > ledger.MaxRecord {
			return
		}
		text, err := p.repo.text(n.entry)
		if err == nil {
			n.recs, _ = p.l.Parse(text, n.path)
		}
	})
	for _, r := range n.recs {
		if r.ID() == id && r.Data != nil {
			return r
		}
	}
	return nil
}

// Follows implements ledger.Past.
func (p *Past) Follows(a, b *ledger.Version) bool {
	if a.Uncommitted || b.Uncommitted {
		return a.Uncommitted && !b.Uncommitted
	}
	if p.Err() != nil {
		return false
	}
	i, known := p.at[a.Commit]
	j, alsoKnown := p.at[b.Commit]
	if !known || !alsoKnown {
		return false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	key := [2]int{i, j}
	yes, ok := p.follows[key]
	if !ok {
		yes = p.walk.follows(i, j)
		p.follows[key] = yes
	}
	return yes
}

// isText reports whether git keeps the text as it stands under the name of the
// object: the hash of "blob", its length and its bytes.
func isText(oid string, text []byte) bool {
	var h hash.Hash
	switch len(oid) {
	case 2 * sha1.Size:
		h = sha1.New()
	case 2 * sha256.Size:
		h = sha256.New()
	default:
		return false
	}
	fmt.Fprintf(h, "blob %d\x00", len(text))
	h.Write(text)
	return hex.EncodeToString(h.Sum(nil)) == oid
}
