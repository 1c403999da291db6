package weld

import (
	"fmt"
	"math"
	"math/big"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/check"
	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// Standings of a check value; no row rests on a value from memory.
const (
	seen  = "printed in one source"
	apart = "computed apart from this code"
)

func grams(v quantity.Quantity) float64 { return 1000 * v.FloatIn(unit("N·s²/m")) }

func TestFillAndLay(t *testing.T) {
	for _, c := range []struct {
		name, source, standing       string
		hole, depth, wire, eff       string
		cylinder, tip, total, length float64 // mm³, m
		deposited, used              float64 // g; 0: not computed
	}{
		{"8 x 20", "worked out with a numeric library", apart, "8 mm", "20 mm", "0.9 mm", "0.95", 1005.3096, 40.2701, 1045.5797, 1.730050, 8.207801, 8.639790},
		{"10 x 25", "worked out with a numeric library", apart, "10 mm", "25 mm", "1.0 mm", "0.93", 0, 0, 2042.147880, 2.795853, 0, 0},
		{"6 x 12", "worked out with a numeric library", apart, "6 mm", "12 mm", "0.8 mm", "0.96", 0, 0, 356.280940, 0.738332, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			v, err := Fill(quantity.Quantity{}, Hole{Diameter: testkit.Q(t, c.hole), Depth: testkit.Q(t, c.depth), Point: testkit.Q(t, "118 deg")})
			require.NoError(t, err)
			assert.InDelta(t, c.total, v.Total.Float(), 1e-4)
			if c.cylinder > 0 {
				assert.InDelta(t, c.cylinder, v.Cylinder.Float(), 1e-4)
				assert.InDelta(t, c.tip, v.Tip.Float(), 1e-4)
			}
			l, err := Lay(Wire{Volume: v.Total, Diameter: testkit.Q(t, c.wire), Efficiency: testkit.Q(t, c.eff), Feed: testkit.Q(t, "6 m/min")})
			require.NoError(t, err)
			assert.InDelta(t, c.length, l.Length.FloatIn(unit("m")), 1e-6)
			assert.InDelta(t, c.length*10, l.Time.Float(), 1e-5) // 6 m/min is 0.1 m/s
			if c.used > 0 {
				assert.InDelta(t, c.deposited, grams(l.Deposited), 1e-6)
				assert.InDelta(t, c.used, grams(l.Used), 1e-6)
			}
			// The bound on the error holds what float64 could have lost.
			assert.Less(t, v.Total.Bound().Cmp(big.NewRat(1, 1000000)), 0)
		})
	}
}

func TestFillGeometry(t *testing.T) {
	one := Hole{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "20 mm")}
	flat, err := Fill(quantity.Quantity{}, one)
	require.NoError(t, err)
	assert.Zero(t, flat.Tip.Sign())
	assert.InDelta(t, math.Pi*16*20, flat.Total.Float(), 1e-9)
	// A cap as high as its radius is half a ball (solid geometry).
	ball := one
	ball.Cap = testkit.Q(t, "4 mm")
	v, err := Fill(quantity.Quantity{}, ball)
	require.NoError(t, err)
	assert.InDelta(t, 2*math.Pi*64/3, v.Cap.Float(), 1e-9)
	// A point of 90 deg is a cone as high as the radius.
	cone := one
	cone.Point = testkit.Q(t, "90 deg")
	v, err = Fill(quantity.Quantity{}, cone)
	require.NoError(t, err)
	assert.InDelta(t, math.Pi*16*4/3, v.Tip.Float(), 1e-9)
	// Allowance and count.
	cone.Count = 3
	many, err := Fill(testkit.Q(t, "10 %"), cone, one)
	require.NoError(t, err)
	assert.InDelta(t, 1.1*(3*v.Total.Float()+flat.Total.Float()), many.Total.Float(), 1e-9)
}

