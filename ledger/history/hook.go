package history

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// HookState says what InstallHook or RemoveHook did.
type HookState string

const (
	HookInstalled HookState = "installed" // there was none
	HookUpdated   HookState = "updated"   // ours was there, with other contents
	HookUnchanged HookState = "unchanged" // ours was there already
	HookRemoved   HookState = "removed"
	HookAbsent    HookState = "absent" // there was none to remove
)

var (
	// ErrForeignHook says that the pre-commit hook in place is not ours, or that
	// it was edited since. It is never written to.
	ErrForeignHook = errors.New("another pre-commit hook is in place")
	// ErrHooksOutside says that core.hooksPath leads out of the repository.
	ErrHooksOutside = errors.New("the hooks folder is outside the repository")
)

// HookOptions say what the hook runs.
type HookOptions struct {
	// Command is the program, best as an absolute path, and its arguments. Each is
	// quoted for the shell.
	Command []string
	// Root is the folder of the ledger relative to the top of the working tree,
	// slash-separated; "" for the top. The command is run there.
	Root string
	// DryRun changes nothing; the result is what would be done.
	DryRun bool
}

// Hook is the result of InstallHook and RemoveHook.
type Hook struct {
	Path  string // of the hook file
	State HookState
	Text  string // what the file holds, or would hold; "" after a removal
}

// The second line of the hook carries the mark and a digest of the lines below
// it, so that an edited hook is not taken for ours.
const (
	hookShell = "#!/bin/sh\n"
	hookMark  = "# tenths pre-commit hook, contents "
)

// InstallHook writes the pre-commit hook into the hooks folder that git uses for
// this working tree: the one shared by all linked working trees, or the folder
// of core.hooksPath. It runs the command in the ledger's folder and stops the
// commit when the command fails, and also when the program is gone; a commit
// that nobody checked should be made on purpose (git commit --no-verify). Where
// a checkout has no such folder, it lets the commit pass with a message.
//
// A hook of somebody else, or one of ours that was edited, is never overwritten:
// the error (ErrForeignHook) shows the line to add to it. A folder outside the
// repository is refused (ErrHooksOutside), because it serves other repositories
// as well. Installing twice changes nothing.
func (r *Repo) InstallHook(o HookOptions) (Hook, error) {
	text, err := hookText(o)
	if err != nil {
		return Hook{}, err
	}
	folder, err := r.hooksFolder()
	if err != nil {
		return Hook{}, fmt.Errorf("%w\nto have the ledger checked all the same, add this line to the pre-commit hook there:\n  %s", err, hookLine(o))
	}
	h := Hook{Path: filepath.Join(folder, "pre-commit"), State: HookInstalled, Text: text}
	there, err := readHook(h.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return Hook{}, err
	case !ours(there):
		return Hook{}, fmt.Errorf("%w: %q was not written by this program, or was edited since\nadd this line to it, before anything that ends it:\n  %s", ErrForeignHook, h.Path, hookLine(o))
	case there == text:
		h.State = HookUnchanged
	default:
		h.State = HookUpdated
	}
	if o.DryRun {
		return h, nil
	}
	if h.State == HookUnchanged {
		return h, executable(h.Path)
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return Hook{}, fmt.Errorf("hooks folder: %w", err)
	}
	return h, writeHook(h)
}

// RemoveHook takes out the pre-commit hook that InstallHook wrote, and nothing
// else. Where there is none the state is HookAbsent.
func (r *Repo) RemoveHook(dryRun bool) (Hook, error) {
	folder, err := r.hooksFolder()
	if err != nil {
		return Hook{}, fmt.Errorf("%w\nnothing was installed there by this program", err)
	}
	h := Hook{Path: filepath.Join(folder, "pre-commit"), State: HookRemoved}
	there, err := readHook(h.Path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		h.State = HookAbsent
		return h, nil
	case err != nil:
		return Hook{}, err
	case !ours(there):
		return Hook{}, fmt.Errorf("%w: %q was not written by this program, or was edited since; take the ledger's line out of it by hand", ErrForeignHook, h.Path)
	}
	if dryRun {
		return h, nil
	}
	if err := os.Remove(h.Path); err != nil {
		return Hook{}, fmt.Errorf("pre-commit hook: %w", err)
	}
	return h, nil
}

