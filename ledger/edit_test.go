package ledger

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// oddRecord has comments, CRLF line ends, odd spacing, no last line end, and
// text after the front matter that looks like keys.
var oddRecord = strings.ReplaceAll(`+++
# a comment with value = "0.1" in it
kind   =  "tool"   # kind
id="T1"
title = 'odd  spacing'
type	= "end mill"

  [[derived]]
  name = "a"  # name
  formula =   "1*mm"
  value="0.5 mm"   # kept

[[derived]]
name = "b"
formula = "2*mm" # no value yet
+++
value = "0.5 mm"
`, "\n", "\r\n") + "no line end"

func TestApplyChangesOnlyTheValue(t *testing.T) {
	l := load(t, map[string]string{"t.md": oddRecord})
	require.Empty(t, l.Problems)
	rec := l.Record("T1")
	d := &rec.Common.Derived[0]
	out, err := Apply(rec.Src, []Edit{ValueEdit(rec.Src, d, "1 mm")})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(oddRecord, `value="0.5 mm"`, `value="1 mm"`, 1), string(out))
}

func TestApplyInsertsALine(t *testing.T) {
	l := load(t, map[string]string{"t.md": oddRecord})
	rec := l.Record("T1")
	out, err := Apply(rec.Src, []Edit{
		ValueEdit(rec.Src, &rec.Common.Derived[1], "2 mm"),
		ValueEdit(rec.Src, &rec.Common.Derived[0], "1 mm"),
	})
	require.NoError(t, err)
	want := strings.Replace(oddRecord, `value="0.5 mm"`, `value="1 mm"`, 1)
	want = strings.Replace(want, "# no value yet\r\n", "# no value yet\r\nvalue = \"2 mm\"\r\n", 1)
	assert.Equal(t, want, string(out))
	again := load(t, map[string]string{"t.md": string(out)})
	assert.Empty(t, again.Problems)
	assert.Equal(t, "2 mm", again.Record("T1").Common.Derived[1].Value.Raw)
}

func TestApplyRefuses(t *testing.T) {
	src := []byte("+++\na = \"x\"\nb = \"y\"\n+++\n")
	at := func(s string) Span {
		i := bytes.Index(src, []byte(s))
		return Span{Start: i, End: i + len(s)}
	}
	for _, tc := range []struct {
		name string
		edit []Edit
		msg  string
	}{
		{"half a value", []Edit{{at(`"x`), `"z`}}, "whole value"},
		{"a new key", []Edit{{at(`"x"`), "\"x\"\nc = 1"}}, "add or lose a key"},
		{"broken text", []Edit{{at(`"x"`), `"x`}}, "break the file"},
		{"a comment over the next value", []Edit{{at(`"x"`), "\"x\" #"}, {at("\nb"), "b"}}, "whole value"},
		{"overlap", []Edit{{at(`"x"`), `"z"`}, {at(`"x"`), `"w"`}}, "meet"},
		{"outside", []Edit{{Span{Start: 3, End: 900}, ""}}, "meet"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := Apply(src, tc.edit)
			assert.ErrorContains(t, err, tc.msg)
		})
	}
}

// TestInlineTable checks that a value never lands beside a derived value that
// is written on one line.
func TestInlineTable(t *testing.T) {
	text := "+++\nkind = \"tool\"\nid = \"T\"\ntitle = \"t\"\ntype = \"drill\"\nderived = [{name = \"a\", formula = \"1*in\", where = {}}]\n+++\n"
	l := load(t, map[string]string{"t.md": text})
	require.Empty(t, l.Problems)
	rec := l.Record("T")
	_, err := Apply(rec.Src, []Edit{ValueEdit(rec.Src, &rec.Common.Derived[0], "1 in")})
	assert.ErrorContains(t, err, "[[derived]]")
}