// A filler-metal maker's handbook: fillet 0.5 x 0.5 in, 0.283 lb/in³, 0.424 lb for
// a foot (P = W·L/E); seen.
func TestFilletOfTheHandbook(t *testing.T) {
	l, err := Lay(Wire{Volume: testkit.Q(t, "1.5 in³"), Diameter: testkit.Q(t, "0.035 in"), Efficiency: testkit.Q(t, "1"), Density: testkit.Q(t, "0.283 lb/in³")})
	require.NoError(t, err)
	pounds := l.Deposited.Float() * 9806.65 / 4.4482216152605 // t·mm/s² over N
	assert.InDelta(t, 0.4245, pounds, 1e-9)                   // exact
	assert.InDelta(t, 0.424, pounds, 0.00051, seen)           // printed, cut off
	assert.Equal(t, "0.425 lb", Text(l.Deposited))
}

// The same handbook: rate in lb/h = 13.1·d²·feed·E, 4.57 for 0.035 in, 300 in/min
// and 0.95. Its 13.1 belongs to 0.278 lb/in³; for 0.283 the constant is 13.34,
// which gives 4.66 (computed apart).
func TestDepositionRateOfTheHandbook(t *testing.T) {
	for _, c := range []struct{ density, want string }{{"0.277991 lb/in³", "4.57 lb/h"}, {"0.283 lb/in³", "4.66 lb/h"}} {
		l, err := Lay(Wire{Volume: testkit.Q(t, "1 in³"), Diameter: testkit.Q(t, "0.035 in"), Efficiency: testkit.Q(t, "0.95"), Density: testkit.Q(t, c.density), Feed: testkit.Q(t, "300 in/min")})
		require.NoError(t, err)
		assert.Equal(t, c.want, Text(l.Rate))
	}
	// 95 g in 60 s is 5.7 kg/h (printed in a welding-supply manual).
	v := testkit.Q(t, "12101.910828 mm³")                                                                                                   // 95 g of 7.85
	l, err := Lay(Wire{Volume: v, Diameter: testkit.Q(t, "1.2 mm"), Efficiency: testkit.Q(t, "0.95"), Rate: testkit.Q(t, "55.897905 N/h")}) // 5.7 kg/h in newtons
	require.NoError(t, err)
	assert.InDelta(t, 95, grams(l.Deposited), 1e-4)
	assert.InDelta(t, 60, l.Time.Float(), 1e-4)
	assert.Equal(t, "5.70 kg/h", Text(l.Rate))
}

