package ledger

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func day(s string) time.Time {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		panic(err)
	}
	return t
}

var shop = map[string]string{
	"p.md": `+++
kind = "part"
id = "P-10"
title = "Plate"
units = "in"
[[feature]]
id = "H1"
type = "hole"
at = ["2.4000 ±0.0005", 0.25]
size = "0.1875 +0.0005/-0"
[[feature.was]]
until = 2024-05-20
size = "0.1875 +0.0010/-0"
[[feature.was]]
until = 2022-01-01
size = "0.1875 +0.0020/-0"
made_by = "drilled"
[[characteristic]]
id = "KC-1"
limits = "0 ±0.0010"
datum = ["H1", "H9"]
[[derived]]
name = "play"
formula = "1*mm"
value = "1 mm"
[[derived]]
name = "empty"
formula = "1*mm"
+++
`,
	"f.md": `+++
kind = "fixture"
id = "FX1"
title = "Plate fixture"
[[station]]
id = "A"
part = "P-10"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
[[station.locator.survey]]
on = 2024-03-11
off = ["0.5 tenths", "1.0 tenths"]
[[station.locator.survey]]
on = 2021-05-03
off = ["4 tenths", "-9 tenths"]
[[station.locator.was]]
until = 2024-03-11
made_by = "drilled"
+++
`,
	"plan-b.md": "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"b\"\nrev = \"B\"\nstate = \"superseded\"\npart = \"P-10\"\n+++\n",
	"plan-a.md": "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"a\"\nrev = \"A\"\nstate = \"released\"\npart = \"P-10\"\n+++\n",
}

func TestValueOn(t *testing.T) {
	l := load(t, shop)
	require.Empty(t, l.Problems)
	for _, tc := range []struct{ path, on, want string }{
		{"P-10/H1/size", "2025-01-01", "0.1875 +0.0005/-0 in"},
		{"P-10/H1/size", "2024-05-20", "0.1875 +0.0005/-0 in"},
		{"P-10/H1/size", "2024-05-19", "0.1875 +0.0010/-0 in"},
		{"P-10/H1/size", "2021-12-31", "0.1875 +0.0020/-0 in"},
		{"P-10/H1/at/x", "2025-01-01", "2.4000 ±0.0005 in"},
		{"P-10/H1/at/y", "2025-01-01", "0.25 in"},
		{"P-10/play", "2025-01-01", "1 mm"},
		{"P-10/play/value", "2025-01-01", "1 mm"},
		{"FX1/A/P1/2021-05-03/off/y", "2025-01-01", "-9 tenths"},
	} {
		v, _, err := l.ValueOn(tc.path, day(tc.on))
		require.NoError(t, err, tc.path)
		assert.Equal(t, tc.want, v.Tol.String(), "%s on %s", tc.path, tc.on)
	}
	for path, msg := range map[string]string{
		"P-10/H1":       "not a value",
		"P-10/empty":    "no value yet",
		"P-11/H1/size":  "names nothing|nothing is named P-11",
		"P-10/H1/siez":  "nothing is named siez",
		"P-10/H1/at/z":  "nothing is named z",
		"P-10/H1/at":    "not a value",
		"FX1/A/P1/land": "nothing is named land",
		"":              "nothing",
		"P-10/H1/size/": "nothing is named",
	} {
		_, _, err := l.ValueOn(path, day("2025-01-01"))
		require.Error(t, err, path)
		assert.Regexp(t, msg, err.Error(), path)
	}
	var nf *NotFound
	_, err := l.Find("P-11/H1/size")
	require.ErrorAs(t, err, &nf)
	assert.Equal(t, "P-10/H1/size", nf.Near)
	_, err = l.Find("FX1/A/p1")
	require.ErrorAs(t, err, &nf)
	assert.Equal(t, "FX1/A/P1", nf.Near)
}

func TestRevisions(t *testing.T) {
	l := load(t, shop)
	assert.Equal(t, "A", l.Record("PL").Common.Rev.S, "the newest revision that is in force")
	assert.Len(t, l.WithID("PL"), 2)
}

func TestSurveyOn(t *testing.T) {
	l := load(t, shop)
	loc := l.Record("FX1").Data.(*Fixture).Stations[0].Locators[0]
	for _, tc := range []struct{ on, want, madeBy string }{
		{"2021-05-02", "", "drilled"},
		{"2023-01-01", "4 tenths", "drilled"},
		{"2024-03-10", "4 tenths", "drilled"},
		{"2024-03-11", "0.5 tenths", ""},
	} {
		s, ok := loc.SurveyOn(day(tc.on))
		assert.Equal(t, tc.want != "", ok, tc.on)
		if ok {
			assert.Equal(t, tc.want, s.Off.X.Tol.String(), tc.on)
		}
		assert.Equal(t, tc.madeBy, OnDay(loc, day(tc.on)).MadeBy.S, tc.on)
	}
	loc.Surveys = loc.Surveys[1:]
	_, ok := loc.SurveyOn(day("2024-06-01"))
	assert.False(t, ok, "a survey from before the pin was re-made does not count")
}

func TestReferences(t *testing.T) {
	l := load(t, shop)
	var broken []string
	for _, rec := range l.Records {
		for _, r := range l.References(rec) {
			if _, err := l.Find(r.Path); err != nil {
				broken = append(broken, r.Path)
			}
		}
	}
	assert.Equal(t, []string{"P-10/H9"}, broken)
}

func TestBody(t *testing.T) {
	text := "+++\nkind = \"tool\"\nid = \"T\"\ntitle = \"t\"\ntype = \"drill\"\n+++\n# One\n\n- [x] done\n- [ ] open\n- [x]no box\n\nsee ![pins](photos/a.jpg) and [plan](../plans/b.md)\n\n> # quoted\n\n```\n# code ![x](no.jpg)\n```\n\nTwo\n---\n"
	l := load(t, map[string]string{"x/t.md": text})
	require.Empty(t, l.Problems)
	b := l.Record("T").Body
	require.Len(t, b.Headings, 2)
	assert.Equal(t, "One", b.Headings[0].Text)
	assert.Equal(t, "Two", b.Headings[1].Text)
	require.Len(t, b.Tasks, 2)
	assert.True(t, b.Tasks[0].Done)
	assert.Equal(t, "open", b.Tasks[1].Text)
	require.Len(t, b.Links, 2)
	assert.Equal(t, "photos/a.jpg", b.Links[0].Target)
	assert.True(t, b.Links[0].Image)
	assert.Equal(t, "photos/a.jpg", text[b.Links[0].Start:b.Links[0].End], "the target is the value")
	assert.Equal(t, "x/photos/a.jpg", l.Beside(l.Record("T"), b.Links[0].Target))
	assert.Empty(t, l.Beside(l.Record("T"), "../../out.jpg"))
	assert.Empty(t, l.Beside(l.Record("T"), "/etc/passwd"))
}

func TestRevisionAfter(t *testing.T) {
	order := []string{"", "A", "B", "Z", "AA"}
	for i := range order {
		for j := range order {
			assert.Equal(t, i > j, RevisionAfter(order[i], order[j]), "%q after %q", order[i], order[j])
		}
	}
	for _, pair := range [][2]string{{"10", "9"}, {"r10", "r9"}, {"C2", "C"}, {"2", "01"}, {"B1", "A9"}} {
		assert.True(t, RevisionAfter(pair[0], pair[1]), "%v", pair)
		assert.False(t, RevisionAfter(pair[1], pair[0]), "%v", pair)
	}
}
