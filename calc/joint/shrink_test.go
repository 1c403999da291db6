package joint

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// Machinery's Handbook, 31st ed., pp. 644-645 (one source): hub outside over
// joint, then C for a steel and for a cast-iron hub on a solid steel shaft. The
// steel column matches the criterion of the largest strain with ν = 1/3, the
// cast-iron column the same with ν = 1/4 of the hub.
func TestShrinkageFactorAgainstTheHandbook(t *testing.T) {
	inch := quantity.Inch
	for _, c := range []struct{ ratio, steel, iron string }{
		{"1.5", "0.227", "0.234"}, {"1.6", "0.255", "0.263"}, {"1.8", "0.299", "0.311"}, {"2.0", "0.333", "0.348"}, {"2.2", "0.359", "0.377"},
		{"2.4", "0.380", "0.399"}, {"2.6", "0.397", "0.417"}, {"2.8", "0.410", "0.432"}, {"3.0", "0.421", "0.444"}, {"3.2", "0.430", "0.455"},
		{"3.4", "0.438", "0.463"}, {"3.6", "0.444", "0.471"}, {"3.8", "0.450", "0.477"}, {"4.0", "0.455", "0.482"},
	} {
		joint, outside := quantity.New(big.NewRat(1, 1), inch), testkit.Q(t, c.ratio+" in")
		steel, err := ShrinkageFactor(joint, outside, quantity.Quantity{}, testkit.Q(t, "1/3"), testkit.Q(t, "1/3"))
		require.NoError(t, err)
		assert.True(t, steel.Exact())
		near(t, c.steel, steel, 0.0006, "steel hub, ratio "+c.ratio)
		iron, err := ShrinkageFactor(joint, outside, quantity.Quantity{}, testkit.Q(t, "1/4"), testkit.Q(t, "1/3"))
		require.NoError(t, err)
		near(t, c.iron, iron, 0.0006, "cast-iron hub, ratio "+c.ratio)
	}
	hollow, err := ShrinkageFactor(testkit.Q(t, "2 in"), testkit.Q(t, "3 in"), testkit.Q(t, "1 in"), testkit.Q(t, "1/3"), testkit.Q(t, "1/3"))
	require.NoError(t, err)
	near(t, "0.455", hollow, 0.0006, "hollow shaft, bore half, hub 1.5")
}

// The handbook's metric example (375 on 250 mm, T 170 MPa, C 0.227) prints an
// allowance of 0.026 mm for each millimetre: its formula carries a stray 25.4.
// The right value is 0.00101.
func TestHandbookMetricExampleIsWrong(t *testing.T) {
	a, err := Allowance(testkit.Q(t, "1 mm"), testkit.Q(t, "170 N/mm²"), testkit.Q(t, "0.227"), testkit.Q(t, "206843 N/mm²"))
	require.NoError(t, err)
	near(t, "0.00101 mm", a, 0)
	assert.InDelta(t, 0.026, a.Float()*25.4, 0.0005, "and the printed one is 25.4 times that")
}

// The definition of T makes the difference to Lamé: with the interference of the
// table, p·(Kh+νh) is T, and the hoop stress is not.
func TestShrinkageFactorIsNotHoopStress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFit(t)
		f.Shaft = f.Hub
		c, err := ShrinkageFactor(f.Diameter, f.HubOutside, f.ShaftBore, f.Hub.Nu, f.Shaft.Nu)
		require.NoError(t, err)
		stressInHub := testkit.Q(t, "100 N/mm²")
		f.Most, err = Allowance(f.Diameter, stressInHub, c, f.Hub.E)
		require.NoError(t, err)
		p, err := Press(f)
		require.NoError(t, err)
		strain, err := p.Tight.HubHoop.Add(p.Tight.Pressure.Mul(f.Hub.Nu))
		require.NoError(t, err)
		assert.Zero(t, strain.Rat().Cmp(stressInHub.Rat()))
		assert.Negative(t, p.Tight.HubHoop.Rat().Cmp(stressInHub.Rat()))
	})
}

func TestFlattened(t *testing.T) {
	// Ra 0.5 and 1.0 um, Rz about 6 Ra: 1.8 um (one source).
	loss, err := Flattened(testkit.Q(t, "3 um"), testkit.Q(t, "6 um"))
	require.NoError(t, err)
	assert.Equal(t, "1.8 um", loss.String())
	_, err = Flattened(testkit.Q(t, "0 um"), testkit.Q(t, "6 um"))
	assert.ErrorContains(t, err, "roughness Rz of the shaft: 0 um is not above 0; type a length above 0, such as 3 um or 120 uin")
}