func TestHeat(t *testing.T) {
	for _, c := range []struct {
		name, source, standing string
		a                      Arc
		arcEnergy, heatInput   string
		energy, total, rise    float64 // kJ, K; 0: not computed
	}{
		{"20 V 300 A 2.5 mm/s", "printed example", seen, Arc{Process: SAW, Volts: testkit.Q(t, "20"), Amps: testkit.Q(t, "300"), Speed: testkit.Q(t, "2.5 mm/s")}, "2400 N·m/mm", "2400 N·m/mm", 0, 0, 0},
		{"325 A 29 V 12.5 in/min", "printed example", seen, Arc{Process: SAW, Volts: testkit.Q(t, "29"), Amps: testkit.Q(t, "325"), Speed: testkit.Q(t, "12.5 in/min")}, "45240 N·m/in", "45240 N·m/in", 0, 0, 0},
		{"24 V 180 A 300 mm/min", "printed example, 0.691 kJ/mm with k 0.8", seen, Arc{Process: MAG, Volts: testkit.Q(t, "24"), Amps: testkit.Q(t, "180"), Speed: testkit.Q(t, "300 mm/min")}, "864 N·m/mm", "691 N·m/mm", 0, 0, 0},
		{"25 V 200 A 5 mm/s", "k U I/v", apart, Arc{Process: "GMAW", Volts: testkit.Q(t, "25"), Amps: testkit.Q(t, "200"), Speed: testkit.Q(t, "5 mm/s")}, "1000 N·m/mm", "800 N·m/mm", 0, 0, 0},
		{"a hole of 17.3 s", "33.2 kJ, about 68 K in 1 kg of steel", apart, Arc{Process: MAG, Volts: testkit.Q(t, "20"), Amps: testkit.Q(t, "120"), Time: testkit.Q(t, "17.3 s"), Mass: testkit.Q(t, "9.80665 N")}, "", "", 41.52, 33.216, 67.8},
		{"TIG", "k 0.6", seen, Arc{Process: TIG, Volts: testkit.Q(t, "12"), Amps: testkit.Q(t, "100"), Time: testkit.Q(t, "10 s")}, "", "", 12, 7.2, 0},
		{"factor given", "k as entered", apart, Arc{Process: MMA, Volts: testkit.Q(t, "20"), Amps: testkit.Q(t, "100"), Time: testkit.Q(t, "10 s"), Factor: testkit.Q(t, "75 %")}, "", "", 20, 15, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			h, err := c.a.Heat()
			require.NoError(t, err)
			for _, pair := range []struct {
				want string
				got  quantity.Quantity
			}{{c.arcEnergy, h.ArcEnergy}, {c.heatInput, h.HeatInput}} {
				if pair.want == "" {
					assert.True(t, pair.got.IsZeroValue())
					continue
				}
				assert.Equal(t, pair.want, pair.got.Format(pair.got.Unit(), 0), c.source)
				assert.True(t, pair.got.Exact())
			}
			if c.energy == 0 {
				assert.True(t, h.Total.IsZeroValue())
				return
			}
			assert.InDelta(t, c.energy, h.Energy.FloatIn(unit("N·m"))/1000, 1e-9)
			assert.InDelta(t, c.total, h.Total.FloatIn(unit("N·m"))/1000, 1e-9)
			if c.rise > 0 {
				assert.InDelta(t, c.rise, h.Rise.Float(), 0.05)
			}
		})
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct{ value, unit, want string }{
		{"0.008207801", "N·s²/m", "8.21 g"}, {"1.25", "N·s²/m", "1.25 kg"}, {"0.0000012", "N·s²/m", "0.00120 g"}, {"0.09", "N·s²/m/h", "0.0900 kg/h"},
		{"33216", "N·m", "33.2 kJ"}, {"330", "N·m", "330 J"}, {"691.2", "N·m/mm", "0.691 kJ/mm"}, {"45240", "N·m/in", "45.2 kJ/in"},
		{"2400", "N·m/mm", "2.40 kJ/mm"}, {"3", "mm³", "3 mm³"}, {"17.3", "s", "17.3 s"}, {"5", "N", "5 N"},
	} {
		v := testkit.Q(t, c.value).Rat()
		assert.Equal(t, c.want, Text(quantity.New(v, unit(c.unit))))
	}
	assert.Equal(t, "no value", Text(quantity.Quantity{}))
}

func TestUnitsAreKnown(t *testing.T) {
	for _, name := range []string{"mm³", "in³", "N·s²/m", "lbf·s²/in", "N·s²/m/s", "lbf·s²/in/s", "N·s²/m/mm/mm/mm", "m/s²", "m²/s²/K", "N·m", "N·m/s", "N·m/mm", "N·m/in", "m", "in", "s", "lbf"} {
		assert.False(t, unit(name).IsZero(), name)
	}
	assert.Equal(t, check.Mass, unit("N·s²/m").Dim())
	assert.Equal(t, check.SpecificHeat, unit("m²/s²/K").Dim())
	assert.Zero(t, quantity.New(big.NewRat(1, 1), unit("lbf·s²/in")).Rat().Cmp(quantity.New(big.NewRat(44482216152605, 254000000000000), unit("N·s²/mm")).Rat()))
}

