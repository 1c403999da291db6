package ledger

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

// listed gives the problems of a ledger as file:line:column: message.
func listed(l *Ledger) []string {
	var out []string
	for _, p := range l.Problems {
		pos := PositionOf(p.Src, p.Span.Start)
		out = append(out, fmt.Sprintf("%s:%d:%d: %s", p.File, pos.Line, pos.Column, p.Msg))
	}
	return out
}

// loadOne loads one record named a.md.
func loadOne(t *testing.T, text string) *Ledger {
	t.Helper()
	return load(t, map[string]string{"a.md": text})
}

const good = "+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"Reamer\"\ntype = \"reamer\"\n+++\n"

// TestHostileRecords loads records that are broken in one way each. In every
// one the good record beside it is still read.
func TestHostileRecords(t *testing.T) {
	deep := strings.Repeat("[", 5000)
	for _, tc := range []struct {
		name, text, want string
	}{
		{"empty file", "", "a.md:1:1: has no front matter"},
		{"no front matter", "# Notes\n\ntext\n", "a.md:1:1: has no front matter"},
		{"front matter of another kind", "---\nid: T2\n---\n", "a.md:1:1: has no front matter"},
		{"four plus signs", "++++\nkind = \"tool\"\n++++\n", "a.md:1:1: has no front matter"},
		{"unclosed", "+++\nkind = \"tool\"\nid = \"T2\"\n", "a.md:1:1: the front matter is opened with +++ and never closed"},
		{"closed by a line with more on it", "+++\nkind = \"tool\"\n+++ end\n", "a.md:1:1: the front matter is opened with +++ and never closed"},
		{"byte order mark", "\xEF\xBB\xBF" + good, "a.md:1:1: begins with a byte order mark, which hides its first line"},
		{"UTF-16", "\xFF\xFE+\x00+\x00+\x00", "a.md:1:1: begins with a byte order mark, which hides its first line"},
		{"invalid UTF-8", "+++\nkind = \"tool\"\ntitle = \"\u00fcber \xff\"\n+++\n", "a.md:3:15: cannot read the keys: not valid UTF-8 text here"},
		{"broken TOML", "+++\nkind = \"tool\"\nid = \"T2\"\ntitle = Reamer\n+++\n", "a.md:4:9: cannot read the keys: expected value but found \"Reamer\" instead"},
		{"key twice", "+++\nkind = \"tool\"\nkind = \"part\"\n+++\n", "a.md:3:1: cannot read the keys: Key 'kind' has already been defined."},
		{"deep arrays", "+++\nkind = \"tool\"\nphotos = " + deep + "\n+++\n", "a.md:3:210: cannot read the keys: brackets are nested deeper than 200 here"},
		{"deep key", "+++\n" + strings.Repeat("a.", 20000) + "a = 1\n+++\n", "a.md:2:400: cannot read the keys: a key has more than 200 parts here"},
		{"+++ in a long string", "+++\nkind = \"tool\"\nid = \"T2\"\ntitle = \"\"\"\n+++\n\"\"\"\n+++\n", "a.md:4:12: cannot read the keys: unexpected EOF; expected '\"\"\"'"},
		{"long notes", strings.Replace(good, "T1", "T2", 1) + strings.Repeat("[", MaxNotes+1), fmt.Sprintf("a.md:7:1: the notes are %d bytes long; notes of more than %d bytes are not read", MaxNotes+1, MaxNotes)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			l := load(t, map[string]string{"a.md": tc.text, "good.md": good})
			require.NotEmpty(t, listed(l))
			assert.Equal(t, tc.want, listed(l)[0])
			assert.Len(t, l.Problems, 1)
			assert.NotEmpty(t, l.Problems[0].Fix)
			if strings.Contains(tc.want, "UTF-8") {
				assert.Contains(t, l.Problems[0].Fix, "save the file as UTF-8")
			}
			require.NotNil(t, l.Record("T1"), "the other record is not read")
		})
	}
}

// TestPlusSignsInText checks that +++ is only the end where it is a whole line.
func TestPlusSignsInText(t *testing.T) {
	l := loadOne(t, "+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"a +++ b\" # +++\ntype = \"reamer\"\n+++\nnotes\n+++\nmore\n")
	assert.Empty(t, listed(l))
	assert.Equal(t, "a +++ b", l.Record("T1").Common.Title.S)
	assert.Equal(t, "notes\n+++\nmore\n", string(l.Record("T1").Src[l.Record("T1").BodyStart:]))
}

