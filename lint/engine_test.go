package lint_test

import (
	"bytes"
	"fmt"
	"math/big"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

var asOf = time.Date(2025, 6, 30, 0, 0, 0, 0, time.UTC)

// page is complete; the tests of the rules themselves look at real pages.
var page = lint.Page{What: "What.", Why: "Why.", Source: "common practice", Cure: "Cure.", Concede: "Concede."}

// titleRule speaks of the title of every tool; it is no real rule.
func titleRule(name string, severity lint.Severity) *lint.Rule {
	return &lint.Rule{Name: name, Severity: severity, Title: "a tool has a title", Page: page, Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			if _, ok := rec.Data.(*ledger.Tool); ok {
				p.Report(rec, rec.Common.Title.Span, lint.Found{
					Message: "tool " + rec.Common.Title.S, Fix: "nothing",
					Numbers: []lint.Number{{Name: "length", Q: quantity.New(big.NewRat(3, 2), quantity.Inch)}},
					Softer:  rec.Common.Title.S == "soft",
				})
			}
		}
	}}
}

func tool(id, title, more string) string {
	return fmt.Sprintf("+++\nkind = \"tool\"\nid = %q\ntitle = %q\ntype = \"drill\"\n%s+++\n", id, title, more)
}

func run(t *testing.T, texts map[string]string, opt lint.Options, rules ...*lint.Rule) *lint.Result {
	t.Helper()
	if _, ok := texts[ledger.ConfigName]; !ok {
		texts[ledger.ConfigName] = "units = \"in\"\n"
	}
	l, err := ledger.Load(source.Map(texts))
	require.NoError(t, err)
	res, err := lint.Run(l, study.New(l, asOf), rules, opt)
	require.NoError(t, err)
	return res
}

// said gives the findings as severity, file and message.
func said(list []lint.Finding) []string {
	out := []string{}
	for _, f := range list {
		out = append(out, fmt.Sprintf("%s %s %s", f.Severity, f.File, f.Message))
	}
	return out
}

func TestDraftsAreQuiet(t *testing.T) {
	loud := titleRule("loud", lint.Error)
	loud.OnDrafts = true
	for state, quiet := range map[string]bool{"draft": true, "planned": true, "in use": false, "withdrawn": false} {
		texts := map[string]string{"t.md": tool("T1", "x", "state = \""+state+"\"\n")}
		want := 1
		if quiet {
			want = 0
		}
		assert.Len(t, run(t, texts, lint.Options{}, titleRule("title", lint.Error)).Findings, want, state)
		assert.Len(t, run(t, texts, lint.Options{}, loud).Findings, 1, state)
	}
	texts := map[string]string{"c.md": "+++\nkind = \"change\"\nid = \"C\"\ntitle = \"c\"\nstate = \"proposed\"\n+++\n"}
	rule := &lint.Rule{Name: "change", Severity: lint.Error, Title: "t", Page: page, Check: func(p *lint.Pass) {
		p.Report(p.L.Records[0], ledger.Span{}, lint.Found{Message: "m"})
	}}
	assert.Empty(t, run(t, texts, lint.Options{}, rule).Findings)
}

func TestLegacyBecomesNotes(t *testing.T) {
	texts := map[string]string{"a.md": tool("T1", "old", "legacy = true\n"), "b.md": tool("T2", "new", "")}
	res := run(t, texts, lint.Options{}, titleRule("title", lint.Warning))
	assert.Equal(t, []string{"note a.md tool old", "warning b.md tool new"}, said(res.Findings))
	res = run(t, texts, lint.Options{}, titleRule("title", lint.Error))
	assert.Equal(t, []string{"error a.md tool old", "error b.md tool new"}, said(res.Findings), "a part that will not go on is no gap")
	gap := titleRule("gap", lint.Error)
	gap.Gap = true
	res = run(t, texts, lint.Options{}, gap)
	assert.Equal(t, []string{"note a.md tool old", "error b.md tool new"}, said(res.Findings))
	loud := titleRule("loud", lint.Error)
	loud.OnDrafts = true
	res = run(t, texts, lint.Options{}, loud)
	assert.Equal(t, []string{"error a.md tool old", "error b.md tool new"}, said(res.Findings), "what cannot be read stays an error")
}

func TestConcessions(t *testing.T) {
	for _, tc := range []struct {
		name, concession string
		conceded         bool
	}{
		{"with a reason", "rule = \"title\"\nreason = \"on purpose\"\n", true},
		{"on its last day", "rule = \"title\"\nreason = \"on purpose\"\nuntil = 2025-06-30\n", true},
		{"past its end", "rule = \"title\"\nreason = \"on purpose\"\nuntil = 2025-06-29\n", false},
		{"without a reason", "rule = \"title\"\n", false},
		{"with an empty reason", "rule = \"title\"\nreason = \"  \"\n", false},
		{"for another rule", "rule = \"other\"\nreason = \"on purpose\"\n", false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			texts := map[string]string{"t.md": tool("T1", "x", "[[concession]]\n"+tc.concession), "u.md": tool("T2", "y", "")}
			res := run(t, texts, lint.Options{}, titleRule("title", lint.Error))
			if !tc.conceded {
				assert.Len(t, res.Findings, 2)
				assert.Empty(t, res.Conceded)
				return
			}
			assert.Equal(t, []string{"error u.md tool y"}, said(res.Findings), "a concession counts in its own record only")
			require.Len(t, res.Conceded, 1)
			assert.Equal(t, "on purpose", res.Conceded[0].Conceded.Reason.S)
		})
	}
}

