//go:build unix

package history

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trap is a script that leaves a mark when it is run.
func trap(t *testing.T, marks, name string) string {
	t.Helper()
	script := filepath.Join(marks, name+".sh")
	require.NoError(t, os.WriteFile(script, []byte("#!/bin/sh\n: > '"+filepath.Join(marks, name)+".ran'\nexit 1\n"), 0o755))
	return script
}

func ran(t *testing.T, marks string) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(marks, "*.ran"))
	require.NoError(t, err)
	for _, f := range found {
		require.NoError(t, os.Remove(f))
	}
	return found
}

// hostileRepo names a program in every setting that makes git run one while it
// reads.
func hostileRepo(t *testing.T) (dir, marks string) {
	t.Helper()
	dir, marks = newRepo(t), t.TempDir()
	write(t, dir, "a.md", "a\n")
	write(t, dir, ".gitattributes", "*.md diff=evil filter=evil\n")
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	write(t, dir, "a.md", "b\n")
	git(t, dir, "add", ".")
	for name, setting := range map[string]string{
		"fsmonitor": "core.fsmonitor", "external": "diff.external", "command": "diff.evil.command", "textconv": "diff.evil.textconv",
		"clean": "filter.evil.clean", "smudge": "filter.evil.smudge", "process": "filter.evil.process", "pager": "core.pager",
		"editor": "core.editor", "gpg": "gpg.program", "askpass": "core.askPass", "ssh": "core.sshCommand", "alternate": "core.alternateRefsCommand",
		"gitproxy": "core.gitProxy", "credential": "credential.helper", "uploadpack": "remote.origin.uploadpack",
	} {
		git(t, dir, "config", setting, trap(t, marks, name))
	}
	git(t, dir, "config", "log.showSignature", "true")
	for _, hook := range []string{"pre-commit", "post-index-change", "post-checkout", "reference-transaction", "fsmonitor-watchman"} {
		script, err := os.ReadFile(trap(t, marks, "hook-"+hook))
		require.NoError(t, err)
		write(t, dir, ".git/hooks/"+hook, string(script))
		require.NoError(t, os.Chmod(filepath.Join(dir, ".git", "hooks", hook), 0o755))
	}
	ran(t, marks)
	return dir, marks
}

// disarm lets a test change a hostile repository with plain git.
func disarm(args ...string) []string {
	return append([]string{"-c", "core.fsmonitor=false", "-c", "core.hooksPath=" + os.DevNull,
		"-c", "filter.evil.process=", "-c", "filter.evil.clean=", "-c", "filter.evil.smudge="}, args...)
}

func TestNothingOfTheRepositoryIsRun(t *testing.T) {
	dir, marks := hostileRepo(t)

	// The traps work: plain git falls into them.
	tryGit(dir, "ls-files", "-s")
	assert.Contains(t, ran(t, marks), filepath.Join(marks, "fsmonitor.ran"))
	tryGit(dir, "-c", "filter.evil.process=", "diff", "--cached")
	assert.Contains(t, ran(t, marks), filepath.Join(marks, "command.ran"))
	tryGit(dir, "-c", "filter.evil.process=", "commit", "-m", "x")
	assert.Contains(t, ran(t, marks), filepath.Join(marks, "hook-pre-commit.ran"))

	r := open(t, dir)
	assert.Equal(t, "b\n", contents(t, index(t, r, ""))["a.md"])
	assert.Equal(t, "a\n", contents(t, at(t, r, "HEAD", ""))["a.md"])
	changed, _ := staged(t, r, "")
	assert.Equal(t, []string{"a.md"}, changed)
	_, err := r.Shallow()
	require.NoError(t, err)
	git(t, dir, disarm("rm", "-q", "--cached", "a.md")...)
	ran(t, marks)
	write(t, dir, "empty.md", "")
	git(t, dir, disarm("add", "-N", "empty.md")...)
	ran(t, marks)
	assert.NotContains(t, contents(t, index(t, r, "")), "empty.md", "the comparison for intent-to-add is made")
	_, err = r.RemoveHook(true)
	assert.ErrorIs(t, err, ErrForeignHook)
	assert.Empty(t, ran(t, marks))
}

// In a partial clone git fetches what is missing, by a command that the
// repository names. Reading a ledger must not.
func TestMissingObjectsAreNotFetched(t *testing.T) {
	dir, marks := hostileRepo(t)
	git(t, dir, disarm("update-index", "--add", "--cacheinfo", "100644,1234567890123456789012345678901234567890,b.md")...)
	ran(t, marks)
	for setting, value := range map[string]string{
		"core.repositoryFormatVersion": "1", "extensions.partialClone": "origin",
		"remote.origin.url": "ssh://example.invalid/x", "remote.origin.promisor": "true",
	} {
		git(t, dir, "config", setting, value)
	}
	tryGit(dir, disarm("cat-file", "-p", ":b.md")...)
	assert.Contains(t, ran(t, marks), filepath.Join(marks, "ssh.ran"), "the trap works")

	for _, url := range []string{"ssh://example.invalid/x", "git://example.invalid/x", "ext::" + filepath.Join(marks, "ssh.sh"), "file://" + dir} {
		git(t, dir, "config", "remote.origin.url", url)
		for _, given := range []string{"", "GIT_NO_LAZY_FETCH", "GIT_ALLOW_PROTOCOL"} {
			r := open(t, dir)
			r.env = without(r.env, given) // either of the two variables is enough; older git knows one only
			s, err := r.Index("")
			require.NoError(t, err)
			_, err = s.Read("b.md")
			assert.ErrorIs(t, err, errMissing)
			text, err := s.Read("a.md")
			require.NoError(t, err)
			assert.Equal(t, "b\n", string(text))
			assert.Empty(t, ran(t, marks), "%s without %q", url, given)
		}
	}
}

func TestReadingLeavesTheRepositoryAlone(t *testing.T) {
	dir := newRepo(t)
	write(t, dir, "a.md", "a")
	git(t, dir, "add", ".")
	git(t, dir, "commit", "-qm", "1")
	state := func() map[string]string {
		out := map[string]string{}
		require.NoError(t, filepath.WalkDir(filepath.Join(dir, ".git"), func(path string, d os.DirEntry, err error) error {
			require.NoError(t, err)
			info, err := d.Info()
			require.NoError(t, err)
			out[path] = info.ModTime().String() + info.Mode().String()
			return nil
		}))
		return out
	}
	// The same bytes with another time make git want to refresh its index.
	write(t, dir, "a.md", "a")
	before := state()
	r := open(t, dir)
	contents(t, index(t, r, ""))
	staged(t, r, "")
	contents(t, at(t, r, "HEAD", ""))
	_, err := r.InstallHook(HookOptions{Command: []string{"true"}, DryRun: true})
	require.NoError(t, err)
	assert.Equal(t, before, state())
}
