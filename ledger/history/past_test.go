package history

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
)

// shop is a ledger in a repository whose commits have days of their own.
type shop struct {
	t   testing.TB
	dir string
}

func newShop(t testing.TB) shop {
	s := shop{t, newRepo(t)}
	write(t, s.dir, ledger.ConfigName, "units = \"in\"\n")
	return s
}

// change writes the record CH-1 with a goal.
func (s shop) change(path, goal string) shop {
	write(s.t, s.dir, path, fmt.Sprintf("+++\nkind = \"change\"\nid = \"CH-1\"\ntitle = \"t\"\nstate = \"agreed\"\ngoal = %q\n+++\n", goal))
	return s
}

func (s shop) commit(day string) string {
	s.t.Helper()
	git(s.t, s.dir, "add", "--all")
	cmd := exec.Command("git", "commit", "-q", "--allow-empty", "-m", day)
	cmd.Dir = s.dir
	cmd.Env = append(os.Environ(), "GIT_AUTHOR_DATE="+day, "GIT_COMMITTER_DATE="+day)
	out, err := cmd.CombinedOutput()
	require.NoError(s.t, err, "%s", out)
	return git(s.t, s.dir, "rev-parse", "HEAD")
}

// past loads the ledger of the working tree, with its history.
func (s shop) past() (*ledger.Ledger, *Past) {
	s.t.Helper()
	src, err := source.Dir(s.dir)
	require.NoError(s.t, err)
	l, err := ledger.Load(src)
	require.NoError(s.t, err)
	return l, PastOf(s.t.Context(), s.dir, l)
}

// goals lists the versions of CH-1: day and goal, "?" for what cannot be read, and
// after < the days of those right before.
func (s shop) goals() []string {
	l, p := s.past()
	require.NoError(s.t, p.Err())
	var out []string
	name := func(v *ledger.Version) string {
		switch {
		case v.Uncommitted:
			return "now"
		case v.On.IsZero():
			return "some day"
		}
		return v.On.Format("01-02")
	}
	for _, v := range p.Versions(l.Record("CH-1")) {
		text := name(v) + " ?"
		if r := v.Record(); r != nil {
			text = name(v) + " " + r.Data.(*ledger.Change).Goal.S
		}
		for _, prev := range v.Prev {
			text += " < " + name(prev)
		}
		out = append(out, text)
	}
	return out
}

const noon = "T12:00:00+02:00"

func TestVersions(t *testing.T) {
	s := newShop(t)
	s.change("changes/CH-1.md", "one").commit("2024-03-01" + noon)
	write(t, s.dir, "other.md", "+++\nkind = \"change\"\nid = \"CH-2\"\ntitle = \"t\"\nstate = \"agreed\"\n+++\n")
	s.commit("2024-03-02" + noon)
	s.change("changes/CH-1.md", "two").commit("2024-03-03" + noon)
	assert.Equal(t, []string{"03-01 one", "03-03 two < 03-01"}, s.goals())
	s.change("changes/CH-1.md", "three")
	assert.Equal(t, []string{"03-01 one", "03-03 two < 03-01", "now three < 03-03"}, s.goals(), "the working folder")

	l, p := s.past()
	v := p.Versions(l.Record("CH-1"))
	for i := range v {
		for j := range v {
			assert.Equal(t, i > j, p.Follows(v[i], v[j]), "%d %d", i, j)
		}
	}
	other := p.Versions(l.Record("CH-2"))
	require.Len(t, other, 1)
	assert.True(t, p.Follows(other[0], v[0]))
	assert.False(t, p.Follows(other[0], v[1]))
}

// The day is the one that the author's clock showed.
func TestVersionDay(t *testing.T) {
	s := newShop(t)
	s.change("c.md", "one").commit("2024-03-01T23:30:00-08:00")
	s.change("c.md", "two").commit("2024-03-02T00:30:00-08:00")
	assert.Equal(t, []string{"03-01 one", "03-02 two < 03-01"}, s.goals())
}

func TestVersionsOfIndex(t *testing.T) {
	s := newShop(t)
	s.change("led/c.md", "one")
	write(t, s.dir, "led/"+ledger.ConfigName, "")
	s.commit("2024-03-01" + noon)
	s.change("led/c.md", "staged")
	git(t, s.dir, "add", ".")
	s.change("led/c.md", "not staged")
	r := open(t, s.dir)
	l, err := ledger.Load(index(t, r, "led"))
	require.NoError(t, err)
	v := r.Past("led", l).Versions(l.Record("CH-1"))
	require.Len(t, v, 2)
	assert.Equal(t, "staged", v[1].Record().Data.(*ledger.Change).Goal.S)
	assert.True(t, v[1].Uncommitted)
}

