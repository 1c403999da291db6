package study_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// refreshShop is a ledger of one record under test and one that it can name.
func refreshShop(record string) (*ledger.Ledger, *study.Set, error) {
	l, err := ledger.Load(source.Map(map[string]string{
		ledger.ConfigName: "units = \"in\"\n",
		"a.md":            record,
		"t.md":            "+++\nkind = \"tool\"\nid = \"T14\"\ntitle = \"cutter\"\ntype = \"end mill\"\ndiameter = \"3.175 mm\"\n[[derived]]\nname = \"half\"\nformula = \"d/2\"\nwhere = { d = \"T14/diameter\" }\nvalue = \"0.0625 in\"\n+++\n",
	}))
	if err != nil {
		return nil, nil, err
	}
	return l, study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)), nil
}

// withoutValues is the text of a record without the values of its derived
// values, and without the lines of those that had none before: what writing
// must leave alone. had tells by number which of them had a value.
func withoutValues(l *ledger.Ledger, file string, had []bool) (string, []bool) {
	var src []byte
	var cuts []ledger.Span
	var has []bool
	for _, rec := range l.Records {
		if rec.Path != file {
			continue
		}
		src = rec.Src
		for i := range rec.Common.Derived {
			v := rec.Common.Derived[i].Value
			has = append(has, v.Set())
			if !v.Set() {
				continue
			}
			at := v.Span
			if had != nil && !had[len(has)-1] {
				// The line that was added, with the line end before it.
				at.Start = strings.LastIndexByte(string(src[:at.Start]), '\n')
				if at.Start > 0 && src[at.Start-1] == '\r' {
					at.Start--
				}
			}
			cuts = append(cuts, at)
		}
	}
	var out strings.Builder
	from := 0
	for _, c := range cuts {
		if c.Start < from {
			return "values out of order", has
		}
		out.Write(src[from:c.Start])
		from = c.End
	}
	out.Write(src[from:])
	return out.String(), has
}

// checkRefresh writes a record twice: no byte changes outside of the values, no
// problem of the record comes or goes, and a second run changes nothing.
func checkRefresh(t interface {
	require.TestingT
	Helper()
}, record string) {
	t.Helper()
	l, s, err := refreshShop(record)
	require.NoError(t, err)
	before, had := withoutValues(l, "a.md", nil)
	text := record
	var refused error
	for _, f := range study.Refresh(s.Derived()) {
		if f.File != "a.md" {
			continue
		}
		assert.Equal(t, record, string(f.Old))
		if refused = f.Err; refused == nil {
			text = string(f.New)
		}
	}
	after, s2, err := refreshShop(text)
	require.NoError(t, err)
	if refused == nil && text != record {
		now, _ := withoutValues(after, "a.md", had)
		assert.Equal(t, before, now, "bytes changed outside of values")
	}
	require.Len(t, after.Records, len(l.Records))
	for i, rec := range l.Records {
		for k, d := range rec.Common.Derived {
			if d.Keep.Set() && d.Value.Set() {
				assert.Equal(t, d.Value.Raw, after.Records[i].Common.Derived[k].Value.Raw, "a kept value was written")
			}
		}
	}
	require.Len(t, after.Problems, len(l.Problems))
	for i, p := range after.Problems {
		assert.Equal(t, l.Problems[i].Msg, p.Msg)
	}
	for _, f := range study.Refresh(s2.Derived()) {
		if f.File == "a.md" && refused == nil {
			assert.Equal(t, text, string(f.New), "a second run changed something")
		}
	}
	for _, d := range s2.Derived() {
		if d.Rec.Path == "a.md" && refused == nil && d.Err == nil {
			assert.False(t, d.Stale, "%s is stale after it was written: %s", d.D.Name.S, d.Text)
			assert.True(t, d.D.Value.Set())
		}
	}
}

