package study_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tenths/ledger/study"
)

// TestRecheck holds later readings against those after the change. The interval of
// a next part is mean ± t·s·sqrt(1 + 1/n) (Vardeman and Jobe, Basic Engineering Data
// Collection and Analysis, section on prediction intervals), here by gonum.
func TestRecheck(t *testing.T) {
	const change = pair + "characteristic = \"A-01/KC-4\"\nrechecked_by = \"R\"\n"
	before, after := "9 2.5 3 3 4.5 5", "1.5 -1.5 0 0 0.5 0"
	values := []float64{1.5, -1.5, 0, 0, .5, 0}
	mean, sd := stat.MeanStdDev(values, nil)
	half := distuv.StudentsT{Sigma: 1, Nu: 5}.Quantile(0.975) * sd * math.Sqrt(1+1.0/6)
	for _, c := range []struct {
		name, char, later string
		effect            study.Effect
		inside            int
	}{
		{"kept", "KC-4", tenthsBy("G4", "0.5 -1 0 1 0 0.5"), study.NotShown, 6},
		{"lost", "KC-4", tenthsBy("G4", "5 4 6 3 5 4.5"), study.Worse, 0},
		{"below the gauge", "KC-4", tenthsBy("G4", "0.5 0 0 0 0 0"), study.CannotTell, 6},
		{"one piece", "KC-4", tenthsBy("G4", "4"), study.TooFew, 0},
	} {
		r := recheck(t, change, inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", before)), inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", after)),
			inspection("R", "2025-01-20", c.char, c.later))
		require.NotNil(t, r, c.name)
		assert.Equal(t, c.effect, r.Effect, c.name)
		assert.Equal(t, c.inside, r.Inside, c.name)
		assert.InDelta(t, mean-half, r.Low, 1e-9, c.name)
		assert.InDelta(t, mean+half, r.High, 1e-9, c.name)
	}
	other := recheck(t, change, inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", before)), inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", after)),
		inspection("R", "2025-01-20", "taper", tenthsBy("G4", "1 1 1")))
	assert.Equal(t, "A-01/taper", other.Other)
	assert.Nil(t, recheck(t, change, inspection("B", "2024-10-05", "KC-4", tenthsBy("G4", before)), inspection("A", "2024-10-16", "KC-4", tenthsBy("G4", after)),
		inspection("R", "2025-12-20", "KC-4", tenthsBy("G4", "1 1"))), "a day that is still to come")
}

func recheck(t *testing.T, change string, inspections ...string) *study.Recheck {
	t.Helper()
	s := changeSet(t, "2025-11-25", change, inspections...)
	return s.Recheck(s.L.Record("CH"))
}

// Stations of the fixture that was worked on: which were surveyed since, and how
// far their pins were found to have moved. What was surveyed only after the next
// work on the fixture says nothing of this one.
func TestResurveys(t *testing.T) {
	pin := func(id, surveys string) string {
		return "[[station.locator]]\nid = \"" + id + "\"\ntype = \"round pin\"\nsize = \"0.1873\"\n" + surveys
	}
	sv := func(day, x, y string) string {
		return "[[station.locator.survey]]\non = " + day + "\noff = [\"" + x + " tenths\", \"" + y + " tenths\"]\n"
	}
	station := func(id, pins string) string { return "[[station]]\nid = \"" + id + "\"\n" + pins }
	const made = "[[station.locator.was]]\nuntil = 2025-07-14\nmade_by = \"drilled\"\n"
	l := loadTexts(t, map[string]string{
		"f.md": "kind = \"fixture\"\nid = \"FX1\"\ntitle = \"f\"\nstate = \"in use\"\n" +
			station("A", pin("P1", sv("2024-03-11", "0.5", "1.0")+sv("2025-07-14", "0.5", "1.0"))) +
			station("B", pin("P1", sv("2024-10-14", "0", "0.5"))) +
			station("C", pin("P1", made+sv("2021-05-03", "7", "-12")+sv("2025-07-14", "0.5", "-0.5"))) +
			station("D", pin("P1", sv("2021-05-03", "1", "1")+sv("2025-07-14", "1", "3"))+pin("P2", sv("2021-05-03", "0", "-1")+sv("2025-07-14", "1", "-4"))) +
			station("E", pin("P1", sv("2021-05-03", "0", "0")+sv("2025-09-01", "9", "9"))),
		"c7.md": "kind = \"change\"\nid = \"CH-07\"\ntitle = \"C welded\"\nstate = \"done\"\ndone = 2025-07-14\ntouches = [\"FX1/C/P1\"]\n",
		"c8.md": "kind = \"change\"\nid = \"CH-08\"\ntitle = \"D re-bored\"\nstate = \"done\"\ndone = 2025-09-01\ntouches = [\"FX1/D\"]\n",
		"c9.md": "kind = \"change\"\nid = \"CH-09\"\ntitle = \"other\"\nstate = \"done\"\ndone = 2025-08-01\ntouches = [\"T12\"]\n",
	})
	s := study.New(l, on(t, "2025-11-25"))
	var got []string
	for _, r := range s.Resurveys(l.Record("CH-07")) {
		line := fmt.Sprint(r.Path, " ", r.Touched, " ", r.On.Format("2006-01-02"), " ", r.Last.Format("2006-01-02"), " ")
		if !r.Moved.IsZeroValue() {
			line += r.Moved.String()
		}
		got = append(got, line)
		assert.Equal(t, "CH-08", r.Next.ID(), "another tool is no work on the fixture")
	}
	assert.Equal(t, []string{
		"FX1/A false 2025-07-14 2024-03-11 0.0 tenths",
		"FX1/B false 0001-01-01 2024-10-14 ",
		"FX1/C true 2025-07-14 2021-05-03 ",
		"FX1/D false 2025-07-14 2021-05-03 3 tenths",
		"FX1/E false 0001-01-01 2021-05-03 ",
	}, got)
	assert.Empty(t, s.Resurveys(l.Record("CH-09")))
	assert.Empty(t, study.New(l, on(t, "2025-07-13")).Resurveys(l.Record("CH-07")), "not done yet")
}