// A record is followed by its id through renames, also while it is edited.
func TestVersionsThroughRenames(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	git(t, s.dir, "mv", "a.md", "b.md")
	s.commit("2024-03-02" + noon)
	require.NoError(t, os.Mkdir(filepath.Join(s.dir, "2024"), 0o755))
	git(t, s.dir, "mv", "b.md", "2024/c.md")
	s.change("2024/c.md", "two").commit("2024-03-03" + noon)
	// Another record takes the old place, and is none of it.
	write(t, s.dir, "a.md", "+++\nkind = \"change\"\nid = \"CH-2\"\ntitle = \"t\"\nstate = \"agreed\"\n+++\n")
	s.commit("2024-03-04" + noon)
	assert.Equal(t, []string{"03-01 one", "03-02 one < 03-01", "03-03 two < 03-02"}, s.goals())
	l, p := s.past()
	v := p.Versions(l.Record("CH-2"))
	assert.Nil(t, v[0].Record(), "the text at that place was another record's")
	assert.NotNil(t, v[len(v)-1].Record())

	require.NoError(t, os.Remove(filepath.Join(s.dir, "2024/c.md")))
	s.change("d.md", "three")
	assert.Equal(t, []string{"03-01 one", "03-02 one < 03-01", "03-03 two < 03-02", "now three < 03-03"}, s.goals(), "a rename that is not committed yet")
}

func TestVersionsTakenAwayAndBack(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	require.NoError(t, os.Remove(filepath.Join(s.dir, "a.md")))
	s.commit("2024-03-02" + noon)
	s.change("a.md", "two").commit("2024-03-03" + noon)
	assert.Equal(t, []string{"03-01 one", "03-03 two < 03-01"}, s.goals())
}

func TestVersionsBroken(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	write(t, s.dir, "a.md", "+++\nid = \"CH-1\n+++\n")
	s.commit("2024-03-02" + noon)
	write(t, s.dir, "a.md", "no keys")
	s.commit("2024-03-03" + noon)
	write(t, s.dir, "a.md", strings.Repeat("x", ledger.MaxRecord+1))
	s.commit("2024-03-04" + noon)
	s.change("a.md", "two").commit("2024-03-05" + noon)
	assert.Equal(t, []string{"03-01 one", "03-02 ? < 03-01", "03-03 ? < 03-02", "03-04 ? < 03-03", "03-05 two < 03-04"}, s.goals())
}

// Of a merge only what neither side had is a text of its own; both sides stand
// before what comes next.
func TestVersionsOfMerges(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "base").commit("2024-03-01" + noon)
	git(t, s.dir, "checkout", "-qb", "left")
	s.change("a.md", "left").commit("2024-03-02" + noon)
	git(t, s.dir, "checkout", "-q", "main")
	write(t, s.dir, "b.md", "+++\nkind = \"change\"\nid = \"CH-2\"\ntitle = \"t\"\nstate = \"agreed\"\n+++\n")
	main := s.commit("2024-03-03" + noon)
	git(t, s.dir, "merge", "-q", "--no-ff", "-m", "m", "left")
	assert.Equal(t, []string{"03-01 base", "03-02 left < 03-01"}, s.goals(), "a clean merge is none")
	l, p := s.past()
	side := p.Versions(l.Record("CH-1"))[1]
	other := p.Versions(l.Record("CH-2"))[0]
	assert.Equal(t, main, other.Commit)
	assert.False(t, p.Follows(side, other), "on another branch")
	assert.False(t, p.Follows(other, side))

	git(t, s.dir, "checkout", "-qb", "one")
	s.change("a.md", "one").commit("2024-03-12" + noon)
	git(t, s.dir, "checkout", "-q", "main")
	s.change("a.md", "two").commit("2024-03-13" + noon)
	_, err := tryGit(s.dir, "merge", "-q", "one")
	require.Error(t, err, "both sides changed it")
	s.change("a.md", "settled").commit("2024-03-14" + noon)
	got := s.goals()
	require.Len(t, got, 5)
	assert.ElementsMatch(t, []string{"03-12 one < 03-02", "03-13 two < 03-02"}, got[2:4])
	assert.Contains(t, []string{"03-14 settled < 03-12 < 03-13", "03-14 settled < 03-13 < 03-12"}, got[4])
}

