package report

import (
	"encoding/json"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger/study"
)

// edited is the test ledger with a text of one file replaced.
func edited(t *testing.T, file string, pairs ...string) map[string]string {
	t.Helper()
	files := shopFiles(t)
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, files[file], pairs[i], file)
		files[file] = strings.ReplaceAll(files[file], pairs[i], pairs[i+1])
	}
	return files
}

// forms is a page in its three forms.
func forms(t *testing.T, p *Page) map[string]string {
	t.Helper()
	return map[string]string{
		"Markdown": printed(t, func(w io.Writer) error { return WriteMarkdown(w, p) }),
		"JSON":     printed(t, func(w io.Writer) error { return WriteJSON(w, p) }),
		"HTML":     printed(t, func(w io.Writer) error { return WriteHTML(w, p) }),
	}
}

// Where each of six points is judged by itself, no mean of points stands
// anywhere. The means at the points are those of TestVerdictNumbers; the
// readings outside are counted by hand from the table of readings. K3 changed
// sides and is hardly nearer than before; K6 stands out alone, not among six.
func TestEachPointOnThePage(t *testing.T) {
	files := edited(t, "parts/A-01.md", "judge = \"largest\"\n", "")
	p := page(t, setOf(t, files), "CH-01", PageOptions{})
	assert.Equal(t, "Step at the seam, each of 6 points: not shown at K1, K4; better at K2 (-11.4 → -0.9 tenths); "+
		"changed, not shown better at K3 (4.3 → -3.7 tenths), K6 (12.1 → 3.8 tenths); got worse at K5 (-2.8 → 6.6 tenths); 6 + 6 pieces: not shown; "+
		"limit ±10: before 9 of 36 readings outside, after 3 of 36 readings outside; goal ±5: before 22 of 36 readings outside, after 10 of 36 readings outside.", p.Verdict)
	assert.Contains(t, p.Also, "The record says verified effective; these readings alone do not show it.")
	e := p.Evidence[0]
	assert.Nil(t, e.Difference)
	assert.True(t, e.Before.Mean.IsZeroValue(), "no mean of points")
	assert.Equal(t, [3]int{3, 10, 36}, [3]int{*e.After.OutsideLimits, *e.After.OutsideGoal, e.After.Judged})
	assert.Contains(t, e.Takes, "each is held to 99.2 %")
	assert.Equal(t, "each point was judged by itself, so no one number was found to hold it against", e.Prediction.Agreement)
	assert.Equal(t, "predicted -6.2 (-9.2 … -3.4) tenths on 2024-03-01; "+e.Prediction.Agreement, e.Prediction.Text)
	for form, text := range forms(t, p) {
		assert.NotContains(t, text, "mean of points", form)
		assert.NotContains(t, text, "mean of 6 points", form)
	}
	assert.Contains(t, forms(t, p)["Markdown"], "| when | piece | K1 | K2 | K3 | K4 | K5 | K6 |\n")
	log, err := Changelog(setOf(t, files), LogOptions{})
	require.NoError(t, err)
	assert.Contains(t, printed(t, func(w io.Writer) error { return log.WriteMarkdown(w) }), "each of 6 points")
}

// Spreads are compared point by point as well, and stand in the table of points.
func TestEachPointSpreadOnThePage(t *testing.T) {
	files := edited(t, "parts/A-01.md", "judge = \"largest\"\n", "")
	files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "done = ", "claim = \"spread\"\ndone = ", 1)
	p := page(t, setOf(t, files), "CH-01", PageOptions{})
	assert.Equal(t, "Step at the seam, each of 6 points: not shown at K1, K2, K3, K4, K5, K6; 6 + 6 pieces: not shown.", p.Verdict)
	all := forms(t, p)
	assert.Contains(t, all["HTML"], "By point, spreads in tenths")
	assert.Contains(t, all["Markdown"], "| point | s before | s after | before over after | by the readings |\n")
}

