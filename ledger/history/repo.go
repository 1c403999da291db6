// Package history reads snapshots of a ledger out of git, lists what is staged,
// and installs the pre-commit hook.
//
// It runs the git program, never a shell, with a fixed set of arguments and of
// commands whose output is meant for programs. Nothing that a repository brings
// with it is run: no file-system monitor, no hook, no filter, no text
// conversion, no transport to fetch missing objects. git's own refusal of a
// repository that belongs to somebody else is passed on and never overruled.
package history

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tenths/ledger"
)

var (
	// ErrNotARepo says that the folder is in no git working tree.
	ErrNotARepo = errors.New("not in a git repository")
	// ErrForeignOwner says that git refuses the repository because another user
	// owns it; the message carries git's own advice.
	ErrForeignOwner = errors.New("git does not trust this repository")
)

const (
	timeout   = 30 * time.Second // for one answer of git
	maxOutput = 256 << 20        // bytes of one listing: above a million paths
	maxErrors = 16 << 10         // bytes of git's own messages that are kept
)

// Repo is a git repository with a working tree. Its methods, and the sources
// that it gives out, may be used by several goroutines. It holds no process and
// no file open between calls.
type Repo struct {
	ctx    context.Context
	top    string
	prefix string
	env    []string
}

// Open finds the repository whose working tree holds dir. Every later call of
// git ends when ctx does, or after 30 seconds.
//
// The environment that git hands to a hook is honoured: GIT_INDEX_FILE names the
// index that is about to be committed, which during commit -a or commit PATH is
// not the usual one. GIT_DIR is honoured where dir is not inside that very
// repository anyway; where it is, the repository is found from dir, because git
// takes the current folder for the top of the working tree when GIT_DIR stands
// alone, as it does in hooks of linked working trees.
//
// Errors: ErrNotARepo, ErrForeignOwner, exec.ErrNotFound where there is no git,
// fs.ErrNotExist where there is no such folder, and git's own messages.
func Open(ctx context.Context, dir string) (*Repo, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("folder %q: %w", dir, err)
	}
	if info, err := os.Stat(abs); err != nil {
		return nil, fmt.Errorf("folder %q: %w", dir, pathless(err))
	} else if !info.IsDir() {
		return nil, fmt.Errorf("%q is a file, not a folder", dir)
	}
	r := &Repo{ctx: ctx, env: environment(os.Environ())}
	if gitDir, ok := lookup(r.env, "GIT_DIR"); ok {
		if err := r.preferDiscovery(abs, gitDir); err != nil {
			return nil, err
		}
	}
	if err := r.locate(abs); err != nil {
		return nil, err
	}
	return r, nil
}

// Top returns the top folder of the working tree, as git writes it.
func (r *Repo) Top() string { return r.top }

// Prefix returns the folder given to Open, relative to Top: slash-separated, ""
// for the top itself. It is the prefix that Index, At and Staged want for a
// ledger in that folder.
func (r *Repo) Prefix() string { return r.prefix }

// Shallow tells whether the clone was cut off at some commit, so that its
// history is incomplete.
func (r *Repo) Shallow() (bool, error) {
	out, err := r.run("rev-parse", "--is-shallow-repository")
	if err != nil {
		return false, err
	}
	return strings.TrimSpace(string(out)) == "true", nil
}

// locate finds top and prefix, and makes sure that git sees the same repository
// from the top as from dir: a core.worktree setting can point anywhere.
func (r *Repo) locate(dir string) error {
	top, err := r.line(dir, "--show-toplevel")
	if err != nil {
		return err
	}
	fromTop, err := r.git(top, "rev-parse", "--show-prefix", "--absolute-git-dir")
	if err != nil {
		return err
	}
	fromDir, err := r.git(dir, "rev-parse", "--show-prefix", "--absolute-git-dir")
	if err != nil {
		return err
	}
	prefix, ok := bytes.CutSuffix(fromDir, fromTop) // fromTop is an empty line and the git folder
	if !ok || !bytes.HasPrefix(fromTop, []byte("\n")) {
		return fmt.Errorf("folder %q: the repository there has its working tree in %q, which git takes for another repository; check core.worktree", dir, top)
	}
	r.top = filepath.FromSlash(top)
	r.prefix = strings.TrimSuffix(string(prefix), "/")
	return nil
}

// preferDiscovery drops GIT_DIR and GIT_WORK_TREE from the environment where
// the repository that holds dir is the one they name.
func (r *Repo) preferDiscovery(dir, gitDir string) error {
	found := &Repo{ctx: r.ctx, env: without(r.env, "GIT_DIR", "GIT_WORK_TREE")}
	if err := found.locate(dir); err != nil {
		return r.ctx.Err() // not found that way: GIT_DIR decides
	}
	foundDir, err := found.line(found.top, "--absolute-git-dir")
	if err != nil {
		return err
	}
	if !sameFile(found.top, gitDir, foundDir) {
		return nil
	}
	if tree, ok := lookup(r.env, "GIT_WORK_TREE"); ok && !sameFile(found.top, tree, found.top) {
		return nil
	}
	r.env = found.env
	return nil
}

// sameFile compares two folders; name may be relative to base.
func sameFile(base, name, other string) bool {
	if !filepath.IsAbs(name) {
		name = filepath.Join(base, name)
	}
	a, errA := os.Stat(name)
	b, errB := os.Stat(other)
	return errA == nil && errB == nil && os.SameFile(a, b)
}

// run calls git at the top of the working tree. A relative GIT_INDEX_FILE is
// meant from there.
func (r *Repo) run(args ...string) ([]byte, error) { return r.git(r.top, args...) }

