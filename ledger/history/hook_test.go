//go:build unix

package history

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// probeHook installs a hook that runs this test program; saw returns what it
// wrote at the last commit.
func probeHook(t *testing.T, dir, root string) (h Hook, saw func() *seen) {
	t.Helper()
	exe, err := os.Executable()
	require.NoError(t, err)
	// A program folder with a blank and a quote, as some homes have.
	link := filepath.Join(t.TempDir(), "it's here", "tenths")
	require.NoError(t, os.MkdirAll(filepath.Dir(link), 0o755))
	require.NoError(t, os.Symlink(exe, link))
	out := filepath.Join(t.TempDir(), "saw $HOME.json")
	h, err = open(t, dir).InstallHook(HookOptions{Command: []string{link, hookProbe, out}, Root: root})
	require.NoError(t, err)
	return h, func() *seen {
		text, err := os.ReadFile(out)
		if os.IsNotExist(err) {
			return nil
		}
		require.NoError(t, err)
		require.NoError(t, os.Remove(out))
		var s seen
		require.NoError(t, json.Unmarshal(text, &s))
		return &s
	}
}

// What the hook sees is what git commits, whichever way the commit is made.
func TestHookSeesWhatIsCommitted(t *testing.T) {
	for _, root := range []string{"", "the shop's\nledger"} {
		t.Run(root, func(t *testing.T) {
			dir := newRepo(t)
			in := func(name string) string { return filepath.ToSlash(filepath.Join(root, name)) }
			write(t, dir, in("a.md"), "a1")
			write(t, dir, in("b.md"), "b1")
			write(t, dir, in("c.md"), "c1")
			write(t, dir, "other/x.md", "x")
			_, saw := probeHook(t, dir, root)
			commit := func(args ...string) *seen {
				t.Helper()
				git(t, dir, append([]string{"commit", "-q", "-m", "x"}, args...)...)
				s := saw()
				require.NotNil(t, s, "the hook did not run")
				assert.Equal(t, dir, s.Top)
				assert.Equal(t, root, s.Prefix)
				// The oracle: the commit that git made.
				committed := contents(t, at(t, open(t, dir), "HEAD", root))
				assert.Equal(t, committed, s.Files)
				return s
			}
			git(t, dir, "add", ".")
			s := commit()
			assert.Contains(t, s.Changed, "c.md", "before the first commit all is new")

			write(t, dir, in("a.md"), "a2")
			require.NoError(t, os.Remove(filepath.Join(dir, root, "c.md")))
			s = commit("-a")
			assert.Equal(t, []string{"a.md"}, s.Changed)
			assert.Equal(t, []string{"c.md"}, s.Deleted)

			write(t, dir, in("a.md"), "a3")
			write(t, dir, in("b.md"), "b3")
			git(t, dir, "add", ".")
			write(t, dir, in("b.md"), "b4 not staged")
			s = commit(in("a.md")) // one path; b stays staged for later
			assert.Equal(t, []string{"a.md"}, s.Changed)
			assert.Equal(t, "b1", s.Files["b.md"])
			s = commit()
			assert.Equal(t, []string{"b.md"}, s.Changed)
			assert.Equal(t, "b3", s.Files["b.md"])

			// From a folder below, and with names given by hand.
			write(t, dir, in("a.md"), "a5")
			git(t, filepath.Join(dir, "other"), "commit", "-q", "-a", "-m", "x")
			assert.Equal(t, []string{"a.md", "b.md"}, saw().Changed)
			write(t, dir, in("a.md"), "a6")
			git(t, dir, "--git-dir=.git", "--work-tree=.", "commit", "-q", "-a", "-m", "x")
			assert.Equal(t, []string{"a.md"}, saw().Changed)

			// A linked working tree shares the hook and has an index of its own.
			tree := filepath.Join(t.TempDir(), "tree")
			git(t, dir, "worktree", "add", "-q", tree)
			write(t, tree, in("a.md"), "a7 in the other tree")
			git(t, tree, "commit", "-q", "-a", "-m", "x")
			s2 := saw()
			require.NotNil(t, s2)
			real, err := filepath.EvalSymlinks(tree)
			require.NoError(t, err)
			assert.Equal(t, real, s2.Top)
			assert.Equal(t, root, s2.Prefix)
			assert.Equal(t, "a7 in the other tree", s2.Files["a.md"])
			assert.Equal(t, []string{"a.md"}, s2.Changed)
		})
	}
}