// hooksFolder asks git where hooks are, without the setting that keeps them from
// running, and refuses what lies outside the working tree and the git folder.
func (r *Repo) hooksFolder() (string, error) {
	ask := func(args ...string) (string, error) {
		out, err := r.call(r.top, nil, append(readOnly(), append([]string{"rev-parse"}, args...)...))
		if err != nil {
			return "", err
		}
		answer := filepath.FromSlash(strings.TrimSuffix(string(out), "\n"))
		if !filepath.IsAbs(answer) {
			answer = filepath.Join(r.top, answer)
		}
		return answer, nil
	}
	folder, err := ask("--git-path", "hooks")
	if err != nil {
		return "", err
	}
	common, err := ask("--git-common-dir")
	if err != nil {
		return "", err
	}
	if folder == os.DevNull {
		return "", fmt.Errorf("%w: core.hooksPath is %s, which switches hooks off", ErrHooksOutside, os.DevNull)
	}
	for _, inside := range []string{common, r.top} {
		if within(folder, inside) {
			return folder, nil
		}
	}
	own := filepath.Join(common, "hooks")
	if folder == own {
		return "", fmt.Errorf("%w: %q is a link that leads out of it, and a hook there would run in other repositories too\n"+
			"to give this repository hooks of its own, put a folder in the place of the link", ErrHooksOutside, folder)
	}
	return "", fmt.Errorf("%w: core.hooksPath leads to %q, and a hook there would run in other repositories too\n"+
		"to give this repository a hooks folder of its own: git config --local core.hooksPath %s",
		ErrHooksOutside, folder, shellQuote(filepath.ToSlash(own)))
}

// within follows links on both sides. The folder may not exist yet; then its
// nearest parent that does is followed.
func within(folder, root string) bool {
	root, err := filepath.EvalSymlinks(root)
	if err != nil {
		return false
	}
	rest := ""
	for {
		real, err := filepath.EvalSymlinks(folder)
		if err == nil {
			rel, err := filepath.Rel(root, filepath.Join(real, rest))
			return err == nil && filepath.IsLocal(rel)
		}
		if _, err := os.Lstat(folder); err == nil {
			return false // a link that leads nowhere
		}
		parent := filepath.Dir(folder)
		if parent == folder {
			return false
		}
		rest = filepath.Join(filepath.Base(folder), rest)
		folder = parent
	}
}

// readHook returns the text of the hook file. A link or anything else that is
// no plain file was put there by somebody else: its text is "".
func readHook(path string) (string, error) {
	info, err := os.Lstat(path)
	if err != nil {
		return "", fmt.Errorf("pre-commit hook: %w", err)
	}
	const most = 64 << 10 // ours is about 1 KiB
	if !info.Mode().IsRegular() || info.Size() > most {
		return "", nil
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return "", fmt.Errorf("pre-commit hook: %w", err)
	}
	return string(text), nil
}

func ours(text string) bool {
	rest, ok := strings.CutPrefix(text, hookShell+hookMark)
	if !ok {
		return false
	}
	mark, body, ok := strings.Cut(rest, "\n")
	return ok && mark == digest(body)
}

func digest(body string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(body)))[:16] }