// oddDerived are ways to write the same things that a person or a program may
// choose.
var oddDerived = []string{
	"+++\r\nkind = \"tool\"\r\nid = \"T1\"\r\ntitle = \"x\"\r\ntype = \"drill\"\r\n[[derived]]\r\nname = \"a\"\r\nformula = \"1*mm\" # no value\r\n+++\r\ntext",
	"+++\nkind='tool'\nid='T1'\ntitle='Bohrer ø4 — «neu»'\ntype='drill'\n\n   [[ derived ]]   # spaced\n\tname\t=\t'ü'\n\tformula='''\n2*d'''\n\twhere={d='T14/half',}\n[[derived]]\n'name'=\"b\"\n\"formula\" = \"d + 1*mm\"\nvalue = '1 mm'# kept\nwhere.d = \"T1/ü\"\n+++",
	"+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"x\"\ntype = \"drill\"\nderived = [{name = \"a\", formula = \"1*in\", value = \"2 in\"}, {name=\"b\",formula=\"a*2\",where={a=\"T1/a\"},value=0.5}]\n+++\n",
	"+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"x\"\ntype = \"drill\"\nderived = [{name = \"a\", formula = \"1*in\"}]\n+++\n",
	"+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"x\"\ntype = \"drill\"\n[[derived]]\nname = \"a\"\nformula = \"d/3\"\nwhere = { d = \"T14/diameter\" }\nvalue = 0.04 # bare\n[[derived]]\nname = \"k\"\nformula = \"d/3\"\nwhere = { d = \"T14/diameter\" }\nvalue = \"1 in\"\nkeep = \"as predicted on 2024-03-01\"\n+++\n",
	"+++\nkind = \"inspection\"\nid = \"I\"\ntitle = \"x\"\non = 2024-01-01\n[[entry]]\nid = \"I.1\"\n[[entry.derived]]\nname = \"a\"\nformula = \"1*mm\"\n[[entry]]\nid = \"I.2\"\n[[entry.derived]]\nname = \"b\"\nformula = \"2*mm\"\nvalue = \"3 mm\"\n+++\n",
	"+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"x\"\ntype = \"drill\"\n[[derived]]\nname = \"a\"\nformula = \"a\"\nwhere = { a = \"T1/a\" }\n[[derived]]\nformula = \"1\"\n[[derived]]\nname = \"a\"\nformula = \"1*mm/0\"\n+++\n",
	"+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \"x\"\ntype = \"drill\"\n[[derived]]\nformula = \"\"\"\n1*mm\"\"\"\nname = \"a\"\n[derived.where]\n+++\n",
}

func TestRefreshOddTexts(t *testing.T) {
	for i, text := range oddDerived {
		t.Run(fmt.Sprint(i), func(t *testing.T) { checkRefresh(t, text) })
	}
}

// FuzzRefresh writes the derived values of any text: no panic, no byte changed
// outside of values, and a second run changes nothing.
func FuzzRefresh(f *testing.F) {
	for _, text := range oddDerived {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, record string) {
		if len(record) > 1<<14 {
			return
		}
		checkRefresh(t, record)
	})
}

// TestRefreshProperty draws chains of derived values written in every way.
func TestRefreshProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pick := func(label string, from ...string) string { return rapid.SampledFrom(from).Draw(t, label) }
		nl := pick("line end", "\n", "\r\n")
		var b strings.Builder
		b.WriteString("+++" + nl + "kind = \"tool\"" + nl + "id = \"T1\"" + nl + "title = \"" + pick("title", "x", "Fräser ø⅛", "\\u00e9", "") + "\"" + nl + "type = \"drill\"" + nl)
		n := rapid.IntRange(1, 5).Draw(t, "values")
		for i := range n {
			in := pick("indent", "", "  ", "\t")
			eq := pick("equals", " = ", "=", "\t= ")
			keys := []string{
				"name" + eq + fmt.Sprintf("'v%d'", i) + pick("remark", "", " # value = '9 in'"),
				"formula" + eq + pick("formula", "'x*2'", "\"x/3 + 1*um\"", "'max(x, 2*mm)'", "'x*x'", "'sqrt(x*x)'", "'0.1*in + x'"),
				"where" + eq + "{" + pick("space", "", " ") + "x = '" + pick("input", "T14/diameter", "T14/half", fmt.Sprintf("T1/v%d", rapid.IntRange(0, n).Draw(t, "of"))) + "' }",
			}
			if v := pick("value", "", "'1 in'", "\"0.5000 mm\"", "0.25", "'2 tenths'", "'1/8 in'", "'0.1 +0.1/-0 in'"); v != "" {
				keys = append(keys, "value"+eq+v+pick("after", "", "   ", " # as of old"))
			}
			if pick("keep", "no", "no", "yes") == "yes" {
				keys = append(keys, "keep"+eq+"'as predicted on 2024-03-01'")
			}
			b.WriteString(pick("blank", "", nl, "# remark"+nl) + in + "[[derived]]" + nl)
			for _, k := range rapid.Permutation(keys).Draw(t, "order") {
				b.WriteString(in + k + nl)
			}
		}
		b.WriteString("+++" + pick("tail", "", nl, nl+"value = '9 in'"+nl, nl+"\t no end"))
		checkRefresh(t, b.String())
	})
}