// TestWrongTypes gives each type of field every other type of value. Each is one
// problem, at the value, and the record is read for the rest.
func TestWrongTypes(t *testing.T) {
	for _, tc := range []struct {
		kind, head, key string
		wrong           []string
	}{
		{"text", `kind = "part"`, "material", []string{"1", "1.5", "true", "2024-03-11", "07:32:00", `["a"]`, "{ a = 1 }", `"bell \u0007"`}},
		{"text with words", `kind = "part"`, "state", []string{"1", "true", `"in us"`, `""`, `["in use"]`}},
		{"texts", `kind = "plan"`, "operation.makes", []string{"1", "[1]", "true", `[["H1"]]`, "{ a = 1 }"}},
		{"path", `kind = "part"`, "characteristic.gauge", []string{"1", "true", `["G1"]`, "2024-03-11", `"G\u001b[2J"`}},
		{"paths", `kind = "part"`, "made_of", []string{"1", "[1]", "[true]"}},
		{"whole number", `kind = "tool"`, "flutes", []string{`"3"`, "3.5", "true", "[3]", "99999999999"}},
		{"flag", `kind = "inspection"`, "comparison", []string{`"yes"`, "1", "[true]"}},
		{"day", `kind = "inspection"`, "on", []string{"1", "20240311", "true", `"11.3.2024"`, `"2024-02-30"`, `"about"`, "07:32:00", "[2024-03-11]"}},
		{"length", `kind = "tool"`, "diameter", []string{"true", `"big"`, `"0,125"`, `"1e3"`, "1e3", "nan", "inf", "0x10", "1_000", `"12 deg"`, `"3 ozf"`, "[0.1]", "2024-03-11", `"0.2 +0/-0.1 +1"`, `"5..4"`}},
		{"angle or any", `kind = "gauge"`, "resolution", []string{"true", `"0.1 furlong"`, "{ a = 1 }"}},
		{"plain number", `kind = "tool"`, "learned_gain", []string{`"0.92 in"`, "true"}},
		{"temperature", `kind = "inspection"`, "temperature", []string{"68", `"68"`, `"68 in"`, `"5 dF"`}},
		{"time", `kind = "change"`, "hours", []string{"6", `"6"`, `"6 in"`}},
		{"pair", `kind = "part"`, "feature.at", []string{"1", `"0 0"`, "[1]", "[1, 2, 3]", "[true, 1]", `["x", 1]`}},
		{"period", `kind = "gauge"`, "interval", []string{"12", `"12"`, `"a year"`, `"-1 months"`, "true"}},
		{"count", `kind = "inspection"`, "count", []string{"3", `"3/20"`, `"21 of 20"`, `"-1 of 20"`, `"3 of 0"`}},
		{"sizes", `kind = "inspection"`, "readings", []string{"true", "[true]", `"1.5 x"`, `["1.5", "y"]`, "{ a = 1 }"}},
		{"names with paths", `kind = "part"`, "derived.where", []string{"1", `"P-10/H1"`, `["P-10/H1"]`, "{ a = 1 }"}},
		{"table", `kind = "change"`, "cause", []string{"1", `"worn"`, "[1]"}},
		{"tables", `kind = "part"`, "feature", []string{"1", `"H1"`, "[1]", `["H1"]`}},
	} {
		for _, value := range tc.wrong {
			segs := strings.Split(tc.key, ".")
			text := "+++\n" + tc.head + "\nid = \"X1\"\ntitle = \"x\"\n"
			if len(segs) == 2 {
				text += "[[" + segs[0] + "]]\n"
			}
			key := segs[len(segs)-1] + " = "
			line := strings.Count(text, "\n") + 1
			l := loadOne(t, text+key+value+"\n+++\n")
			var at []Position
			for _, p := range l.Problems {
				if !p.Gap {
					at = append(at, PositionOf(p.Src, p.Span.Start))
					assert.NotEmpty(t, p.Fix, "%s = %s", tc.key, value)
					assert.NotContains(t, p.Msg, "\x1b", "a control character gets into a message")
				}
			}
			require.Len(t, at, 1, "%s, %s = %s: %v", tc.kind, tc.key, value, listed(l))
			assert.Equal(t, line, at[0].Line, "%s = %s", tc.key, value)
			assert.GreaterOrEqual(t, at[0].Column, 1+len(key), "%s = %s: the problem is not at the value", tc.key, value)
			require.NotNil(t, l.Record("X1"), "the rest is not read")
		}
	}
}

// TestIDs refuses ids that cannot be spoken, typed or put into a path.
func TestIDs(t *testing.T) {
	for _, id := range []string{`"P 10"`, `"P/10"`, `""`, `"P\u0000"`, `"P\u0007"`, `"\u202eP"`, `"Ä"`, `"` + strings.Repeat("x", 41) + `"`, "10"} {
		l := loadOne(t, "+++\nkind = \"tool\"\nid = "+id+"\ntitle = \"t\"\ntype = \"drill\"\n+++\n")
		require.Len(t, l.Problems, 1, id)
		assert.Contains(t, listed(l)[0], "a.md:3:6: id: ", id)
		assert.NotContains(t, l.Problems[0].Msg, "\u202e")
		assert.Empty(t, l.IDs(), id)
	}
}