// Readings in doubt stay in, and the page says so where it says what they show.
func TestDoubtOnThePage(t *testing.T) {
	files := edited(t, "inspections/IN-01A.md", "state = \"valid\"", "state = \"doubtful\"\ndoubt = \"stand found loose\"")
	p := page(t, setOf(t, files), "CH-01", PageOptions{})
	assert.Contains(t, p.Verdict, "6 + 6 pieces: shown better;")
	assert.Contains(t, p.Verdict, "; in doubt: all 6 after (stand found loose); without them: too few readings to tell.")
	for form, text := range forms(t, p) {
		assert.Contains(t, text, "all 6 (stand found loose)", form)
	}
	files = edited(t, "inspections/IN-01A.md", "piece = \"3\"\n", "piece = \"3\"\nstate = \"doubtful\"\nwhy = \"chip\"\n")
	p = page(t, setOf(t, files), "CH-01", PageOptions{})
	assert.Contains(t, p.Verdict, "; in doubt: 1 of 6 after (chip); without them: ")
	files = edited(t, "inspections/IN-04A.md", "on = ", "doubt = \"two people counted\"\non = ")
	p = page(t, setOf(t, files), "CH-04", PageOptions{})
	assert.Contains(t, p.Verdict, "in doubt: all 20 after (two people counted); without them: too few readings to tell.")
}

// A pin whose earlier state nobody wrote down is not shown as it is today.
func TestNoEarlierState(t *testing.T) {
	p := page(t, shop(t), "CH-07", PageOptions{})
	require.Len(t, p.Changed.Pins, 1)
	assert.True(t, p.Changed.Pins[0].NoEarlier)
	assert.Equal(t, PinState{On: "2024-03-10"}, p.Changed.Pins[0].Before)
	for form, text := range forms(t, p) {
		if form != "JSON" {
			assert.Contains(t, text, "the record holds no earlier state", form)
			assert.NotContains(t, text, "as surveyed", form)
		}
	}
	for _, pin := range page(t, shop(t), "CH-01", PageOptions{}).Changed.Pins {
		assert.False(t, pin.NoEarlier, pin.Path)
	}
}

// The goal of the change stands on every form of the page; a state that the
// readings contradict is named, in both directions.
func TestGoalAndStateOnThePage(t *testing.T) {
	for form, text := range forms(t, page(t, shop(t), "CH-01", PageOptions{})) {
		assert.Contains(t, text, "Goal of the change: every step within half the limit.", form)
	}
	for _, state := range []string{"inconclusive", "not effective", "harmful"} {
		p := page(t, setOf(t, edited(t, "changes/CH-01.md", "state = \"verified effective\"", "state = \""+state+"\"")), "CH-01", PageOptions{})
		assert.Contains(t, p.Also, "The record says "+state+"; the readings show that it got better.")
	}
	for _, a := range page(t, shop(t), "CH-01", PageOptions{}).Also {
		assert.NotContains(t, a, "The record says")
	}
}

// Days that cannot be are said beside the verdict.
func TestOrderOnThePage(t *testing.T) {
	p := page(t, setOf(t, edited(t, "changes/CH-01.md", "done = 2024-03-11", "done = 2024-03-20")), "CH-01", PageOptions{})
	assert.Contains(t, p.Also, "The readings after, IN-01A, were taken on 2024-03-13, before the work was done on 2024-03-20.")
	p = page(t, setOf(t, edited(t, "changes/CH-01.md", "done = 2024-03-11", "done = 2024-03-01")), "CH-01", PageOptions{})
	assert.Contains(t, p.Also, "The readings before, IN-01B, were taken on 2024-03-09, after the work was done on 2024-03-01.")
}