func TestShades(t *testing.T) {
	// 29 CFR 1910.133 (minimum) and a guide after ANSI Z49.1:1999 (comfort); seen.
	for _, c := range []struct {
		p             Process
		amps          string
		minimum, easy int
		ok            bool
	}{
		{MAG, "59.9", 7, 0, true}, {MAG, "60", 10, 11, true}, {"gmaw", "159", 10, 11, true}, {MAG, "160", 10, 12, true}, {MAG, "250", 10, 14, true}, {MAG, "500", 10, 14, true},
		{MAG, "500.1", 0, 0, false}, {TIG, "49", 8, 10, true}, {TIG, "50", 8, 12, true}, {"GTAW", "150", 10, 14, true}, {MMA, "100", 0, 0, false}, {"laser", "100", 0, 0, false},
		{MAG, "0", 0, 0, false}, {MAG, "100 mm", 0, 0, false},
	} {
		s, ok := ShadeFor(c.p, testkit.Q(t, c.amps))
		assert.Equal(t, c.ok, ok, "%s %s", c.p, c.amps)
		assert.Equal(t, Shade{c.minimum, c.easy}, s, "%s %s", c.p, c.amps)
	}
}

func TestEveryResultCarriesTheCautions(t *testing.T) {
	v, err := Fill(quantity.Quantity{}, Hole{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "20 mm")})
	require.NoError(t, err)
	l, err := Lay(Wire{Volume: v.Total, Diameter: testkit.Q(t, "0.9 mm"), Efficiency: testkit.Q(t, "0.95")})
	require.NoError(t, err)
	h, err := Arc{Process: MAG, Volts: testkit.Q(t, "20"), Amps: testkit.Q(t, "120")}.Heat()
	require.NoError(t, err)
	stick, err := Arc{Process: MMA, Volts: testkit.Q(t, "20"), Amps: testkit.Q(t, "120")}.Heat()
	require.NoError(t, err)
	safe := regexp.MustCompile(`(?i)\bsafe(ly)?\b`)
	for _, list := range [][]Caution{v.Cautions, l.Cautions, h.Cautions, stick.Cautions, Cautions()} {
		topics := map[string]bool{}
		for _, c := range list {
			topics[c.Topic] = true
			assert.NotEmpty(t, c.Source, c.Topic)
			assert.NotEmpty(t, c.Standing, c.Topic)
			assert.NotRegexp(t, safe, c.Text)
		}
		for _, topic := range []string{EyesAndSkin, Fume, FireWatch, WorkLead, NoSolvent, Covers} {
			assert.True(t, topics[topic], topic)
		}
		assert.Equal(t, Decides, list[len(list)-1].Text)
	}
	assert.Contains(t, h.Cautions[0].Text, "at 120 A: shade 10 at least, 11 suggested to start from")
	assert.Contains(t, stick.Cautions[0].Text, "look them up in 29 CFR 1910.133")
	assert.NotContains(t, Cautions()[0].Text, "at 120 A", "no result changes the list of another")
	for _, n := range append(v.Notes, h.Notes...) {
		assert.NotRegexp(t, safe, n)
	}
	assert.Contains(t, fmt.Sprint(v.Notes), "alloy plate needs preheat")
	assert.NotRegexp(t, `\d+ ?(F|C|deg)\b`, v.Notes[0], "no preheat temperature is stated")
}

