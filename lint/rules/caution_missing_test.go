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
		work := study.WorkOf(c.does, "", c.where)
		var got []string
		for _, topic := range study.CautionsOf(work, c.lead != "") {
			got = append(got, topic.Name)
			assert.Contains(t, cautionMissing.Page.Formula+" work lead, covers, control isolated", topic.Name)
			// A caution in the very words of its topic counts.
			assert.True(t, topic.Covered([]ledger.Text{{S: topic.Name}}), topic.Name)
			assert.False(t, topic.Covered(nil), topic.Name)
		}
		assert.Equal(t, c.want, got, c.does)
	}
	for _, c := range []struct {
		does     string
		cautions []ledger.Text
		lacks    []string
	}{
		{"deburr by hand", []ledger.Text{{S: "spindle stopped"}, {S: "normal gloves"}}, []string{"no gloves"}},
		{"adhesive", []ledger.Text{{S: "skin covered"}, {S: "eyes: goggles"}}, []string{"fume"}},
		{"torch", []ledger.Text{{S: "eyes and skin"}, {S: "fume"}, {S: "fire blanket"}, {S: "watch the clock"}, {S: "no chlorinated solvent"}}, []string{"fire watch"}},
	} {
		var lacks []string
		for _, topic := range study.CautionsMissing(study.WorkOf(c.does, "", ""), false, c.cautions) {
			lacks = append(lacks, topic.Name)
		}
		assert.Equal(t, c.lacks, lacks, c.does)
	}
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