// As of a day before the work, the page heads nothing that was still to come.
func TestPageOfAnEarlierDay(t *testing.T) {
	for _, c := range []struct{ day, state, done string }{
		{"2024-03-10", "not done yet", ""}, {"2024-03-12", "done", "2024-03-11"}, {"2024-03-13", "verified effective", "2024-03-11"},
	} {
		on, err := time.Parse(time.DateOnly, c.day)
		require.NoError(t, err)
		p := page(t, study.New(shop(t).L, on), "CH-01", PageOptions{})
		assert.Equal(t, [2]string{c.state, c.done}, [2]string{p.State, p.Dates.Done}, c.day)
		also := strings.Join(p.Also, "\n")
		if c.done == "" {
			assert.Empty(t, p.Changed.Pins)
			assert.Contains(t, also, "The record says verified effective, done 2024-03-11; on 2024-03-10, the day of this page, that is still to come.")
		} else {
			assert.NotContains(t, also, "still to come")
			assert.NotEmpty(t, p.Changed.Pins)
		}
		assert.NotContains(t, also, "these readings alone do not show it", "the record did not say so yet")
	}
}

// The numbers of a page are for machines what they are for people.
func TestNumbersAreTheirTexts(t *testing.T) {
	var check func(path string, v any)
	check = func(path string, v any) {
		switch x := v.(type) {
		case []any:
			for _, e := range x {
				check(path, e)
			}
		case map[string]any:
			if value, ok := x["value"].(json.Number); ok && x["unit"] != nil {
				text, _ := x["text"].(string)
				assert.Equal(t, strings.TrimSpace(string(value)+" "+x["unit"].(string)), text, path)
				return
			}
			for k, e := range x {
				if k != "readings" { // as written, fractions too
					check(path+"/"+k, e)
				}
			}
		}
	}
	s := shop(t)
	for _, id := range []string{"CH-01", "CH-02", "CH-03", "CH-05"} {
		dec := json.NewDecoder(strings.NewReader(printed(t, func(w io.Writer) error { return WriteJSON(w, page(t, s, id, PageOptions{})) })))
		dec.UseNumber()
		var v any
		require.NoError(t, dec.Decode(&v))
		check(id, v)
	}
	sh, err := Record(s, "FX1/A")
	require.NoError(t, err)
	for _, sec := range sh.Sections {
		for _, f := range sec.Facts {
			if !f.Value.IsZeroValue() {
				assert.True(t, strings.HasPrefix(f.Text, f.Value.String()), "%s: %s beside %s", f.Name, f.Text, f.Value)
			}
		}
	}
}

// The size shown is the one that the study used; a round pin has no land; what
// the part can move is told apart from where it stands.
func TestPinsOfASheet(t *testing.T) {
	files := edited(t, "fixtures/FX1.md",
		"off = [\"0.5 tenths\", \"1.0 tenths\"]\n", "off = [\"0.5 tenths\", \"1.0 tenths\"]\nsize = \"0.1872\"\n",
		"until = 2024-03-11\nmade_by = \"drilled\"\n", "until = 2024-03-11\ntype = \"round pin\"\nmade_by = \"drilled\"\n",
		"off = [\"0 tenths\", \"0 tenths\"]", "off = [\"0 tenths\", \"37 tenths\"]")
	s := setOf(t, files)
	text := sheetText(t, s, "FX1/A", false)
	assert.Contains(t, text, "0.1872 in as surveyed")
	assert.Contains(t, text, "0.045 in")
	before := study.New(s.L, time.Date(2024, 3, 10, 0, 0, 0, 0, time.UTC))
	assert.NotContains(t, sheetText(t, before, "FX1/A", false), "0.045", "the second pin was round then")
	// K6 stands off by more than the part can move, and its travel is no less for it.
	sh, err := Record(s, "FX1/A")
	require.NoError(t, err)
	rows := 0
	for _, sec := range sh.Sections {
		for _, r := range sec.Rows {
			if strings.HasPrefix(sec.Name, "looseness") {
				rows++
				assert.Equal(t, "travel in all", r[2].Name)
				assert.Positive(t, r[2].Value.Sign(), r[0].Text)
			}
		}
	}
	assert.Equal(t, 6, rows)
}