func TestPredictionEdits(t *testing.T) {
	text := strings.ReplaceAll("+++\n# first\n  kind = \"change\"\nid = \"C\"\ntitle = \"t\"\nstate = \"agreed\"\n  goal = \"\"\"\nflat\n\"\"\"   # goal\nlesson=\"predicted = 1\"\n\n[[planned]]\nwhat = \"F\"\n+++\npredicted = \"no\"", "\n", "\r\n")
	on := time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC)
	l := load(t, map[string]string{"c.md": text})
	rec := l.Record("C")
	out, err := Apply(rec.Src, PredictionEdits(rec.Src, rec.Data.(*Change), "-6.2 +2.8/-3.0 tenths", on))
	require.NoError(t, err)
	want := strings.Replace(text, "# goal\r\n", "# goal\r\n  predicted = \"-6.2 +2.8/-3.0 tenths\"\r\n  predicted_on = 2024-03-01\r\n", 1)
	assert.Equal(t, want, string(out))

	// Once more: only the values change.
	l = load(t, map[string]string{"c.md": want})
	rec = l.Record("C")
	out, err = Apply(rec.Src, PredictionEdits(rec.Src, rec.Data.(*Change), "-5 ±1 tenths", on.AddDate(0, 0, 1)))
	require.NoError(t, err)
	want = strings.Replace(strings.Replace(want, "-6.2 +2.8/-3.0 tenths", "-5 ±1 tenths", 1), "2024-03-01", "2024-03-02", 1)
	assert.Equal(t, want, string(out))

	// A day alone is added below the value that is there.
	half := strings.Replace(want, "  predicted_on = 2024-03-02\r\n", "", 1)
	l = load(t, map[string]string{"c.md": half})
	rec = l.Record("C")
	out, err = Apply(rec.Src, PredictionEdits(rec.Src, rec.Data.(*Change), "-5 ±1 tenths", on.AddDate(0, 0, 1)))
	require.NoError(t, err)
	assert.Equal(t, want, string(out))
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "sub", "t.md")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "sub"), 0o755))
	require.NoError(t, os.WriteFile(file, []byte("old"), 0o640))

	require.NoError(t, WriteFile(dir, "sub/t.md", []byte("old"), []byte("new")))
	got, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got))
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm(), "the mode is kept")

	err = WriteFile(dir, "sub/t.md", []byte("old"), []byte("newer"))
	require.ErrorIs(t, err, ErrChanged)
	got, _ = os.ReadFile(file)
	assert.Equal(t, "new", string(got), "a changed file is left as it is")

	require.NoError(t, os.Symlink(file, filepath.Join(dir, "link.md")))
	assert.ErrorContains(t, WriteFile(dir, "link.md", []byte("new"), []byte("x")), "no plain file")
	assert.Error(t, WriteFile(dir, "../t.md", nil, nil), "a path out of the ledger")

	// A folder that cannot take the new text leaves the old file whole.
	entries, err := os.ReadDir(filepath.Join(dir, "sub"))
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing is left beside the file")
}

// FuzzApply checks that no text makes the editor touch a byte outside a value.
func FuzzApply(f *testing.F) {
	f.Add(oddRecord, "1 mm")
	f.Add("+++\nkind=\"tool\"\nid=\"T\"\ntitle=\"\"\nderived=[{name=\"a\",formula=\"1\",value='''x'''}]\n+++", "\"")
	f.Add("+++\nkind=\"change\"\nid=\"C\"\ntitle=\"\"\nstate=\"agreed\"\n+++", "1 mm")
	f.Fuzz(func(t *testing.T, text, value string) {
		l := load(t, map[string]string{"t.md": text})
		for _, rec := range l.Records {
			if ch, ok := rec.Data.(*Change); ok {
				on := time.Date(2024, 3, 1, 0, 0, 0, 0, time.UTC)
				if out, err := Apply(rec.Src, PredictionEdits(rec.Src, ch, value, on)); err == nil {
					assert.Contains(t, string(out), "2024-03-01")
				}
			}
			for i := range rec.Common.Derived {
				d := &rec.Common.Derived[i]
				e := ValueEdit(rec.Src, d, value)
				out, err := Apply(rec.Src, []Edit{e})
				if err != nil {
					continue
				}
				assert.Equal(t, string(rec.Src[:e.Span.Start]), string(out[:e.Span.Start]))
				assert.True(t, strings.HasSuffix(string(out), string(rec.Src[e.Span.End:])))
				assert.Len(t, out, len(rec.Src)-(e.Span.End-e.Span.Start)+len(e.Text))
			}
		}
	})
}