func TestHookStopsTheCommit(t *testing.T) {
	dir := newRepo(t)
	r := open(t, dir)
	write(t, dir, "led/a.md", "a")
	git(t, dir, "add", ".")
	install := func(o HookOptions) {
		t.Helper()
		_, err := r.InstallHook(o)
		require.NoError(t, err)
	}
	install(HookOptions{Command: []string{"sh", "-c", "echo found >&2; exit 1"}, Root: "led"})
	out, err := tryGit(dir, "commit", "-qm", "1")
	require.Error(t, err)
	assert.Equal(t, "found", out)

	install(HookOptions{Command: []string{filepath.Join(dir, "no such program")}, Root: "led"})
	out, err = tryGit(dir, "commit", "-qm", "1")
	require.Error(t, err, "a commit that nobody checked is stopped")
	assert.Contains(t, out, "no such program was not found")
	assert.Contains(t, out, "git commit --no-verify")

	install(HookOptions{Command: []string{"sh", "-c", "pwd > ../where"}, Root: "led"})
	git(t, dir, "commit", "-qm", "1")
	where, err := os.ReadFile(filepath.Join(dir, "where"))
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(dir, "led")+"\n", string(where), "the command runs in the ledger's folder")

	// A branch without the ledger.
	git(t, dir, "rm", "-rq", "led")
	out, err = tryGit(dir, "commit", "-qm", "2")
	require.NoError(t, err)
	assert.Contains(t, out, "no folder ./led; no ledger was checked")
}

func TestHookInstallAndRemove(t *testing.T) {
	dir := newRepo(t)
	require.NoError(t, os.RemoveAll(filepath.Join(dir, ".git", "hooks")))
	r := open(t, dir)
	path := filepath.Join(dir, ".git", "hooks", "pre-commit")
	o := HookOptions{Command: []string{"tenths", "lint", "--staged"}}

	h, err := r.RemoveHook(false)
	require.NoError(t, err)
	assert.Equal(t, HookAbsent, h.State)

	o.DryRun = true
	h, err = r.InstallHook(o)
	require.NoError(t, err)
	assert.Equal(t, HookInstalled, h.State)
	assert.NoDirExists(t, filepath.Dir(path))
	o.DryRun = false
	planned := h

	h, err = r.InstallHook(o)
	require.NoError(t, err)
	assert.Equal(t, planned, h)
	assert.Equal(t, path, h.Path)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, h.Text, string(text))
	assert.Equal(t, `#!/bin/sh
# tenths pre-commit hook, contents cb4b3265e078077b
# Checks the ledger as it is about to be committed.
# Commit without the check: git commit --no-verify
# Take this hook out: tenths hook remove
program=tenths
if ! command -v "$program" >/dev/null 2>&1; then
	printf '%s\n' "tenths: the commit was stopped, because $program was not found and the ledger was not checked" \
		"tenths: write the hook anew with: tenths hook install" \
		"tenths: or commit without the check: git commit --no-verify" >&2
	exit 1
fi
exec "$program" lint --staged
`, string(text))

	require.NoError(t, os.Chmod(path, 0o644)) // git would pass over it
	h, err = r.InstallHook(o)
	require.NoError(t, err)
	assert.Equal(t, HookUnchanged, h.State)
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode().Perm()&0o100)

	o.Root = "led"
	h, err = r.InstallHook(o)
	require.NoError(t, err)
	assert.Equal(t, HookUpdated, h.State)
	text, err = os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), "folder=./led\n")
	info, err = os.Stat(path)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode().Perm()&0o100)

	h, err = r.RemoveHook(true)
	require.NoError(t, err)
	assert.Equal(t, HookRemoved, h.State)
	assert.FileExists(t, path)
	_, err = r.RemoveHook(false)
	require.NoError(t, err)
	assert.NoFileExists(t, path)
	left, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	assert.Empty(t, left, "nothing is left behind")

	_, err = r.InstallHook(HookOptions{})
	assert.ErrorContains(t, err, "needs a command")
	_, err = r.InstallHook(HookOptions{Command: []string{"x"}, Root: "../up"})
	assert.ErrorContains(t, err, "relative to the top")
	_, err = r.InstallHook(HookOptions{Command: []string{"x\x00"}})
	assert.ErrorContains(t, err, "cannot stand in a hook")
}

func TestForeignHookIsKept(t *testing.T) {
	o := HookOptions{Command: []string{"/opt/it's/tenths", "lint", "--staged"}, Root: "shop ledger"}
	line := `(cd './shop ledger' && '/opt/it'\''s/tenths' lint --staged) || exit 1`
	made, err := hookText(o)
	require.NoError(t, err)
	for name, place := range map[string]func(path string) error{
		"a script":      func(p string) error { return os.WriteFile(p, []byte("#!/bin/sh\nexit 0\n"), 0o755) },
		"empty":         func(p string) error { return os.WriteFile(p, nil, 0o755) },
		"ours, edited":  func(p string) error { return os.WriteFile(p, []byte(made+"echo mine\n"), 0o755) },
		"ours, cut off": func(p string) error { return os.WriteFile(p, []byte(made[:len(hookShell+hookMark)+5]), 0o755) },
		"very large":    func(p string) error { return os.WriteFile(p, make([]byte, 1<<20), 0o755) },
		"a dead link":   func(p string) error { return os.Symlink("absent", p) },
		"a folder":      func(p string) error { return os.Mkdir(p, 0o755) },
		"a link to ours": func(p string) error {
			if err := os.WriteFile(p+".kept", []byte(made), 0o755); err != nil {
				return err
			}
			return os.Symlink("pre-commit.kept", p)
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := newRepo(t)
			path := filepath.Join(dir, ".git", "hooks", "pre-commit")
			require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
			require.NoError(t, place(path))
			before, err := os.Lstat(path)
			require.NoError(t, err)
			r := open(t, dir)
			_, err = r.InstallHook(o)
			require.ErrorIs(t, err, ErrForeignHook)
			assert.ErrorContains(t, err, path)
			assert.True(t, strings.HasSuffix(err.Error(), "\n  "+line), err)
			_, err = r.RemoveHook(false)
			require.ErrorIs(t, err, ErrForeignHook)
			after, err := os.Lstat(path)
			require.NoError(t, err)
			assert.True(t, os.SameFile(before, after))
			assert.Equal(t, before.ModTime(), after.ModTime())
			assert.Equal(t, before.Size(), after.Size())
		})
	}
}

