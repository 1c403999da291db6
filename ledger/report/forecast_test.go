package report

import (
	"encoding/json"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// demo is the inch demo shop (invented data) on a day.
func demo(t *testing.T, day string) *study.Set {
	t.Helper()
	src, err := source.Dir("../../examples/focuser")
	require.NoError(t, err)
	l, err := ledger.Load(src)
	require.NoError(t, err)
	on, err := time.Parse(time.DateOnly, day)
	require.NoError(t, err)
	return study.New(l, on)
}

func forecast(t *testing.T, s *study.Set, id string) *Forecast {
	t.Helper()
	fc, err := Predict(s, s.L.Record(id))
	require.NoError(t, err)
	return fc
}

func TestForecastOfALevel(t *testing.T) {
	fc := forecast(t, demo(t, "2025-11-25"), "CH-01")
	it := fc.Items[0]
	assert.Equal(t, "2024-03-01", fc.KnownOn)
	assert.Equal(t, "Step at the seam, largest of 6 points: change -6.2 (-9.3 … -3.1) tenths, 13.3 → 7.1, 6 against 6 pieces; limit 10, goal 5. K3, K5 may get worse.", it.Answer)
	assert.Equal(t, "-6.2 ±3.1 tenths", it.Predicted)
	assert.Equal(t, "-6.2 +2.8/-3.0 tenths", it.Recorded)
	assert.Equal(t, "FX1/A/P1: off 0 ±1 tenths, 0 ±1 tenths, size 0.1873 in", fc.Planned[0])
	require.Len(t, it.Points, 6)
	assert.Equal(t, "△ may get worse, 34 in 100", it.Points[4].Word)
	assert.Empty(t, it.Points[1].Word)
	sum := 0.0
	for _, s := range it.From {
		sum += s.Part
	}
	assert.InDelta(t, 1, sum, 0.03)
	assert.Contains(t, strings.Join(it.remarks(), "\n"), "with every pin exactly where its survey or the plan has it, the change is -6.2 (-9.1 … -3.4) tenths")
	require.NotNil(t, it.Unlike)
	assert.Contains(t, strings.Join(it.remarks(), "\n"), "both lots are taken to be alike in the wear of the finishing cutter and in the temperature at the finishing cuts; if they are not, the change is -6.2 (-10.1 … -2.2) tenths")
}

func TestForecastAddedToReadings(t *testing.T) {
	it := forecast(t, demo(t, "2025-11-25"), "CH-04").Items[0]
	assert.Equal(t, "the difference is computed and added to what was measured on 2024-10-05, for 6 pieces before and 6 after (as many as were read)", it.How)
	assert.True(t, it.Before.Low.IsZeroValue(), "what was measured has no interval of a prediction")
	assert.Equal(t, "1.5 (-0.9 … 4.0)", spanText(it.After))
}

func TestForecastOfASpreadAndOfNothing(t *testing.T) {
	fc := forecast(t, demo(t, "2025-11-25"), "CH-02")
	assert.Equal(t, "Step at the seam, at K3: spread (s) 3.5 → 1.8 tenths, after over before 0.51 (0.27 … 0.96), 10 against 10 pieces.", fc.Items[1].Answer)
	assert.Equal(t, "s 3.6 -> 1.8 tenths", fc.Items[1].Recorded)
	assert.Nil(t, fc.Items[1].pointRows(), "the level at K3 is not what is claimed")
	none := forecast(t, demo(t, "2025-11-25"), "CH-05").Items[0]
	assert.False(t, none.Foretold)
	assert.Contains(t, none.Answer, "Nothing is foretold: the change does not say what it means to make")
	s := demo(t, "2025-11-25")
	_, err := Predict(s, s.L.Record("FX1"))
	assert.ErrorContains(t, err, "FX1 is a fixture")
}

func TestForecastPages(t *testing.T) {
	s := demo(t, "2025-11-25")
	for _, id := range []string{"CH-01", "CH-02", "CH-03", "CH-04", "CH-05", "CH-06", "CH-07", "CH-08"} {
		fc := forecast(t, s, id)
		text := printed(t, fc.WriteText)
		assert.Contains(t, text, id+": ")
		html := printed(t, fc.WriteHTML)
		checkPage(t, html)
		assert.NotContains(t, html, "NaN")
		b, err := json.Marshal(fc)
		require.NoError(t, err, id)
		assert.NotContains(t, string(b), "NaN")
	}
	html := printed(t, forecast(t, s, "CH-01").WriteHTML)
	assert.Contains(t, html, `class="arrow told"`)
	assert.Contains(t, html, "before, computed")
	assert.Contains(t, html, "dashed is predicted, the bar is its interval")
}

// The page of the change holds what was foretold against what was found.
func TestForetoldAgainstFound(t *testing.T) {
	s := demo(t, "2025-11-25")
	e := page(t, s, "CH-01", PageOptions{}).Evidence[0]
	require.Len(t, e.Foretold, 6)
	assert.False(t, e.Foretold[4].Inside, "K5, at 6.6 tenths")
	assert.True(t, e.Foretold[0].Inside)
	assert.Equal(t, []string{"K5", "2.2", "-2.0 … 6.2", "6.6", "outside"}, e.foretoldRows()[5])
	assert.Contains(t, e.foretoldWords(), "what was known on 2024-03-01: the interval holds what was found at 5 of 6 points, which share their pins and so miss together")
	assert.Contains(t, e.Outline("o", true), "beside what was predicted")
	e = page(t, s, "CH-02", PageOptions{}).Evidence[1]
	assert.Equal(t, []string{"after over before", "0.51", "0.27 … 0.96", "0.49", "inside"}, e.foretoldRows()[1])
	assert.Empty(t, page(t, s, "CH-05", PageOptions{}).Evidence[0].Foretold)
	// On the day of the work nothing had been found.
	assert.Empty(t, page(t, demo(t, "2024-03-11"), "CH-01", PageOptions{}).Evidence[0].foretoldRows())
}

func TestSheetOfASeam(t *testing.T) {
	sh, err := Record(demo(t, "2024-04-01"), "A-01/KC-1")
	require.NoError(t, err)
	text := printed(t, func(w io.Writer) error { return sh.WriteText(w, false) })
	assert.Contains(t, text, "step to expect, from the records of 2024-04-01")
	assert.Regexp(t, `K4 +3\.5 tenths +-3\.9 tenths +10\.9 tenths +4\.8 tenths +looseness`, text)
	html := printed(t, sh.WriteHTML)
	checkPage(t, html)
	assert.Contains(t, html, "computed for 2024-04-01")
	assert.Contains(t, html, "read 2024-03-13")
	sh, err = Record(demo(t, "2024-04-01"), "A-01/KC-2")
	require.NoError(t, err)
	assert.NotContains(t, printed(t, func(w io.Writer) error { return sh.WriteText(w, false) }), "step to expect")
}
