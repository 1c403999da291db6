package report

import (
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The before and after pages in all forms, twice the same to the byte.
func TestPagesGolden(t *testing.T) {
	for _, c := range []struct {
		change  string
		private bool
	}{{"CH-01", false}, {"CH-01", true}, {"CH-02", false}, {"CH-03", false}, {"CH-05", false}, {"CH-07", false}} {
		name := c.change
		if c.private {
			name += "-private"
		}
		for range 2 {
			p := page(t, shop(t), c.change, PageOptions{Private: c.private})
			forms := map[string]string{
				".md":   printed(t, func(w io.Writer) error { return WriteMarkdown(w, p) }),
				".json": printed(t, func(w io.Writer) error { return WriteJSON(w, p) }),
				".html": printed(t, func(w io.Writer) error { return WriteHTML(w, p) }),
			}
			for ext, got := range forms {
				if ext != ".md" && name != "CH-01" && name+ext != "CH-03.html" && name+ext != "CH-05.json" {
					assert.NotEmpty(t, got)
					continue // enough of a kind
				}
				golden(t, name+ext, got)
			}
		}
	}
}

// Numbers that can be checked by hand from the readings of the test ledger; the
// difference and its interval are Welch's (Biometrika 34 (1947) 28), worked out
// apart from this program with SciPy 1.10.1 (means, Welch-Satterthwaite, t).
func TestVerdictNumbers(t *testing.T) {
	p := page(t, shop(t), "CH-01", PageOptions{})
	assert.Contains(t, p.Verdict, "largest of 6 points: 13.6 → 8.4 tenths, change -5.2 (95 % -10.1 … -0.3), 6 + 6 pieces: shown better")
	assert.Contains(t, p.Verdict, "limit 10: before 5 of 6 outside, after 2 of 6 outside; goal 5: before 6 of 6 outside, after 4 of 6 outside")
	assert.Contains(t, p.Also, "Got worse: K5 (-2.8 → 6.6 tenths).")
	require.Len(t, p.Evidence, 1)
	e := p.Evidence[0]
	want := map[string]string{ // mean before, mean after, difference with interval
		"K1": "-5.7 -2.2 3.5 (-0.7 … 7.7)", "K2": "-11.4 -0.9 10.5 (6.2 … 14.8)", "K3": "4.3 -3.7 -8.0 (-13.3 … -2.7)",
		"K4": "6.8 4.8 -2.0 (-5.2 … 1.2)", "K5": "-2.8 6.6 9.3 (3.2 … 15.5)", "K6": "12.1 3.8 -8.2 (-14.6 … -1.9)",
	}
	require.Len(t, e.Points, len(want))
	for _, pt := range e.Points {
		assert.Equal(t, want[pt.Point], number(pt.Before)+" "+number(pt.After)+" "+pt.Change.Text, pt.Point)
		assert.Equal(t, pt.Point == "K5", pt.Worse, pt.Point)
	}
	assert.Equal(t, "predicted -6.2 (-9.2 … -3.4) tenths on 2024-03-01; found -5.2 (-10.1 … -0.3) tenths: no contradiction", e.Prediction.Text)
	assert.Equal(t, 1, e.Before.LeftOut, "the void piece")
	assert.Len(t, e.Before.Pieces, 6)
	assert.Equal(t, "yes", e.Measured.Comparable)
}

// F by the F table: 4.03 for 9 and 9 degrees of freedom, two-sided 5 %
// (NIST/SEMATECH e-Handbook 1.3.6.7.3, upper 2.5 %).
func TestSpreadVerdict(t *testing.T) {
	p := page(t, shop(t), "CH-02", PageOptions{})
	assert.Contains(t, p.Verdict, "s 2.1 → 0.7 tenths")
	assert.Contains(t, p.Also[0], "s 3.5 → 1.7 tenths, ratio 2.04 (F 4.15, shown above 4.03), 10 + 10 pieces: shown better")
	assert.Equal(t, "predicted: s 3.6 -> 1.8 tenths", p.Evidence[1].Prediction.Text)
}

func TestHarmfulAndRestored(t *testing.T) {
	p := page(t, shop(t), "CH-03", PageOptions{})
	assert.Contains(t, p.Verdict, "0.00021 → 0.00101 in, change 0.00080 (95 % 0.00068 … 0.00092), 5 + 5 pieces: shown worse")
	assert.Contains(t, p.Verdict, "after it was undone 0.00021 in")
	assert.Equal(t, "none, it was undone", p.Recheck.Text)
	require.NotNil(t, p.Evidence[0].Restored)
	assert.Equal(t, 4, p.Evidence[0].Restored.N)
}

// Counts: Fisher's exact test; 3 of 20 against 0 of 20 gives p = 0.23, twice as
// many p = 0.026 (any table of the hypergeometric distribution).
func TestCountsVerdict(t *testing.T) {
	p := page(t, shop(t), "CH-04", PageOptions{})
	assert.Contains(t, p.Verdict, "3 of 20 → 0 of 20, change of the share -15 % (95 % -36 … 4), exact test p = 0.23: not shown")
	assert.Contains(t, p.Also, "The same shares would be shown by 40 + 40: 20 more before and 20 more after.")
	assert.Contains(t, p.Also, "The record says verified effective; these readings alone do not show it.")
}

func TestInconclusiveSaysWhatItTakes(t *testing.T) {
	p := page(t, shop(t), "CH-05", PageOptions{})
	all := strings.Join(p.Also, "\n")
	assert.Contains(t, p.Verdict, "not shown")
	assert.Contains(t, all, "4 + 4 pieces show only shifts of 3.7 tenths or more")
	assert.Contains(t, all, "to show the predicted 2.0 tenths takes 11 + 11")
	assert.Contains(t, all, "2 other things changed as well")
	e := p.Evidence[0]
	assert.Equal(t, "no", e.Measured.Comparable)
	because := strings.Join(e.Measured.Because, "\n")
	assert.Contains(t, because, "gauge: G5 before, G8 after")
	assert.Contains(t, because, "temperature: 66 F before, 74 F after")
	assert.Contains(t, because, "another person measured")
	assert.NotContains(t, because, "partner")
	assert.Contains(t, e.Prediction.Text, "not written before the readings")
	assert.Equal(t, "never checked", e.Measured.After.Standing)
}

func TestMissingReadings(t *testing.T) {
	s := shop(t)
	p := page(t, s, "CH-06", PageOptions{})
	assert.Contains(t, p.Verdict, "there are no readings after")
	assert.Contains(t, strings.Join(p.Also, "\n"), "The spread from piece to piece is s 0.0002")
	p = page(t, s, "CH-07", PageOptions{})
	assert.Equal(t, "Nothing was measured before and after this change, so readings say nothing about it.", p.Verdict)
	assert.Contains(t, p.Also, "It is judged by: pins within a tenth of design.")
	require.Len(t, p.Changed.Pins, 1)
	assert.Equal(t, "2024-03-12", p.Changed.Pins[0].After.Surveyed, "a survey that came a day later")
	assert.Empty(t, p.Changed.Pins[0].Before.Surveyed)
}

func TestPinsBeforeAndAfter(t *testing.T) {
	p := page(t, shop(t), "CH-01", PageOptions{})
	require.Len(t, p.Changed.Pins, 2)
	pin := p.Changed.Pins[0]
	assert.Equal(t, "FX1/A/P1", pin.Path)
	assert.Equal(t, []string{"0.1872 in", "drilled", "2021-05-03", "-9 tenths"}, []string{pin.Before.Size, pin.Before.MadeBy, pin.Before.Surveyed, pin.Before.OffY.String()})
	assert.Equal(t, []string{"0.1873 in", "helical bore", "2024-03-11", "1.0 tenths"}, []string{pin.After.Size, pin.After.MadeBy, pin.After.Surveyed, pin.After.OffY.String()})
}

func TestElseChanged(t *testing.T) {
	p := page(t, shop(t), "CH-01", PageOptions{})
	lines := strings.Join(p.ElseChanged.lines(), "\n")
	assert.Contains(t, lines, "2024-03-12 FX1/D/P1: surveyed")
	assert.Contains(t, lines, "2024-03-11 G3: a pin of the set was used up (elsewhere in the shop)")
	assert.Contains(t, lines, "2024-03-11 CH-07: another change was made: Station D re-bored")
	assert.NotContains(t, lines, "FX1/A", "what the change itself touched")
	p = page(t, shop(t), "CH-02", PageOptions{})
	lines = strings.Join(p.ElseChanged.lines(), "\n")
	assert.Contains(t, lines, "P-10/HOLE: limits or goal changed")
	assert.NotContains(t, lines, "P-10/H1", "touched")
}

// The page without the private view names no people and no money.
func TestPrivateView(t *testing.T) {
	s := shop(t)
	open := printed(t, func(w io.Writer) error { return WriteJSON(w, page(t, s, "CH-01", PageOptions{})) })
	for _, secret := range []string{"owner", "two sleeves", "6 h", "feel an edge"} {
		assert.NotContains(t, open, secret)
	}
	private := printed(t, func(w io.Writer) error { return WriteJSON(w, page(t, s, "CH-01", PageOptions{Private: true})) })
	for _, secret := range []string{"owner", "two sleeves", "6 h", "feel an edge"} {
		assert.Contains(t, private, secret)
	}
}

// Quantities in JSON keep their trailing zeros and say their unit; the order of
// the fields is the documented one.
func TestPageJSON(t *testing.T) {
	text := printed(t, func(w io.Writer) error { return WriteJSON(w, page(t, shop(t), "CH-01", PageOptions{})) })
	var p struct {
		Evidence []struct {
			Before struct {
				Pieces []struct {
					Readings []struct {
						Value json.Number
						Unit  string
						Text  string
					}
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text), &p))
	r := p.Evidence[0].Before.Pieces[0].Readings[2]
	assert.Equal(t, "6.0", string(r.Value))
	assert.Equal(t, "tenths", r.Unit)
	last := -1
	for _, key := range []string{"as_of", "change", "verdict", "evidence", "changed", "else_changed", "side_effects", "roll_back", "recheck", "lesson", "photos"} {
		at := strings.Index(text, "\n  \""+key+"\"")
		assert.Greater(t, at, last, key)
		last = at
	}
}

func TestImprovementOfNoChange(t *testing.T) {
	s := shop(t)
	_, err := Improvement(s, s.L.Record("G4"), PageOptions{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "G4 is a gauge")
}