// TestPlaces checks places to the byte, in a file with CRLF line ends and
// letters of several bytes.
func TestPlaces(t *testing.T) {
	for _, end := range []string{"\n", "\r\n"} {
		text := strings.ReplaceAll("+++\nkind = \"inspection\"\nid = \"IN-1\"\ntitle = \"Größe µm\" # ±\nreadings = \"+3 −1.5  2\"\n\n[[reading]]\nvalues = [0.10, \"7 µm\"]\n+++\nsee ![ü](bild%20a.jpg)\n", "\n", end)
		l := loadOne(t, text)
		require.Empty(t, listed(l))
		rec := l.Record("IN-1")
		in := rec.Data.(*Inspection)
		at := func(s Span) string { return text[s.Start:s.End] }
		assert.Equal(t, `"IN-1"`, at(rec.Common.ID.Span))
		require.Len(t, in.Readings, 3)
		for i, want := range []string{"+3", "−1.5", "2"} {
			assert.Equal(t, want, at(in.Readings[i].Span))
		}
		assert.Equal(t, "[[reading]]", at(in.Pieces[0].Span))
		assert.Equal(t, "0.10", at(in.Pieces[0].Values[0].Span))
		assert.Equal(t, `"7 µm"`, at(in.Pieces[0].Values[1].Span))
		assert.Equal(t, 2, in.Pieces[0].Values[0].Nominal().Decimals(), "the zero at the end says what could be read")
		require.Len(t, rec.Body.Links, 1)
		assert.Equal(t, "bild%20a.jpg", at(rec.Body.Links[0].Span))
		assert.Equal(t, Position{5, 16}, PositionOf([]byte(text), in.Readings[1].Start), "columns are characters, not bytes")
		assert.Equal(t, "readings", rec.KeyPath(in.Readings[1].Span))
		assert.Equal(t, "reading/#1/values", rec.KeyPath(in.Pieces[0].Values[1].Span))
	}
}

// TestKeyPathStays checks that the path of a key does not change when lines move.
func TestKeyPathStays(t *testing.T) {
	text := shop["f.md"]
	path := func(text string) string {
		l := load(t, map[string]string{"f.md": text})
		rec := l.Record("FX1")
		return rec.KeyPath(rec.Data.(*Fixture).Stations[0].Locators[0].Surveys[1].Off.Y.Span)
	}
	assert.Equal(t, "station/A/locator/P1/survey/2021-05-03/off", path(text))
	assert.Equal(t, path(text), path(strings.Replace(text, "kind =", "# a comment\n\nkind =", 1)))
	var many strings.Builder
	many.WriteString("+++\nkind = \"inspection\"\nid = \"IN-1\"\ntitle = \"t\"\n")
	for range 12 {
		many.WriteString("[[reading]]\nvalues = \"1\"\n")
	}
	l := loadOne(t, many.String()+"+++\n")
	rec := l.Record("IN-1")
	assert.Equal(t, "reading/#12/values", rec.KeyPath(rec.Data.(*Inspection).Pieces[11].Values[0].Span))
}

// guarded is a source that fails the test when a file is read that must not be.
type guarded struct {
	source.Source
	t     *testing.T
	files []source.File
	never map[string]bool
}

func (g guarded) Files() ([]source.File, error) { return g.files, nil }

func (g guarded) Read(name string) ([]byte, error) {
	if g.never[name] {
		g.t.Errorf("%s is read", name)
	}
	return g.Source.Read(name)
}

// TestNeverRead checks what is refused from the listing alone: a record of
// 50 MB, a link, what is no file, and tables of readings of such kinds.
func TestNeverRead(t *testing.T) {
	inspection := func(id, table string) string {
		return "+++\nkind = \"inspection\"\nid = \"" + id + "\"\ntitle = \"t\"\nreadings_from = \"" + table + "\"\n+++\n"
	}
	texts := map[string]string{ConfigName: "units = \"in\"\n", "good.md": good, "i.md": inspection("IN-1", "big.csv"), "j.md": inspection("IN-2", "link.csv")}
	g := guarded{Source: source.Map(texts), t: t, never: map[string]bool{"big.md": true, "link.md": true, "pipe.md": true, "README.md": true, "big.csv": true, "link.csv": true}}
	g.files = []source.File{
		{Path: "README.md", Size: 50 << 20}, {Path: "big.csv", Size: 50 << 20}, {Path: "big.md", Size: 50 << 20},
		{Path: "good.md", Size: 10}, {Path: "i.md", Size: 10}, {Path: "j.md", Size: 10},
		{Path: "link.csv", Kind: source.Symlink}, {Path: "link.md", Kind: source.Symlink}, {Path: "pipe.md", Kind: source.Other},
		{Path: ConfigName, Size: 10},
	}
	l, err := Load(g)
	require.NoError(t, err)
	assert.Equal(t, []string{
		"big.md:1:1: is 52428800 bytes long; a record of more than 1048576 bytes is not read",
		"link.md:1:1: is a link or no plain file, and is not followed",
		"pipe.md:1:1: is a link or no plain file, and is not followed",
		"i.md:5:17: readings_from: big.csv is 52428800 bytes long; a table of more than 1048576 bytes is not read",
	}, listed(l))
	assert.Len(t, l.Records, 3)
}