func TestAssemble(t *testing.T) {
	for _, c := range []struct {
		name, source, standing     string
		a                          Assembly
		rise, hubAt, fall, shaftAt string
		note                       string
	}{
		{"50 H7/s6 with gap", "δ 59 um, gap 25 um, 11.7 ppm/K", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.059 mm"), Clearance: testkit.Q(t, "0.025 mm"), Hub: testkit.Q(t, "11.7 ppm/K")},
			"143.6 K", "163.6 C", "", "", "an oil bath reaches about 150 C"},
		{"50 H7/s6 without gap", "δ/(α·d), engineeringtoolbox d_951", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.059 mm"), Hub: testkit.Q(t, "11.7 ppm/K")},
			"100.9 K", "120.9 C", "", "", "add for what is lost"},
		{"in Fahrenheit from a warm shop", "the same in F", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.059 mm"), Hub: testkit.Q(t, "11.7 ppm/K"), Room: testkit.Q(t, "80 F")},
			"181.5 dF", "261.5 F", "", "", ""},
		// (8.008·(1 - 12.3e-6·90) - 8 + 0.005)/(23.6e-6·8): worked out by hand.
		{"cold pin in a warm plate", "linear expansion", apart,
			Assembly{Diameter: testkit.Q(t, "8 mm"), Interference: testkit.Q(t, "0.008 mm"), Clearance: testkit.Q(t, "0.005 mm"), Hub: testkit.Q(t, "23.6 ppm/K"), Shaft: testkit.Q(t, "12.3 ppm/K"), Cold: testkit.Q(t, "-70 C")},
			"21.9 K", "41.9 C", "132.0 K", "-112.0 C", "dry ice reaches about -70 C"},
		{"cold enough by itself", "no heat needed", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.010 mm"), Hub: testkit.Q(t, "11.7 ppm/K"), Shaft: testkit.Q(t, "11.7 ppm/K"), Cold: testkit.Q(t, "-70 C")},
			"0 K", "20 C", "17 K", "3 C", ""},
		{"no cold does it", "beyond liquid air", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.130 mm"), Shaft: testkit.Q(t, "11.7 ppm/K")},
			"", "", "", "", "cooling the shaft alone is not enough: liquid air reaches about -190 C"},
		{"hot enough to soften", "notes", apart,
			Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.130 mm"), Hub: testkit.Q(t, "11.7 ppm/K")},
			"222 K", "242 C", "", "", "can lose hardness from about 200 to 400 C"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Assemble(c.a)
			require.NoError(t, err)
			for _, pair := range []struct {
				want string
				got  quantity.Quantity
			}{{c.rise, r.HubRise}, {c.hubAt, r.HubAt}, {c.fall, r.ShaftFall}, {c.shaftAt, r.ShaftAt}} {
				if pair.want == "" {
					assert.True(t, pair.got.IsZeroValue(), "got %s", pair.got)
					continue
				}
				near(t, pair.want, pair.got, 0, c.source)
				assert.True(t, pair.got.Exact())
			}
			assert.Contains(t, fmt.Sprint(r.Notes), c.note)
			assert.NotEmpty(t, r.Cautions)
		})
	}
}

// With the hub at the temperature found, the growth of package thermal opens the
// wanted clearance exactly, and the unit of entry changes nothing.
func TestAssembleOpensTheClearance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		um := func(name string, lo, hi int64) quantity.Quantity {
			return quantity.New(big.NewRat(rapid.Int64Range(lo, hi).Draw(t, name), 1000), quantity.Millimetre)
		}
		ppm, _ := quantity.LookupUnit("ppm/K")
		a := Assembly{Diameter: um("d", 5000, 100000), Interference: um("δ", 1, 200), Clearance: um("gap", 0, 50), Hub: quantity.New(big.NewRat(rapid.Int64Range(40, 250).Draw(t, "α"), 10), ppm)}
		r, err := Assemble(a)
		require.NoError(t, err)
		growth := a.Diameter.Mul(a.Hub).Mul(r.HubRise)
		want, err := a.Interference.Add(a.Clearance)
		require.NoError(t, err)
		assert.Zero(t, growth.Rat().Cmp(want.Rat()))

		b := a
		for _, v := range []*quantity.Quantity{&b.Diameter, &b.Interference, &b.Clearance} {
			*v, err = v.As(quantity.Inch)
			require.NoError(t, err)
		}
		b.Room = testkit.Q(t, "68 F")
		s, err := Assemble(b)
		require.NoError(t, err)
		assert.Zero(t, s.HubAt.Rat().Cmp(r.HubAt.Rat()))

		b.Clearance = b.Clearance.Scale(big.NewRat(2, 1))
		s, err = Assemble(b)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, s.HubAt.Rat().Cmp(r.HubAt.Rat()), 0)
	})
}