// line returns one answer of rev-parse. Only the last line end is taken off, so
// that a folder name may hold one.
func (r *Repo) line(dir, question string) (string, error) {
	out, err := r.git(dir, "rev-parse", question)
	return strings.TrimSuffix(strings.TrimSuffix(string(out), "\n"), "\r"), err
}

// arguments stand before every command. Without fsmonitor=false each command
// that reads the index would run the program named by the repository.
func arguments() []string {
	return append(readOnly(), "-c", "core.hooksPath="+os.DevNull)
}

// readOnly is the part of arguments that leaves the hooks folder as configured,
// which only the installer may ask for.
func readOnly() []string {
	return []string{
		"--no-optional-locks", "--literal-pathspecs", "--no-pager",
		"-c", "core.fsmonitor=false",
		"-c", "core.quotePath=false",
		"-c", "log.showSignature=false",
	}
}

func (r *Repo) git(dir string, args ...string) ([]byte, error) {
	return r.call(dir, nil, append(arguments(), args...))
}

// call runs git once. input may be nil.
func (r *Repo) call(dir string, input []byte, args []string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(r.ctx, timeout)
	defer cancel()
	cmd := exec.CommandContext(ctx, "git", args...)
	cmd.Dir = dir
	cmd.Env = r.env
	cmd.WaitDelay = time.Second
	if input != nil {
		cmd.Stdin = bytes.NewReader(input)
	}
	out := &limited{limit: maxOutput, fail: true}
	errs := &limited{limit: maxErrors}
	cmd.Stdout, cmd.Stderr = out, errs
	err := cmd.Run()
	switch {
	case err == nil:
		return out.kept.Bytes(), nil
	case out.over:
		return nil, fmt.Errorf("git %s: more than %d MiB of answer", subcommand(args), maxOutput>>20)
	case ctx.Err() != nil:
		return nil, fmt.Errorf("git %s: %w", subcommand(args), ctx.Err())
	}
	return nil, gitError(args, errs.kept.String(), err)
}

// environment sets what makes git answer in one language, ask nobody and fetch
// nothing, and takes out what contradicts --literal-pathspecs.
func environment(inherited []string) []string {
	fixed := []string{
		"LC_ALL=C",
		"GIT_TERMINAL_PROMPT=0",
		"GIT_OPTIONAL_LOCKS=0",
		"GIT_NO_LAZY_FETCH=1",
		"GIT_ALLOW_PROTOCOL=", // no transport at all, for a git that does not know the line above
	}
	drop := []string{"LANGUAGE", "GIT_GLOB_PATHSPECS", "GIT_NOGLOB_PATHSPECS", "GIT_ICASE_PATHSPECS"}
	for _, f := range fixed {
		name, _, _ := strings.Cut(f, "=")
		drop = append(drop, name)
	}
	return append(without(inherited, drop...), fixed...)
}

func without(env []string, names ...string) []string {
	return slices.DeleteFunc(slices.Clone(env), func(e string) bool {
		name, _, _ := strings.Cut(e, "=")
		return slices.Contains(names, name)
	})
}

func lookup(env []string, name string) (string, bool) {
	for i := len(env) - 1; i >= 0; i-- { // the last one counts
		if value, ok := strings.CutPrefix(env[i], name+"="); ok {
			return value, value != ""
		}
	}
	return "", false
}

func subcommand(args []string) string {
	for i := 0; i < len(args); i++ {
		switch {
		case args[i] == "-c":
			i++
		case !strings.HasPrefix(args[i], "-"):
			return args[i]
		}
	}
	return ""
}

// gitError turns what git wrote into an error for a person.
func gitError(args []string, stderr string, err error) error {
	text := ledger.PrintableLines(strings.TrimSpace(stderr))
	switch {
	case errors.Is(err, exec.ErrNotFound):
		return fmt.Errorf("the git program was not found; install git, or put it on the PATH: %w", exec.ErrNotFound)
	case strings.Contains(text, "detected dubious ownership"), strings.Contains(text, "is owned by someone else"):
		return fmt.Errorf("%w:\n%s\nAdd the exception only for a folder whose owner you trust", ErrForeignOwner, text)
	case strings.Contains(text, "not a git repository"):
		return fmt.Errorf("%w: run \"git init\" in the ledger folder first (git says: %s)", ErrNotARepo, text)
	case strings.Contains(text, "must be run in a work tree"):
		return fmt.Errorf("%w with a working tree: the repository is bare, or the folder is inside .git", ErrNotARepo)
	case text == "":
		return fmt.Errorf("git %s: %w", subcommand(args), err)
	}
	return fmt.Errorf("git %s: %s", subcommand(args), text)
}

func pathless(err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		return pathError.Err
	}
	return err
}

// limited keeps the first bytes of an output. Past the limit it fails, which
// ends the command, or forgets the rest. The buffer is not embedded: its
// ReadFrom would go round the limit.
type limited struct {
	kept  bytes.Buffer
	limit int
	fail  bool
	over  bool
}

func (l *limited) Write(p []byte) (int, error) {
	room := l.limit - l.kept.Len()
	if len(p) <= room {
		return l.kept.Write(p)
	}
	l.over = true
	if l.fail {
		return 0, errors.New("too much output")
	}
	l.kept.Write(p[:room])
	return len(p), nil
}

// User is the name that git would write into a commit made in dir; "" if there is
// no repository or no name.
func User(ctx context.Context, dir string) string {
	r, err := Open(ctx, dir)
	if err != nil {
		return ""
	}
	out, err := r.run("config", "--get", "user.name")
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(out))
}