// TestReadErrors checks that a file that vanishes or cannot be read is a problem
// of that file alone.
func TestReadErrors(t *testing.T) {
	g := guarded{Source: source.Map(map[string]string{ConfigName: "", "good.md": good}), t: t}
	g.files = []source.File{{Path: "gone.md"}, {Path: "good.md"}, {Path: ConfigName}}
	l, err := Load(g)
	require.NoError(t, err)
	require.Len(t, l.Problems, 1)
	assert.Equal(t, "gone.md", l.Problems[0].File)
	assert.Contains(t, l.Problems[0].Msg, "cannot be read")
	assert.NotNil(t, l.Record("T1"))

	_, err = Load(source.Map(map[string]string{"good.md": good}))
	assert.ErrorIs(t, err, ErrNoLedger)
	g.files = []source.File{{Path: ConfigName}}
	g.Source = source.Map(nil)
	_, err = Load(g)
	assert.ErrorIs(t, err, fs.ErrNotExist, "a config that cannot be read is an error of its own")
	assert.False(t, errors.Is(err, ErrNoLedger))
}

// TestCyclicReferences loads records that name each other and themselves.
func TestCyclicReferences(t *testing.T) {
	l := load(t, map[string]string{
		"a.md": "+++\nkind = \"fixture\"\nid = \"A\"\ntitle = \"a\"\nsuperseded_by = \"B\"\n+++\n",
		"b.md": "+++\nkind = \"fixture\"\nid = \"B\"\ntitle = \"b\"\nsuperseded_by = \"A\"\n+++\n",
		"c.md": "+++\nkind = \"part\"\nid = \"C\"\ntitle = \"c\"\nmade_of = [\"C\"]\n[[derived]]\nname = \"x\"\nformula = \"y\"\nwhere = { y = \"C/x\" }\n+++\n",
	})
	assert.Empty(t, listed(l))
	n := 0
	for _, rec := range l.Records {
		for _, r := range l.References(rec) {
			_, err := l.Find(r.Path)
			assert.NoError(t, err)
			n++
		}
	}
	assert.Equal(t, 4, n)
}

// TestManyProblems checks that a file does not flood the list.
func TestManyProblems(t *testing.T) {
	var b strings.Builder
	for i := range 500 {
		fmt.Fprintf(&b, "k%d = 1\n", i)
	}
	l := loadOne(t, strings.Replace(good, "type =", b.String()+"type =", 1))
	require.Len(t, l.Problems, maxProblems+1)
	assert.Contains(t, listed(l)[maxProblems], "400 more problems")
}

// TestConfigProblems checks the places in tenths.toml.
func TestConfigProblems(t *testing.T) {
	for _, tc := range []struct{ config, want string }{
		{"units = \"in\"\nplain = [\n", "tenths.toml:2:10: cannot read the keys: unexpected EOF; expected value"},
		{"units = \"inch\"\n", "tenths.toml:1:9: units: \"inch\" has no meaning here"},
		{"# \u00e4\nhotest = \"88 F\"\n", "tenths.toml:2:1: tenths.toml: there is no key named \"hotest\"; nothing reads it"},
		{"[rules]\nphoto-orphan = true\n", "tenths.toml:2:16: rules: true is no severity for photo-orphan"},
		{"coldest = 55\n", "tenths.toml:1:11: coldest: "},
		{"\xEF\xBB\xBFunits = \"in\"\n", "tenths.toml:1:1: cannot read the keys: a byte order mark stands before the keys; save the file without it"},
	} {
		l := load(t, map[string]string{ConfigName: tc.config, "good.md": good})
		require.Len(t, l.Problems, 1, tc.config)
		assert.True(t, strings.HasPrefix(listed(l)[0], tc.want), listed(l)[0])
		assert.NotNil(t, l.Record("T1"))
	}
}