func TestEfficiencies(t *testing.T) {
	for _, e := range Efficiencies() {
		assert.NotEmpty(t, e.Source, e.Filler)
		assert.LessOrEqual(t, e.Low.Rat().Cmp(e.High.Rat()), 0)
		_, err := Lay(Wire{Volume: testkit.Q(t, "1000 mm³"), Diameter: testkit.Q(t, "1 mm"), Efficiency: e.High})
		assert.NoError(t, err, e.Filler)
	}
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thou := func(name string, lo, hi int64) quantity.Quantity {
			return quantity.New(big.NewRat(rapid.Int64Range(lo, hi).Draw(t, name), 1000), quantity.Inch)
		}
		mm := func(v quantity.Quantity) quantity.Quantity {
			r, err := v.As(quantity.Millimetre)
			require.NoError(t, err)
			return r
		}
		h := Hole{Diameter: thou("d", 60, 2000), Depth: thou("depth", 50, 4000), Point: testkit.Q(t, "118 deg"), Cap: thou("cap", 0, 100), Count: rapid.IntRange(1, 9).Draw(t, "count")}
		m := h
		m.Diameter, m.Depth, m.Cap = mm(h.Diameter), mm(h.Depth), mm(h.Cap)
		a, err := Fill(testkit.Q(t, "5 %"), h)
		require.NoError(t, err)
		b, err := Fill(testkit.Q(t, "5 %"), m)
		require.NoError(t, err)
		assert.InEpsilon(t, a.Total.Float(), b.Total.Float(), 1e-12, "the unit of entry changes nothing")
		assert.Equal(t, "in³", a.Total.Unit().Name())
		assert.Equal(t, "mm³", b.Total.Unit().Name())

		wire := thou("wire", 20, 100)
		eff := quantity.New(big.NewRat(rapid.Int64Range(50, 100).Draw(t, "efficiency"), 100), quantity.One)
		x, err := Lay(Wire{Volume: a.Total, Diameter: wire, Efficiency: eff, Feed: testkit.Q(t, "240 in/min")})
		require.NoError(t, err)
		y, err := Lay(Wire{Volume: b.Total, Diameter: mm(wire), Efficiency: eff, Feed: testkit.Q(t, "6096 mm/min"), Density: testkit.Q(t, "7.85")})
		require.NoError(t, err)
		assert.InEpsilon(t, x.Used.Float(), y.Used.Float(), 1e-12)
		assert.InEpsilon(t, x.Time.Float(), y.Time.Float(), 1e-12)
		assert.GreaterOrEqual(t, x.Used.Float(), x.Deposited.Float()*(1-1e-12))

		// Monotone: deeper is more metal, a worse efficiency more wire.
		h.Depth = h.Depth.Scale(big.NewRat(11, 10))
		deeper, err := Fill(testkit.Q(t, "5 %"), h)
		require.NoError(t, err)
		assert.Greater(t, deeper.Total.Float(), a.Total.Float())
		worse, err := Lay(Wire{Volume: a.Total, Diameter: wire, Efficiency: eff.Scale(big.NewRat(9, 10)), Feed: testkit.Q(t, "240 in/min")})
		require.NoError(t, err)
		assert.Greater(t, worse.Length.Float(), x.Length.Float())
		assert.Greater(t, worse.Time.Float(), x.Time.Float())
	})
}

