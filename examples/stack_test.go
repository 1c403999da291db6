package examples

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger/study"
)

// TestSeamStackAgreesWithSeamStudy holds the stack-up of the step at K3, a formula in
// A-01 over the surveyed pins and the looseness on them, against the study of the seam
// on the same day: two ways to the same table, one by the derivatives of the formula,
// the other by plane kinematics.
func TestSeamStackAgreesWithSeamStudy(t *testing.T) {
	const name = "A-01/step at K3 from the stations"
	l := load(t, "focuser")
	for _, day := range []string{"2024-05-01", "2024-09-30", "2024-12-01", "2025-11-25"} {
		t.Run(day, func(t *testing.T) {
			on, err := time.Parse(time.DateOnly, day)
			require.NoError(t, err)
			s := study.New(l, on)
			var d *study.Derived
			for _, one := range s.Derived() {
				if one.Path() == name {
					d = one
				}
			}
			require.NotNil(t, d)
			require.NoError(t, d.Err)
			o, err := s.Seam("A-01/KC-1", on)
			require.NoError(t, err)
			require.Equal(t, "K3", o.Points[2].ID)
			told := map[string]seam.Share{}
			for _, sh := range o.Forecast.Points[2].Shares {
				told[sh.Name] = sh
			}
			mm := func(q quantity.Quantity) float64 { return q.FloatIn(quantity.Millimetre) }
			byPath := map[string]study.Share{}
			for _, sh := range d.Shares {
				byPath[sh.Path] = sh
			}
			mean, variance := 0.0, 0.0
			both := func(a, b study.Share) float64 { return math.Hypot(mm(a.SD), mm(b.SD)) }
			compared := map[string]float64{}
			for _, st := range []struct{ path, loose string }{{"FX1/A", "looseness of P-10 on FX1/A"}, {"FX1/B", "looseness of P-20 on FX1/B"}} {
				for _, pin := range []string{"/P1", "/P2"} {
					sh := byPath[st.path+pin+"/off/y"]
					require.Contains(t, told, st.path+pin)
					assert.InDelta(t, told[st.path+pin].SD, mm(sh.SD), 1e-9, "standard deviation from %s, mm", st.path+pin)
					assert.InDelta(t, told[st.path+pin].Worst, mm(sh.Effect), 1e-9, "worst case from %s, mm", st.path+pin)
					mean += told[st.path+pin].Mean
					compared[st.path+pin] = sh.Variance
				}
				p1, p2 := byPath[st.path+"/P1/looseness"], byPath[st.path+"/P2/looseness"]
				require.Contains(t, told, st.loose)
				assert.InDelta(t, told[st.loose].SD, both(p1, p2), 1e-9, "standard deviation from %s, mm", st.loose)
				compared[st.loose] = p1.Variance + p2.Variance
			}
			assert.InDelta(t, mean, mm(d.Value), 1e-9, "what is known of the pins")
			// The study counts more sources than the stations; among theirs the parts agree.
			for source := range compared {
				variance += told[source].SD * told[source].SD
			}
			total := 0.0
			for source, part := range compared {
				assert.InDelta(t, told[source].SD*told[source].SD/variance, part, 1e-6, "part of %s", source)
				total += part
			}
			assert.InDelta(t, 1, total, 1e-9)
			require.NotNil(t, d.Standing)
			sim, err := d.Simulate()
			require.NoError(t, err)
			assert.InDelta(t, math.Sqrt(variance), mm(sim.SD), 0.02*math.Sqrt(variance), "and so does the simulation")
		})
	}
}