// The order is that of the commits, whatever their clocks say; a day that the
// commits around it contradict is none.
func TestVersionsWithWrongClocks(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	s.change("a.md", "two").commit("2031-03-02" + noon)
	s.change("a.md", "three").commit("2024-03-03" + noon)
	s.change("a.md", "four").commit("1999-03-03" + noon)
	l, p := s.past()
	v := p.Versions(l.Record("CH-1"))
	require.Len(t, v, 4)
	assert.Equal(t, "four", v[3].Record().Data.(*ledger.Change).Goal.S)
	for i, on := range v {
		assert.True(t, on.On.IsZero(), "%d", i)
	}

	s = newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	s.change("a.md", "two").commit("2024-03-05" + noon)
	s.change("a.md", "three").commit("2024-03-03" + noon)
	s.change("a.md", "four").commit("2024-03-06" + noon)
	assert.Equal(t, []string{"03-01 one", "some day two < 03-01", "some day three < some day", "03-06 four < some day"}, s.goals(), "only the two are in doubt")

	s = newShop(t)
	s.change("a.md", "one").commit("2024-03-01T14:00:00Z")
	s.change("a.md", "two").commit("2024-03-01T09:00:00Z")
	assert.Equal(t, []string{"03-01 one", "03-01 two < 03-01"}, s.goals(), "hours within a day are no matter")
}

// A shallow clone shows what is after its cut, and nothing before it.
func TestVersionsOfShallowClone(t *testing.T) {
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	s.change("a.md", "two").commit("2024-03-02" + noon)
	s.change("a.md", "three").commit("2024-03-03" + noon)
	dir := filepath.Join(t.TempDir(), "clone")
	git(t, t.TempDir(), "clone", "-q", "--depth", "2", "file://"+s.dir, dir)
	assert.Equal(t, []string{"03-02 two", "03-03 three < 03-02"}, shop{t, dir}.goals())
}

func TestNoPast(t *testing.T) {
	dir := t.TempDir()
	s := shop{t, dir}
	write(t, dir, ledger.ConfigName, "")
	s.change("a.md", "one")
	l, p := s.past()
	require.ErrorIs(t, p.Err(), ErrNotARepo)
	v := p.Versions(l.Record("CH-1"))
	require.Len(t, v, 1)
	assert.True(t, v[0].Uncommitted)
	assert.False(t, p.Follows(v[0], v[0]))

	git(t, dir, "init", "-q")
	assert.Equal(t, []string{"now one"}, s.goals(), "before the first commit")
}

// A damaged repository has the texts that can be read, or no history at all.
func TestPastOfDamagedRepo(t *testing.T) {
	damage := func(dir, object string) {
		file := filepath.Join(dir, ".git", "objects", object[:2], object[2:])
		require.NoError(t, os.Chmod(file, 0o644))
		require.NoError(t, os.WriteFile(file, []byte("damaged"), 0o644))
	}
	s := newShop(t)
	s.change("a.md", "one").commit("2024-03-01" + noon)
	s.change("a.md", "two").commit("2024-03-02" + noon)
	s.change("a.md", "three").commit("2024-03-03" + noon)
	object := git(t, s.dir, "rev-parse", "HEAD~1:a.md")
	require.NoError(t, os.Remove(filepath.Join(s.dir, ".git", "objects", object[:2], object[2:])))
	assert.Equal(t, []string{"03-01 one", "03-02 ? < 03-01", "03-03 three < 03-02"}, s.goals(), "a text is missing")

	damage(s.dir, git(t, s.dir, "rev-parse", "HEAD~1^{tree}"))
	l, p := s.past()
	require.Error(t, p.Err())
	assert.Len(t, p.Versions(l.Record("CH-1")), 1)
}

// Paths outside the folder of the ledger are not its history.
func TestPastBelowAFolder(t *testing.T) {
	s := newShop(t)
	write(t, s.dir, "shop/"+ledger.ConfigName, "")
	s.change("CH-1.md", "outside").commit("2024-03-01" + noon)
	write(t, s.dir, "readme.txt", "1")
	s.commit("2024-03-02" + noon)
	git(t, s.dir, "mv", "CH-1.md", "shop/CH-1.md")
	s.commit("2024-03-03" + noon)
	s.change("shop/CH-1.md", "inside").commit("2024-03-04" + noon)
	write(t, s.dir, "readme.txt", "2")
	s.commit("2024-03-05" + noon)
	assert.Equal(t, []string{"03-03 outside", "03-04 inside < 03-03"}, shop{t, filepath.Join(s.dir, "shop")}.goals())
}

func TestDistrust(t *testing.T) {
	on := func(d int) time.Time { return time.Date(2024, 3, d, 9, 0, 0, 0, time.UTC) }
	w := &walk{commits: []commit{{on: on(1)}, {parents: []int{0}, on: on(9)}, {parents: []int{0}, on: on(3)}, {parents: []int{1, 2}, on: on(10)}}}
	w.distrust()
	for i, c := range w.commits {
		assert.False(t, c.on.IsZero(), "%d: branches need no common order", i)
	}
}
