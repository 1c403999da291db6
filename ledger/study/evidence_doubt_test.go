package study_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

// TestDoubtfulReadings: readings in doubt stay in the comparison, and what is
// left without them is told. The readings are those of CH-04 of the invented
// shop.
func TestDoubtfulReadings(t *testing.T) {
	const before, after = "9.0 2.5 3.0 3.0 4.5 5.0", "1.5 -1.5 0 0 .5 0"
	b := inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", before))
	a := inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", after))
	marked := "gauge = \"G4\"\ndeviation_in = \"tenths\"\nreadings = \"1.5 -1.5 0 0 .5\"\n[[reading]]\npiece = \"6\"\nvalues = \"0\"\nstate = \"doubtful\"\nwhy = \"chip under the anvil.\"\n"
	for _, c := range []struct {
		name, before, after, text string
		without                   study.Effect
	}{
		{"none", b, a, "", ""},
		{"the whole inspection", b, a + "state = \"doubtful\"\ndoubt = \"gauge found 0.0003 in low\"\n", "all 6 after (gauge found 0.0003 in low)", study.TooFew},
		{"doubt without a state", b + "doubt = \"warm part\"\n", a, "all 6 before (warm part)", study.TooFew},
		{"no reason", b, a + "state = \"doubtful\"\n", "all 6 after (no reason is written down)", study.TooFew},
		{"one piece", b, inspection("A", "2024-10-16", "KC-4", marked), "1 of 6 after (chip under the anvil)", study.Better},
		{"one piece marked in a doubtful inspection", b, "state = \"doubtful\"\ndoubt = \"gauge out\"\n" + inspection("A", "2024-10-16", "KC-4", marked), "1 of 6 after (chip under the anvil)", study.Better},
		{"both sides", b + "state = \"doubtful\"\n", a + "doubt = \"x\"\n", "all 6 before (no reason is written down) and all 6 after (x)", study.TooFew},
	} {
		t.Run(c.name, func(t *testing.T) {
			e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/KC-4\"\n", c.before, c.after)[0]
			require.Empty(t, e.Problem)
			assert.Equal(t, study.Better, e.Effect)
			assert.Len(t, e.After.Judged, 6, "all stay in")
			assert.Equal(t, c.text, e.DoubtText())
			assert.Equal(t, c.without, e.WithoutDoubt)
		})
	}
	e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/seat\"\n", inspection("B", "2024-10-05", "seat", "count = \"6 of 40\""), inspection("A", "2024-10-16", "seat", "count = \"0 of 40\"\nstate = \"doubtful\"\ndoubt = \"two counters\""))[0]
	assert.Equal(t, study.Better, e.Effect)
	assert.Equal(t, "all 40 after (two counters)", e.DoubtText())
	assert.Equal(t, study.TooFew, e.WithoutDoubt)
}

// TestOrderOf compares days with each other, whatever day is asked for.
func TestOrderOf(t *testing.T) {
	for _, c := range []struct {
		before, done, after        string
		beforeLate, early, swapped bool
	}{
		{"2026-04-01", "2026-05-01", "2026-05-02", false, false, false},
		{"2026-05-01", "2026-05-01", "2026-05-01", false, false, false},
		{"2026-04-01", "2026-05-01", "2026-04-20", false, true, false},
		{"2027-04-01", "2026-05-01", "2026-05-02", true, false, false},
		{"2026-04-01", "2027-05-01", "2026-05-02", false, true, false},
		{"2026-05-03", "", "2026-05-02", false, false, true},
		{"2026-05-01", "", "2026-05-02", false, false, false},
		{"2026-05-03", "\"about 2026-05-01\"", "2026-05-02", false, false, true},
	} {
		done := ""
		if c.done != "" {
			done = "done = " + c.done + "\n"
		}
		texts := map[string]string{"c.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"c\"\nstate = \"done\"\n" + pair + done}
		texts["b.md"] = "kind = \"inspection\"\ntitle = \"r\"\nid = \"B\"\non = " + c.before + "\n"
		texts["a.md"] = "kind = \"inspection\"\ntitle = \"r\"\nid = \"A\"\non = " + c.after + "\n"
		l := loadTexts(t, texts)
		ch := l.Record("CH").Data.(*ledger.Change)
		for _, day := range []string{"2025-01-01", "2026-06-01"} {
			o := study.New(l, on(t, day)).OrderOf(ch.Done, ch.Before, ch.After)
			assert.Equal(t, [3]bool{c.beforeLate, c.early, c.swapped}, [3]bool{o.BeforeLate, o.AfterEarly, o.Swapped}, "%+v as of %s", c, day)
		}
	}
}

// TestStateOn: the state of the record holds from the day that led to it.
func TestStateOn(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"c.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"c\"\nstate = \"verified effective\"\nopened = 2026-03-01\ndone = 2026-05-01\nafter = \"A\"\n",
		"r.md": "kind = \"change\"\nid = \"RB\"\ntitle = \"c\"\nstate = \"rolled back\"\ndone = 2026-05-01\nrolled_back = 2026-05-20\n",
		"p.md": "kind = \"change\"\nid = \"PR\"\ntitle = \"c\"\nstate = \"proposed\"\nopened = 2026-05-01\n",
		"a.md": "kind = \"inspection\"\ntitle = \"r\"\nid = \"A\"\non = 2026-05-10\n",
	})
	for _, c := range [][3]string{
		{"CH", "2026-02-01", "not proposed yet"}, {"CH", "2026-04-15", "not done yet"}, {"CH", "2026-05-01", "done"}, {"CH", "2026-05-09", "done"}, {"CH", "2026-05-10", "verified effective"},
		{"RB", "2026-04-30", "not done yet"}, {"RB", "2026-05-19", "done"}, {"RB", "2026-05-20", "rolled back"}, {"PR", "2026-06-01", "proposed"},
	} {
		assert.Equal(t, c[2], study.New(l, on(t, c[1])).StateOn(l.Record(c[0]).Data.(*ledger.Change)), "%s on %s", c[0], c[1])
	}
}