// TestLast checks what a rule that runs last sees.
func TestLast(t *testing.T) {
	counts := map[string]int{}
	last := &lint.Rule{Name: "last", Severity: lint.Note, Title: "t", Page: page, Last: true, Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			for i := range rec.Common.Concessions {
				counts[rec.ID()] += p.Silenced[&rec.Common.Concessions[i]]
			}
		}
		assert.True(t, p.Rules["title"] && p.Rules["last"] && !p.Rules["none"])
	}}
	texts := map[string]string{
		"a.md": tool("T1", "x", "[[concession]]\nrule = \"title\"\nreason = \"r\"\n"),
		"b.md": tool("T2", "x", "[[concession]]\nrule = \"none\"\nreason = \"r\"\n"),
	}
	run(t, texts, lint.Options{}, last, titleRule("title", lint.Error))
	assert.Equal(t, map[string]int{"T1": 1, "T2": 0}, counts)
}

func TestConfigSeverities(t *testing.T) {
	for severity, want := range map[string][]string{
		"error":   {"note a.md tool soft", "error b.md tool hard"},
		"warning": {"note a.md tool soft", "warning b.md tool hard"},
		"note":    {"note a.md tool soft", "note b.md tool hard"},
		"off":     {},
	} {
		texts := map[string]string{
			ledger.ConfigName: "[rules]\ntitle = \"" + severity + "\"\nno-such-rule = \"off\"\n",
			"a.md":            tool("T1", "soft", ""), "b.md": tool("T2", "hard", ""),
		}
		res := run(t, texts, lint.Options{}, titleRule("title", lint.Warning))
		assert.Equal(t, want, said(res.Findings), severity)
	}
}

func TestOnly(t *testing.T) {
	texts := map[string]string{
		"g.md":         "+++\nkind = \"gauge\"\nid = \"G1\"\ntitle = \"g\"\ntype = \"ring\"\n+++\n",
		"i.md":         "+++\nkind = \"inspection\"\nid = \"I1\"\ntitle = \"i\"\ngauge = \"G1\"\nreadings_from = \"d.csv\"\n+++\n",
		"j.md":         "+++\nkind = \"inspection\"\nid = \"I2\"\ntitle = \"j\"\ngauge = \"G2\"\n+++\n",
		"d.csv":        "1\n",
		"p.jpg":        "",
		"sub/twin.md":  "+++\nkind = \"gauge\"\nid = \"G9\"\ntitle = \"g\"\ntype = \"ring\"\n+++\n",
		"sub/twin2.md": "+++\nkind = \"gauge\"\nid = \"G9\"\ntitle = \"g\"\ntype = \"ring\"\n[[concession]]\nrule = \"each\"\nreason = \"r\"\n+++\n",
	}
	each := &lint.Rule{Name: "each", Severity: lint.Error, Title: "t", Page: page, Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			f := lint.Found{Message: rec.Path}
			if rec.Path == "sub/twin2.md" {
				f.Related = []lint.Place{{Rec: p.L.Records[3], Message: "the first one"}}
			}
			p.Report(rec, ledger.Span{}, f)
		}
		p.ReportFile("p.jpg", nil, ledger.Span{}, lint.Found{Message: "p.jpg"})
	}}
	files := func(list []lint.Finding) string {
		var out []string
		for _, f := range list {
			out = append(out, f.File)
		}
		return strings.Join(out, " ")
	}
	for _, tc := range []struct {
		only           string
		referring      bool
		want, conceded string
	}{
		{"g.md", true, "g.md i.md", ""},
		{"g.md", false, "g.md", ""},
		{"j.md", true, "j.md", ""},
		{"d.csv", true, "i.md", ""},
		{"d.csv", false, "", ""},
		{"p.jpg", true, "p.jpg", ""},
		{"sub/twin.md", true, "sub/twin.md", "sub/twin2.md"},
		{"sub/twin2.md", false, "", "sub/twin2.md"},
		{"none.md", true, "", ""},
		{ledger.ConfigName, true, "g.md i.md j.md p.jpg sub/twin.md", "sub/twin2.md"},
	} {
		res := run(t, texts, lint.Options{Only: map[string]bool{tc.only: true}, Referring: tc.referring}, each)
		assert.Equal(t, tc.want, files(res.Findings), tc.only)
		assert.Equal(t, tc.conceded, files(res.Conceded), tc.only)
		assert.Equal(t, 5, res.Records, "the rules see the whole ledger")
	}
}

