package ledger

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/source"
)

// checkAll walks through everything that a loaded ledger offers.
func checkAll(t *testing.T, l *Ledger) {
	t.Helper()
	for _, p := range l.Problems {
		size := max(1, len(p.Src))
		assert.True(t, 0 <= p.Span.Start && p.Span.Start <= p.Span.End && p.Span.End <= size+1, "%s: %+v of %d bytes", p.Msg, p.Span, size)
		assert.NotEmpty(t, p.Msg)
		assert.NotContains(t, p.Msg, "please report")
	}
	for _, rec := range l.Records {
		require.NotNil(t, rec.Common)
		assert.Equal(t, rec.Data != nil, kindType(rec.Kind()) != nil)
		for _, s := range rec.Sizes() {
			assert.LessOrEqual(t, s.End, len(rec.Src))
			assert.Less(t, s.Start, s.End)
		}
		for _, r := range l.References(rec) {
			assert.LessOrEqual(t, r.At.End, len(rec.Src))
			if !r.File {
				if target, err := l.FindFrom(rec, r.Path); err == nil {
					assert.True(t, target.Span().Set())
					r.Fits(target)
				}
			}
			rec.KeyPath(r.At)
		}
		rec.Doubles()
		for _, f := range []int{0, rec.BodyStart, len(rec.Src)} {
			assert.LessOrEqual(t, f, len(rec.Src))
			PositionOf(rec.Src, f)
		}
		for _, link := range rec.Body.Links {
			assert.True(t, link.Start < link.End && link.End <= len(rec.Src), "%+v", link)
		}
		if in, ok := rec.Data.(*Inspection); ok {
			in.Rows()
		}
	}
}

// FuzzLoad loads any record and any config: no panic, every place inside its
// file, and the same problems when it is loaded again.
func FuzzLoad(f *testing.F) {
	for _, text := range shop {
		f.Add(text, "units = \"in\"\n")
	}
	f.Add(good+"![a](b.jpg) [c](d \"e\")\n- [x] done\n\t- [ ] open\n", "[rules]\nx = \"off\"\n")
	f.Add("+++\nkind = \"inspection\"\nid = \"I\"\nreadings = \"+3 −1 \\u0031\"\ncount = \"3 of 20\"\non = \"about 2021\"\nreadings_from = \"tenths.toml\"\n[[reading]]\npiece = \"1\"\nvalues = [1.50, \"2 um\"]\n+++\n", "plain = [\"[\"]\n")
	f.Add("+++\nkind = \"change\"\nid = \"C\"\ncause = { text = \"a\" }\n[[step]]\ndoes = \"weld\"\n[[concession]]\nrule = \"x\"\nuntil = 2024-01-01\n+++\r\n", "")
	f.Fuzz(func(t *testing.T, record, config string) {
		if len(record) > 1<<16 || len(config) > 1<<16 {
			return
		}
		texts := map[string]string{ConfigName: config, "a.md": record, "sub/a.md": record}
		l, err := Load(source.Map(texts))
		require.NoError(t, err)
		checkAll(t, l)
		again, err := Load(source.Map(texts))
		require.NoError(t, err)
		assert.True(t, reflect.DeepEqual(listed(l), listed(again)))
	})
}