// The line that a person is told to add does what the hook does.
func TestLineForAForeignHook(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "shop ledger/a.md", "a")
	git(t, dir, "add", ".")
	for _, c := range []struct {
		root, command string
		stops         bool
	}{{"shop ledger", "test -f a.md", false}, {"shop ledger", "test -f b.md", true}, {"", "test -d .git", false}, {"absent", "true", true}} {
		line := hookLine(HookOptions{Command: []string{"sh", "-c", c.command}, Root: c.root})
		write(t, dir, ".git/hooks/pre-commit", "#!/bin/sh\n"+line+"\necho theirs\n")
		require.NoError(t, os.Chmod(filepath.Join(dir, ".git", "hooks", "pre-commit"), 0o755))
		out, err := tryGit(dir, "commit", "-q", "--allow-empty", "-m", "x")
		assert.Equal(t, c.stops, err != nil, "%+v: %s", c, out)
		assert.Equal(t, !c.stops, strings.Contains(out, "theirs"))
	}
}

func TestHooksFolder(t *testing.T) {
	o := HookOptions{Command: []string{"tenths", "lint"}}
	t.Run("of the working tree", func(t *testing.T) {
		dir := newRepo(t)
		git(t, dir, "config", "core.hooksPath", "tools/hooks")
		require.NoError(t, os.Mkdir(filepath.Join(dir, "sub"), 0o755))
		h, err := open(t, filepath.Join(dir, "sub")).InstallHook(o)
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(dir, "tools", "hooks", "pre-commit"), h.Path)
		assert.FileExists(t, h.Path)
	})
	t.Run("of a linked working tree", func(t *testing.T) {
		dir := newRepo(t)
		git(t, dir, "commit", "-q", "--allow-empty", "-m", "1")
		tree := filepath.Join(t.TempDir(), "tree")
		git(t, dir, "worktree", "add", "-q", tree)
		h, err := open(t, tree).InstallHook(o)
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(dir, ".git", "hooks", "pre-commit"), h.Path)
		h, err = open(t, dir).InstallHook(o)
		require.NoError(t, err)
		assert.Equal(t, HookUnchanged, h.State)
	})
	outside := func(t *testing.T, dir, says string) {
		t.Helper()
		r := open(t, dir)
		_, err := r.InstallHook(o)
		require.ErrorIs(t, err, ErrHooksOutside)
		assert.ErrorContains(t, err, says)
		assert.ErrorContains(t, err, "tenths lint || exit 1")
		_, err = r.RemoveHook(false)
		assert.ErrorIs(t, err, ErrHooksOutside)
	}
	t.Run("shared by all repositories", func(t *testing.T) {
		dir, shared := newRepo(t), t.TempDir()
		git(t, dir, "config", "core.hooksPath", shared)
		outside(t, dir, "git config --local core.hooksPath "+dir+"/.git/hooks")
		left, err := os.ReadDir(shared)
		require.NoError(t, err)
		assert.Empty(t, left)
		git(t, dir, "config", "core.hooksPath", filepath.Join(shared, "not", "there"))
		outside(t, dir, "other repositories")
		git(t, dir, "config", "core.hooksPath", "../up")
		outside(t, dir, "other repositories")
	})
	t.Run("switched off", func(t *testing.T) {
		dir := newRepo(t)
		git(t, dir, "config", "core.hooksPath", os.DevNull)
		outside(t, dir, "switches hooks off")
	})
	t.Run("a link out", func(t *testing.T) {
		dir, shared := newRepo(t), t.TempDir()
		require.NoError(t, os.RemoveAll(filepath.Join(dir, ".git", "hooks")))
		require.NoError(t, os.Symlink(shared, filepath.Join(dir, ".git", "hooks")))
		outside(t, dir, "a link that leads out")
	})
	t.Run("a dead link", func(t *testing.T) {
		dir := newRepo(t)
		git(t, dir, "config", "core.hooksPath", "hooks")
		require.NoError(t, os.Symlink(filepath.Join(t.TempDir(), "absent"), filepath.Join(dir, "hooks")))
		outside(t, dir, "other repositories")
	})
}

// The shell gives back every text that was quoted for it.
func TestShellQuote(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[^\x00]*`), 1, 20).Draw(t, "words")
		script := `printf '%s\0'`
		for _, w := range words {
			script += " " + shellQuote(w)
		}
		out, err := exec.Command("sh", "-c", script).Output()
		require.NoError(t, err)
		require.Equal(t, strings.Join(words, "\x00")+"\x00", string(out))
	})
}
