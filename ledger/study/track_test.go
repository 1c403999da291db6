package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

// trackShop are changes with five readings before, 0 ± 1 tenths, and five after
// that lie 10 lower; predicted and predicted_on are what the change says.
func trackShop(t *testing.T, keys ...string) (*study.Set, []*ledger.Record) {
	t.Helper()
	texts := map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[characteristic]]\nid = \"S\"\ntype = \"size\"\nlimits = \"0 ±0.01\"\n",
	}
	for i, day := range []string{"2025-01-10", "2025-02-10"} {
		texts[fmt.Sprintf("i%d.md", i)] = fmt.Sprintf("kind = \"inspection\"\nid = \"I%d\"\ntitle = \"i\"\nstate = \"valid\"\non = %s\ncharacteristic = \"P/S\"\ndeviation_in = \"tenths\"\nreadings = \"%s\"\n", i, day, []string{"-1 -1 0 1 1", "-11 -11 -10 -9 -9"}[i])
	}
	for i, k := range keys {
		texts[fmt.Sprintf("c%d.md", i)] = fmt.Sprintf("kind = \"change\"\nid = \"C%d\"\ntitle = \"c\"\nstate = \"done\"\ndone = 2025-02-01\ncharacteristic = \"P/S\"\nbefore = \"I0\"\nafter = \"I1\"\n%s\n", i, k)
	}
	s := study.New(loadTexts(t, texts), on(t, "2025-11-25"))
	var recs []*ledger.Record
	for i := range keys {
		recs = append(recs, s.L.Record(fmt.Sprintf("C%d", i)))
	}
	return s, recs
}

func TestTrack(t *testing.T) {
	s, recs := trackShop(t,
		"predicted = \"-10 ±2 tenths\"\npredicted_on = 2025-01-15",                           // hit in the middle
		"predicted = \"-14 +5/-2 tenths\"\npredicted_on = 2025-01-15",                        // held: 4 of 5 towards zero
		"predicted = \"-4 ±3 tenths\"\npredicted_on = 2025-01-15",                            // missed by twice the half-width
		"predicted = \"-10 ±2 tenths\"\npredicted_on = 2025-02-10",                           // on the day of the readings
		"predicted = \"-10 ±2 tenths\"",                                                      // no day
		"predicted = \"-10 tenths\"\npredicted_on = 2025-01-15",                              // no interval
		"predicted = \"-10 ±2 tenths\"\npredicted_on = 2025-01-15\nafter_roll_back = \"I1\"", // counts like the first
		"factor = \"nothing predicted\"",
	)
	got := s.Track(recs)
	assert.Equal(t, 4, got.Made)
	assert.Equal(t, 3, got.Held)
	assert.Equal(t, 2, got.Late)
	assert.Equal(t, 1, got.NoInterval)
	assert.Zero(t, got.Open)
	require.Len(t, got.Missed, 1)
	assert.Equal(t, "C2", got.Missed[0].ID())
	assert.InDelta(t, (0+4./5+6./3+0)/4, got.Error, 1e-9)
	// 3 of 4: 19.4 % to 99.4 % (Clopper and Pearson; published tables, from memory).
	assert.InDelta(t, 0.194, got.Share.Low, 0.001)
	assert.InDelta(t, 0.994, got.Share.High, 0.001)

	early := study.New(s.L, on(t, "2025-01-20"))
	assert.Equal(t, 7, early.Track(recs).Open, "nothing measured yet")
	assert.Zero(t, s.Track(nil))
}

func TestNewPrediction(t *testing.T) {
	day := on(t, "2024-06-01")
	s := demoOf(t, "focuser", "2024-03-01")
	p := s.NewPrediction(s.L.Record("CH-01"), day)
	assert.True(t, p.Late, "the readings after are in the ledger, whatever day is asked for")
	assert.True(t, strings.HasPrefix(p.Text, "-6."), p.Text)
	p = s.NewPrediction(s.L.Record("CH-05"), day)
	assert.Contains(t, p.Refuse, "does not say what it means to make")
	assert.Empty(t, p.Text)
	assert.Contains(t, s.NewPrediction(s.L.Record("FX1"), day).Refuse, "names no characteristic")

	agreed := func(keys string) study.NewPrediction {
		texts := seamTexts()
		texts["c.md"] = strings.Replace(plannedChange, "%s", keys+"[[planned]]\nwhat = \"F/B\"\nshift = [\"3 tenths\", \"0 tenths\"]", 1)
		s := study.New(loadTexts(t, texts), day)
		return s.NewPrediction(s.L.Record("C"), day)
	}
	p = agreed("")
	assert.Empty(t, p.Refuse)
	assert.True(t, strings.HasPrefix(p.Text, "3"), p.Text)
	assert.Equal(t, day, p.On)
	p = agreed("predicted = \"3 tenths ±1\"\npredicted_on = 2024-05-01\n")
	assert.True(t, p.There)
	assert.Equal(t, "the change predicts 3 ±1 tenths already, written on 2024-05-01", p.Refuse)
}
