package rules

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// TestCautionTopics keeps the topics of each kind of work as the project's
// rules list them, after ANSI Z49.1, OSHA 29 CFR 1910.252 and 1910.215 and
// common practice.
func TestCautionTopics(t *testing.T) {
	hot := []string{"eyes and skin", "fume", "fire watch", "no chlorinated solvent"}
	for _, c := range []struct {
		does, where string
		lead        string
		want        []string
	}{
		{"weld", "on the bench", "", append(append([]string{}, hot...), "work lead")},
		{"weld", "on the machine", "on the fixture", append(append([]string{}, hot...), "covers", "control isolated")},
		{"torch", "on the machine", "", append(append([]string{}, hot...), "covers", "control isolated")},
		{"torch", "", "", hot},
		{"grind", "", "", []string{"eyes", "guard and rest gaps", "ring test"}},
		{"acid", "", "", []string{"ventilation", "ignition"}},
		{"adhesive", "", "", []string{"eyes and skin", "fume"}},
		{"press", "", "", []string{"impact eyes", "hand clear", "part clamped"}},
		{"deburr by hand", "", "", []string{"spindle stopped", "no gloves"}},
		{"weld with adhesive near it", "", "", append(append([]string{}, hot...), "work lead")},
	} {
		s := step{work: study.WorkOf(c.does, "", c.where)}
		if c.lead != "" {
			s.lead = ledger.Text{S: c.lead, Span: ledger.Span{Start: 1, End: 2}}
		}
		var got []string
		for _, topic := range topicsOf(s) {
			got = append(got, topic.name)
			assert.Contains(t, cautionMissing.Page.Formula+" work lead, covers, control isolated", topic.name)
			// A caution in the very words of its topic counts.
			assert.True(t, topic.covered([]ledger.Text{{S: topic.name}}), topic.name)
			assert.False(t, topic.covered(nil), topic.name)
		}
		assert.Equal(t, c.want, got, c.does)
	}
	assert.False(t, noGloves.covered([]ledger.Text{{S: "normal gloves"}}))
	assert.True(t, eyesAndSkin.covered([]ledger.Text{{S: "skin covered"}, {S: "eyes: shade 11"}}))
	assert.False(t, fireWatch.covered([]ledger.Text{{S: "fire blanket"}, {S: "watch the clock"}}))
}

// TestNothingIsCalledSafe: no page and no message promises that.
func TestNothingIsCalledSafe(t *testing.T) {
	promise := regexp.MustCompile(`(?i)\b(safe|safely|harmless|no danger|without risk)\b`)
	for _, r := range All() {
		for _, text := range []string{r.Title, r.Page.What, r.Page.Why, r.Page.Formula, r.Page.Source, r.Page.Cure, r.Page.Concede} {
			assert.NotRegexp(t, promise, text, r.Name)
		}
	}
	for _, r := range []*lint.Rule{cautionMissing, workLead} {
		assert.Contains(t, r.Page.Source, "ANSI Z49.1")
		assert.Contains(t, r.Page.Source, "Local codes and licensed practice decide")
		files, err := filepath.Glob(filepath.Join("testdata", r.Name, "fires*.txtar"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, f := range files {
			text, err := os.ReadFile(f)
			require.NoError(t, err)
			_, want, ok := bytes.Cut(text, []byte("-- want --"))
			require.True(t, ok)
			assert.NotRegexp(t, promise, string(want), f)
			fixes := 0
			for _, line := range bytes.Split(want, []byte("\n")) {
				if bytes.HasPrefix(line, []byte("    do ")) {
					fixes++
					assert.Contains(t, string(line), "local codes and licensed practice decide", f)
				}
			}
			assert.Positive(t, fixes)
		}
	}
}