func TestErrorsSayWhatToType(t *testing.T) {
	none := quantity.Quantity{}
	hole := func(d, depth, point, cap, capD string, n int) error {
		_, err := Fill(none, Hole{Diameter: testkit.Q(t, d), Depth: testkit.Q(t, depth), Point: testkit.Q(t, point), Cap: testkit.Q(t, cap), CapDiameter: testkit.Q(t, capD), Count: n})
		return err
	}
	lay := func(v, d, e, rho, feed, rate string) error {
		_, err := Lay(Wire{Volume: testkit.Q(t, v), Diameter: testkit.Q(t, d), Efficiency: testkit.Q(t, e), Density: testkit.Q(t, rho), Feed: testkit.Q(t, feed), Rate: testkit.Q(t, rate)})
		return err
	}
	arc := func(p Process, v, i, k, speed, time, m string) error {
		_, err := Arc{Process: p, Volts: testkit.Q(t, v), Amps: testkit.Q(t, i), Factor: testkit.Q(t, k), Speed: testkit.Q(t, speed), Time: testkit.Q(t, time), Mass: testkit.Q(t, m)}.Heat()
		return err
	}
	_, noHoles := Fill(none)
	_, badAllowance := Fill(testkit.Q(t, "-10 %"), Hole{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "20 mm")})
	for _, c := range []struct {
		err  error
		want string
	}{
		{noHoles, "no holes; type the diameter and depth of at least one"},
		{badAllowance, "allowance: -10 % is not above 0; type a plain number above 0, such as 10 %"},
		{hole("", "20 mm", "", "", "", 1), "diameter of the hole: no value; type a length above 0, such as 0.3125 in or 8 mm"},
		{hole("0 mm", "20 mm", "", "", "", 1), "diameter of the hole: 0 mm is not above 0"},
		{hole("8 mm", "-20 mm", "", "", "", 1), "depth of the hole: -20 mm is not above 0"},
		{hole("8", "20 mm", "", "", "", 1), "diameter of the hole: 8 is a plain number; type a length"},
		{hole("8 mm", "20 mm", "118 mm", "", "", 1), "angle of the drill point: 118 mm is a length; type an angle above 0, such as 118 deg"},
		{hole("8 mm", "20 mm", "12 deg", "", "", 1), "type the full angle between 30 and 175 deg"},
		{hole("8 mm", "20 mm", "", "-1 mm", "", 1), "height of the cap: -1 mm is not above 0"},
		{hole("8 mm", "20 mm", "", "1 mm", "7 mm", 1), "type at least the diameter of the hole"},
		{hole("8 mm", "20 mm", "", "", "", -1), "number of holes: -1; type a whole number"},
		{lay("1000 mm", "1 mm", "0.9", "", "", ""), "volume of weld metal: 1000 mm is a length; type a volume above 0, such as 1000 mm³ or 0.06 in³"},
		{lay("1000 mm³", "0 mm", "0.9", "", "", ""), "diameter of the wire: 0 mm is not above 0"},
		{lay("1000 mm³", "1 mm", "95", "", "", ""), "efficiency: 95 is more than all of it; type a number up to 1, such as 0.95"},
		{lay("1000 mm³", "1 mm", "0", "", "", ""), "efficiency: 0 is not above 0"},
		{lay("1000 mm³", "1 mm", "0.9", "7850", "", ""), "density: 7850 g/cm³ is beyond any metal; type g/cm³, such as 7.85 for steel"},
		{lay("1000 mm³", "1 mm", "0.9", "8 mm", "", ""), "density: 8 mm is a length; type a number above 0 in g/cm³"},
		{lay("1000 mm³", "1 mm", "0.9", "", "6 m", ""), "wire feed: 6 m is a length; type a speed above 0, such as 240 in/min or 6 m/min"},
		{lay("1000 mm³", "1 mm", "0.9", "", "", "12 lbf"), "deposition rate: 12 lbf is a force; type a weight per time above 0, such as 12 lbf/h"},
		{lay("1000 mm³", "1 mm", "0.9", "", "6 m/min", "12 lbf/h"), "leave one out"},
		{arc("glue", "20", "120", "", "", "", ""), `process "glue"; type one of MMA (SMAW), MAG (GMAW), TIG (GTAW), SAW`},
		{arc(MAG, "", "120", "", "", "", ""), "arc voltage: no value; type a plain number above 0, such as 20, in volts"},
		{arc(MAG, "200", "20", "", "", "", ""), "type the volts first and the amperes second"},
		{arc(MAG, "20", "0", "", "", "", ""), "current: 0 is not above 0; type a plain number above 0, such as 120, in amperes"},
		{arc(MAG, "20", "120", "80", "", "", ""), "heat factor: 80 is more than all of it"},
		{arc(MAG, "20", "120", "", "5 s", "", ""), "travel speed: 5 s is a time; type a speed above 0, such as 300 mm/min"},
		{arc(MAG, "20", "120", "", "", "5 mm", ""), "arc time: 5 mm is a length; type a time above 0, such as 20 s"},
		{arc(MAG, "20", "120", "", "", "5 s", "1 mm"), "mass of the piece: 1 mm is a length; type a weight above 0, such as 2.2 lbf or 10 N"},
	} {
		if assert.Error(t, c.err, c.want) {
			assert.Contains(t, c.err.Error(), c.want)
		}
	}
}