// TestGone checks that what refers to an id that is gone counts wherever it
// stands.
func TestGone(t *testing.T) {
	texts := map[string]string{
		"t.md": tool("T1", "x", "demoted_from = \"T9\"\n"),
		"u.md": tool("T2", "x", ""),
	}
	only := map[string]bool{"gone.md": true}
	rule := titleRule("title", lint.Error)
	assert.Empty(t, run(t, texts, lint.Options{Only: only, Referring: true}, rule).Findings)
	got := run(t, texts, lint.Options{Only: only, Referring: true, Gone: []string{"T9"}}, rule).Findings
	assert.Len(t, got, 1)
	assert.Equal(t, "t.md", got[0].File)
}

func TestNothingTwice(t *testing.T) {
	rule := titleRule("title", lint.Error)
	once := rule.Check
	rule.Check = func(p *lint.Pass) { once(p); once(p) }
	assert.Len(t, run(t, map[string]string{"t.md": tool("T1", "x", "")}, lint.Options{}, rule).Findings, 1)
}

func TestRulesMustBeWhole(t *testing.T) {
	l, err := ledger.Load(source.Map(map[string]string{ledger.ConfigName: ""}))
	require.NoError(t, err)
	set := study.New(l, asOf)
	for name, rule := range map[string]*lint.Rule{
		"no page":   {Name: "a", Title: "t", Check: func(*lint.Pass) {}},
		"no check":  {Name: "a", Title: "t", Page: page},
		"no title":  {Name: "a", Page: page, Check: func(*lint.Pass) {}},
		"odd name":  {Name: "A1", Title: "t", Page: page, Check: func(*lint.Pass) {}},
		"no source": {Name: "a", Title: "t", Page: lint.Page{What: "w", Why: "w", Cure: "c", Concede: "c"}, Check: func(*lint.Pass) {}},
	} {
		_, err := lint.Run(l, set, []*lint.Rule{rule}, lint.Options{})
		assert.Error(t, err, name)
	}
	_, err = lint.Run(l, set, []*lint.Rule{titleRule("a", lint.Note), titleRule("a", lint.Note)}, lint.Options{})
	assert.ErrorContains(t, err, "twice")
}

func TestSeverity(t *testing.T) {
	for _, s := range []lint.Severity{lint.Note, lint.Warning, lint.Error} {
		got, err := lint.ParseSeverity(s.String())
		require.NoError(t, err)
		assert.Equal(t, s, got)
	}
	_, err := lint.ParseSeverity("warn")
	assert.ErrorContains(t, err, "note, warning, error")

	res := run(t, map[string]string{"a.md": tool("T1", "soft", ""), "b.md": tool("T2", "x", "")}, lint.Options{}, titleRule("title", lint.Error))
	worst, ok := res.Worst()
	assert.True(t, ok)
	assert.Equal(t, lint.Error, worst)
	assert.Equal(t, []int{1, 0, 1}, []int{res.Count(lint.Note), res.Count(lint.Warning), res.Count(lint.Error)})
	assert.Equal(t, []string{"error b.md tool x", "note a.md tool soft"}, said(res.ByImportance()))
	_, ok = run(t, map[string]string{}, lint.Options{}, titleRule("title", lint.Error)).Worst()
	assert.False(t, ok)
}

// TestHookIsShort checks the list that interrupts a commit.
func TestHookIsShort(t *testing.T) {
	for n, lines := range map[int]int{0: 0, 1: 1, 7: 7, 8: 7, 500: 7} {
		texts := map[string]string{}
		for i := range n {
			title := "soft"
			if i == n-1 {
				title = "worst\x1b[31m\nnew line"
			}
			texts[fmt.Sprintf("t%03d.md", i)] = strings.ReplaceAll(tool(fmt.Sprintf("T%d", i), title, ""), "\\x1b", "\\u001b")
		}
		rule := titleRule("title", lint.Error)
		if n > 0 {
			// The loader takes no control characters, a rule may still build them.
			inner := rule.Check
			rule.Check = func(p *lint.Pass) {
				inner(p)
				p.ReportFile("z\x1b[2Jz.md", nil, ledger.Span{}, lint.Found{Message: "bell \a and\nline", Fix: "x", Softer: true})
			}
			lines = min(n+1, lint.HookLines)
		}
		res := run(t, texts, lint.Options{}, rule)
		var out bytes.Buffer
		require.NoError(t, lint.WriteHook(&out, res, "shop/"))
		got := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
		if n == 0 {
			assert.Empty(t, out.String())
			continue
		}
		assert.Len(t, got, lines, "%d findings", n)
		assert.NotContains(t, out.String(), "\x1b")
		assert.NotContains(t, out.String(), "\a")
		if n == 500 {
			assert.Equal(t, "and 495 more: tenths lint --staged", got[6])
		}
	}
}