// writeHook makes a new file only where there is none, and replaces an old one
// of ours in one step.
func writeHook(h Hook) error {
	if h.State == HookInstalled {
		f, err := os.OpenFile(h.Path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o777)
		if err != nil {
			return fmt.Errorf("pre-commit hook: %w", err)
		}
		if err := fill(f, h.Text); err != nil {
			return errors.Join(fmt.Errorf("pre-commit hook: %w", err), os.Remove(h.Path))
		}
		return executable(h.Path)
	}
	old, err := os.Stat(h.Path)
	if err != nil {
		return fmt.Errorf("pre-commit hook: %w", err)
	}
	f, err := os.CreateTemp(filepath.Dir(h.Path), "pre-commit.*.new")
	if err != nil {
		return fmt.Errorf("pre-commit hook: %w", err)
	}
	err = fill(f, h.Text)
	if err == nil {
		err = os.Chmod(f.Name(), old.Mode().Perm()|0o100)
	}
	if err == nil {
		err = os.Rename(f.Name(), h.Path)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("pre-commit hook: %w", err), os.Remove(f.Name()))
	}
	return nil
}

func fill(f *os.File, text string) error {
	_, err := f.WriteString(text)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// executable makes sure that git will run the file: git passes over a hook that
// may not be executed, with no more than a hint.
func executable(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return fmt.Errorf("pre-commit hook: %w", err)
	}
	if runtime.GOOS == "windows" || info.Mode().Perm()&0o100 != 0 {
		return nil
	}
	if err := os.Chmod(path, info.Mode().Perm()|0o100); err != nil {
		return fmt.Errorf("pre-commit hook: %w", err)
	}
	return nil
}

// hookText is a script for any POSIX shell. git runs it at the top of the
// working tree.
func hookText(o HookOptions) (string, error) {
	root, err := cleanPrefix(o.Root)
	if err != nil {
		return "", err
	}
	if len(o.Command) == 0 || o.Command[0] == "" {
		return "", errors.New("the hook needs a command to run")
	}
	for _, s := range append([]string{root}, o.Command...) {
		if strings.ContainsRune(s, 0) {
			return "", fmt.Errorf("%q cannot stand in a hook", s)
		}
	}
	var b strings.Builder
	b.WriteString("# Checks the ledger as it is about to be committed.\n" +
		"# Commit without the check: git commit --no-verify\n" +
		"# Take this hook out: tenths hook remove\n")
	if root != "" {
		// "./" keeps a folder called "-" and CDPATH from meaning something else.
		folder := shellQuote("./" + root)
		fmt.Fprintf(&b, "folder=%s\n", folder)
		b.WriteString(`if [ ! -d "$folder" ]; then
	printf '%s\n' "tenths: this checkout has no folder $folder; no ledger was checked" >&2
	exit 0
fi
cd "$folder" || exit 1
`)
	}
	fmt.Fprintf(&b, "program=%s\n", shellQuote(o.Command[0]))
	b.WriteString(`if ! command -v "$program" >/dev/null 2>&1; then
	printf '%s\n' "tenths: the commit was stopped, because $program was not found and the ledger was not checked" \
		"tenths: write the hook anew with: tenths hook install" \
		"tenths: or commit without the check: git commit --no-verify" >&2
	exit 1
fi
`)
	b.WriteString(`exec "$program"`)
	for _, a := range o.Command[1:] {
		b.WriteString(" " + shellQuote(a))
	}
	b.WriteString("\n")
	return hookShell + hookMark + digest(b.String()) + "\n" + b.String(), nil
}

// hookLine is the same in one line, for a hook that is already there.
func hookLine(o HookOptions) string {
	var words []string
	for _, a := range o.Command {
		words = append(words, shellQuote(a))
	}
	command := strings.Join(words, " ")
	if root, err := cleanPrefix(o.Root); err == nil && root != "" {
		command = "(cd " + shellQuote("./"+root) + " && " + command + ")"
	}
	return command + " || exit 1"
}

// shellQuote leaves plain words alone and puts everything else between single
// quotes.
func shellQuote(s string) string {
	plain := func(c rune) bool {
		return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.ContainsRune("-_./,:@%+", c)
	}
	if s != "" && strings.IndexFunc(s, func(c rune) bool { return !plain(c) }) < 0 {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
