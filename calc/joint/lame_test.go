package joint

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

// Results printed in textbooks. The radial interference that some problems print
// was doubled. Same material in both parts unless a shaft is given, so that
// Poisson's ratio drops out and 0.292 stands where none is printed.
func TestPressAgainstTextbooks(t *testing.T) {
	const (
		solutions = "mechanical engineering design textbook, solutions manual, "
		metric    = "207000 N/mm²"
		psi       = "30000000 lbf/in²"
	)
	for _, c := range []struct {
		name, source, standing                    string
		d, outside, bore, delta                   string
		hubE, hubNu, shaftE, shaftNu              string
		p, hubHoop, hubMises, shaftHoop, shaftMis string
		round                                     float64 // printed to that many units
	}{
		{"1", solutions + "problem 5-35", printed, "50 mm", "75 mm", "25 mm", "0.02 mm", metric, "0.292", "", "",
			"19.41 N/mm²", "50.47 N/mm²", "62.48 N/mm²", "-32.35 N/mm²", "28.20 N/mm²", 0.02},
		{"2", solutions + "problem 5-34b", printed, "2 in", "3 in", "", "0.001 in", psi, "0.292", "", "",
			"4167 lbf/in²", "10830 lbf/in²", "13410 lbf/in²", "", "", 5},
		{"3", solutions + "problem 3-68", printed, "1 in", "2 in", "", "0.002 in", psi, "0.292", "", "",
			"22500 lbf/in²", "37500 lbf/in²", "", "", "", 0},
		{"4 most", solutions + "problem 3-64; outside 80 not in the excerpt, fits both", printed, "40 mm", "80 mm", "", "0.059 mm", metric, "0.292", "", "",
			"114.5 N/mm²", "", "", "", "", 0},
		{"4 least", solutions + "problem 3-64", printed, "40 mm", "80 mm", "", "0.018 mm", metric, "0.292", "", "",
			"34.9 N/mm²", "", "", "", "", 0},
		{"5 most", solutions + "problem 3-66", printed, "40 mm", "80 mm", "", "0.076 mm", metric, "0.292", "", "",
			"147.5 N/mm²", "", "", "", "", 0},
		{"5 least", solutions + "problem 3-66", printed, "40 mm", "80 mm", "", "0.035 mm", metric, "0.292", "", "",
			"67.9 N/mm²", "", "", "", "", 0},
		{"6 most", solutions + "problem 3-65; outside 3 fits both", printed, "1.5 in", "3 in", "", "0.0023 in", psi, "0.292", "", "",
			"17250 lbf/in²", "", "", "", "", 0},
		{"6 least", solutions + "problem 3-65", printed, "1.5 in", "3 in", "", "0.0007 in", psi, "0.292", "", "",
			"5250 lbf/in²", "", "", "", "", 0},
		{"7 most", solutions + "problem 3-67", printed, "1.5 in", "3 in", "", "0.0030 in", psi, "0.292", "", "",
			"22500 lbf/in²", "", "", "", "", 0},
		{"7 least", solutions + "problem 3-67", printed, "1.5 in", "3 in", "", "0.0014 in", psi, "0.292", "", "",
			"10500 lbf/in²", "", "", "", "", 0},
		{"8 most", solutions + "problem 7-24", printed, "1.5 in", "2.5 in", "", "0.0023 in", psi, "0.292", "", "",
			"14720 lbf/in²", "", "", "", "14720 lbf/in²", 0.5},
		{"8 least", solutions + "problem 7-24", printed, "1.5 in", "2.5 in", "", "0.0007 in", psi, "0.292", "", "",
			"4480 lbf/in²", "", "", "", "", 0.5},
		{"9", "machine design textbook, 4th ed., Example 10-5", printed, "0.781 in", "3.00 in", "", "0.0015 in", "14000000 lbf/in²", "0.28", psi, "0.28",
			"15265 lbf/in²", "", "", "", "", 0.6},
		// The printed answer of this one is from memory and no oracle; its inputs
		// were seen, and the values were worked out apart from this code.
		{"10", "lecture notes, inputs seen at scribd 239703088", apart, "100 mm", "250 mm", "50 mm", "0.06476 mm", "70000 N/mm²", "0.25", "210000 N/mm²", "0.3",
			"21.724 N/mm²", "30.00 N/mm²", "", "", "", 0.005},
		{"dowel 8 in 40", "worked out with a numeric library, E 210 GPa", apart, "8 mm", "40 mm", "", "0.008 mm", "210000 N/mm²", "0.3", "", "",
			"100.8 N/mm²", "", "", "", "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := Fit{Diameter: testkit.Q(t, c.d), HubOutside: testkit.Q(t, c.outside), ShaftBore: testkit.Q(t, c.bore), Most: testkit.Q(t, c.delta), Hub: Member{testkit.Q(t, c.hubE), testkit.Q(t, c.hubNu)}}
			f.Shaft = f.Hub
			if c.shaftE != "" {
				f.Shaft = Member{testkit.Q(t, c.shaftE), testkit.Q(t, c.shaftNu)}
			}
			p, err := Press(f)
			require.NoError(t, err)
			for _, pair := range []struct {
				want string
				got  quantity.Quantity
			}{{c.p, p.Tight.Pressure}, {c.hubHoop, p.Tight.HubHoop}, {c.hubMises, p.Tight.HubMises}, {c.shaftHoop, p.Tight.ShaftHoop}, {c.shaftMis, p.Tight.ShaftMises}} {
				if pair.want != "" {
					near(t, pair.want, pair.got, c.round, c.source)
				}
			}
			assert.True(t, p.Tight.Pressure.Exact())
			assert.Equal(t, p.Tight, p.Loose, "one interference is both ends")
		})
	}
}

func TestForces(t *testing.T) {
	steel := Member{testkit.Q(t, "210000 N/mm²"), testkit.Q(t, "0.3")}
	// Dowel 8 in 40, 16 long, friction 0.12: 4864 N (computed apart).
	p, err := Press(Fit{Diameter: testkit.Q(t, "8 mm"), HubOutside: testkit.Q(t, "40 mm"), Least: testkit.Q(t, "0.004 mm"), Most: testkit.Q(t, "0.008 mm"), Hub: steel, Shaft: steel,
		Length: testkit.Q(t, "16 mm"), PressFriction: testkit.Q(t, "0.12")})
	require.NoError(t, err)
	near(t, "4864 N", p.PressForce, 0.5)
	near(t, "2432 N", p.PullOut, 0.5) // half the interference
	assert.InDelta(t, p.PullOut.Float()*4, p.Torque.Float(), 1e-6)
	assert.Equal(t, "N·m", p.Torque.Unit().Name())

	// Case 10 above: 102.4 kN and 5.12 kN·m (computed apart 102.37, 5.119).
	p, err = Press(Fit{Diameter: testkit.Q(t, "100 mm"), HubOutside: testkit.Q(t, "250 mm"), ShaftBore: testkit.Q(t, "50 mm"), Most: testkit.Q(t, "0.06476 mm"),
		Hub: Member{testkit.Q(t, "70000 N/mm²"), testkit.Q(t, "0.25")}, Shaft: Member{testkit.Q(t, "210000 N/mm²"), testkit.Q(t, "0.3")}, Length: testkit.Q(t, "100 mm"), HoldFriction: testkit.Q(t, "0.15")})
	require.NoError(t, err)
	near(t, "102370 N", p.PullOut, 20)
	near(t, "5119 N·m", p.Torque, 1)
	assert.True(t, p.PressForce.IsZeroValue(), "no friction for pressing was given")
	// Radial shares 0.0253 and 0.0071 mm (inputs seen, values computed apart).
	near(t, "0.0506 mm", p.Tight.BoreOpens, 0.0001)
	near(t, "0.0142 mm", p.Tight.ShaftCloses, 0.0001)
}

// The tonnage rule P = A·a·F/2 with pressure factors for a hub of twice the bore
// (one source). With E 30e6 psi and tons of 2000 lb it implies one friction for
// all sizes, between 0.039 and 0.044: the shape over ten inches is Lamé's.
func TestTonnageRuleImpliesOneFriction(t *testing.T) {
	steel := Member{testkit.Q(t, "30000000 lbf/in²"), testkit.Q(t, "0.292")}
	factors := []struct{ d, f string }{
		{"1 in", "500"}, {"1.25 in", "395"}, {"1.5 in", "325"}, {"1.75 in", "275"}, {"2 in", "240"}, {"2.25 in", "212"}, {"2.5 in", "189"},
		{"2.75 in", "170"}, {"3 in", "155"}, {"3.5 in", "131"}, {"4 in", "115"}, {"4.5 in", "100"}, {"5 in", "91"}, {"6 in", "75"}, {"7 in", "64"},
		{"8 in", "55"}, {"9 in", "48.8"}, {"10 in", "43.5"},
	}
	for i, c := range factors {
		d := testkit.Q(t, c.d)
		p, err := Press(Fit{Diameter: d, HubOutside: d.Scale(big.NewRat(2, 1)), Most: testkit.Q(t, "0.001 in"), Hub: steel, Shaft: steel, Length: testkit.Q(t, "1 in"), PressFriction: testkit.Q(t, "1")})
		require.NoError(t, err)
		lb, _ := quantity.LookupUnit("lbf")
		tonnage := math.Pi * d.FloatIn(quantity.Inch) * 0.001 * testkit.Q(t, c.f).Float() / 2
		implied := tonnage * 2000 / p.PressForce.FloatIn(lb)
		assert.InDelta(t, 0.0415, implied, 0.0032, c.d)
		switch i {
		case 0:
			assert.InDelta(t, 0.044, implied, 0.0005)
		case len(factors) - 1:
			assert.InDelta(t, 0.039, implied, 0.0005)
		}
	}
}

// A page of student answers uses plane strain for d 60, outside 100, 0.030 mm,
// E 210 GPa; plane stress gives 33.6 MPa.
func TestPlaneStressNotPlaneStrain(t *testing.T) {
	steel := Member{testkit.Q(t, "210000 N/mm²"), testkit.Q(t, "0.3")}
	p, err := Press(Fit{Diameter: testkit.Q(t, "60 mm"), HubOutside: testkit.Q(t, "100 mm"), Most: testkit.Q(t, "0.030 mm"), Hub: steel, Shaft: steel})
	require.NoError(t, err)
	near(t, "33.6 N/mm²", p.Tight.Pressure, 0)
	assert.Greater(t, math.Abs(p.Tight.Pressure.Float()-33.6/(1-0.09)), 1.0)
}

func TestInterference(t *testing.T) {
	for _, c := range []struct {
		source, standing string
		hole, shaft      string
		least, most      string
	}{
		// ISO 286 tables: m6 in H7 at 8 mm is 15 um interference to 9 um clearance.
		{"ISO 286-2, 8 H7/m6", apart, "8 mm H7", "8 mm m6", "-9 um", "15 um"},
		{"ISO 286-2, 4 H7/m6", apart, "4 mm H7", "4 mm m6", "-8 um", "12 um"},
		{"ISO 286-2, 50 H7/s6: hole +25/0, shaft +59/+43", printed, "50 mm H7", "50 mm s6", "18 um", "59 um"},
		{"limits", apart, "0.1245..0.1250 in", "0.1251..0.1253 in", "0.0001 in", "0.0008 in"},
	} {
		least, most, err := Interference(tol(t, c.hole), tol(t, c.shaft))
		require.NoError(t, err, c.source)
		assert.Zero(t, least.Rat().Cmp(testkit.Q(t, c.least).Rat()), "%s: least %s", c.source, least)
		assert.Zero(t, most.Rat().Cmp(testkit.Q(t, c.most).Rat()), "%s: most %s", c.source, most)
	}
	_, _, err := Interference(tol(t, "8 mm H7"), tol(t, "8 mm"))
	assert.ErrorContains(t, err, `shaft: "8 mm" lacks a limit; type both, such as`)
	_, _, err = Interference(tol(t, "3..4 deg"), tol(t, "8 mm m6"))
	assert.ErrorContains(t, err, "lower limit of the hole: 3 deg is an angle")
}

// A transition fit can be loose: the loose end holds nothing and says so.
func TestTransitionFitMayHoldNothing(t *testing.T) {
	least, most, err := Interference(tol(t, "8 mm H7"), tol(t, "8 mm m6"))
	require.NoError(t, err)
	steel := Member{testkit.Q(t, "207000 N/mm²"), testkit.Q(t, "0.29")}
	p, err := Press(Fit{Diameter: testkit.Q(t, "8 mm"), HubOutside: testkit.Q(t, "40 mm"), Least: least, Most: most, Hub: steel, Shaft: steel, Length: testkit.Q(t, "16 mm"), PressFriction: testkit.Q(t, "0.12")})
	require.NoError(t, err)
	assert.Zero(t, p.Loose.Pressure.Sign())
	assert.Zero(t, p.PullOut.Sign())
	assert.Zero(t, p.Torque.Sign())
	assert.Positive(t, p.PressForce.Sign())
	assert.Contains(t, p.Notes[len(p.Notes)-1], "0.009 mm clearance and nothing holds it")
}

func drawFit(t *rapid.T) Fit {
	length := func(name string, lo, hi int64) quantity.Quantity {
		return quantity.New(big.NewRat(rapid.Int64Range(lo, hi).Draw(t, name), 1000), quantity.Millimetre)
	}
	mpa, _ := quantity.LookupUnit("N/mm²")
	member := func(name string) Member {
		return Member{
			quantity.New(big.NewRat(1000*rapid.Int64Range(60, 650).Draw(t, name+" GPa"), 1), mpa),
			quantity.New(big.NewRat(rapid.Int64Range(20, 40).Draw(t, name+" nu"), 100), quantity.One),
		}
	}
	d := length("d", 4000, 50000)
	f := Fit{Diameter: d, Hub: member("hub"), Shaft: member("shaft"), Most: length("interference", 1, 100), Length: length("length", 1000, 90000)}
	f.HubOutside = d.Scale(big.NewRat(rapid.Int64Range(105, 900).Draw(t, "outside, %"), 100))
	if rapid.Bool().Draw(t, "hollow") {
		f.ShaftBore = d.Scale(big.NewRat(rapid.Int64Range(1, 95).Draw(t, "bore, %"), 100))
	}
	f.PressFriction = quantity.New(big.NewRat(rapid.Int64Range(5, 25).Draw(t, "friction, %"), 100), quantity.One)
	return f
}

func TestPressProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFit(t)
		p, err := Press(f)
		require.NoError(t, err)
		z := p.Tight
		equal := func(a, b quantity.Quantity, msg string) { assert.Zero(t, a.Rat().Cmp(b.Rat()), msg) }
		sum := func(a, b quantity.Quantity) quantity.Quantity {
			r, err := a.Add(b)
			require.NoError(t, err)
			return r
		}
		// Compatibility: the two give way by the interference, exactly.
		equal(sum(z.BoreOpens, z.ShaftCloses), f.Most, "the shares make the interference")
		// Lamé: the sum of hoop and radial stress is the same at both faces.
		equal(sum(z.HubHoop, z.Pressure.Neg()), z.HubRim, "hub")
		if !f.ShaftBore.IsZeroValue() {
			equal(sum(z.ShaftHoop, z.Pressure.Neg()), z.ShaftBore, "shaft")
		}
		// Equilibrium of half a hub: the hoop stress over its wall carries p·d.
		// σt(r) = a + b/r², integrated in closed form.
		d, o := f.Diameter.Float()/2, f.HubOutside.Float()/2
		b := (z.HubHoop.Float() - z.HubRim.Float()) / (1/(d*d) - 1/(o*o))
		a := z.HubRim.Float() - b/(o*o)
		carried := 2 * (a*(o-d) + b*(1/d-1/o))
		assert.InEpsilon(t, z.Pressure.Float()*2*d, carried, 1e-6)

		// Displacements by Lamé's solution, u(r) = [(1-ν)·a·r + (1+ν)·b/r]/E for
		// σt = a + b/r² (textbooks of the theory of elasticity), on the diameter.
		grows := func(m Member, a, b, r float64) float64 {
			nu := m.Nu.Float()
			return 2 * ((1-nu)*a*r + (1+nu)*b/r) / m.E.Float()
		}
		assert.InEpsilon(t, grows(f.Hub, a, b, d), z.BoreOpens.Float(), 1e-6)
		assert.InEpsilon(t, grows(f.Hub, a, b, o), z.RimGrows.Float(), 1e-6)
		if i := f.ShaftBore.Float() / 2; i > 0 {
			b := (z.ShaftBore.Float() - z.ShaftHoop.Float()) / (1/(i*i) - 1/(d*d))
			a := z.ShaftHoop.Float() - b/(d*d)
			assert.InEpsilon(t, -grows(f.Shaft, a, b, d), z.ShaftCloses.Float(), 1e-6)
			assert.InEpsilon(t, -grows(f.Shaft, a, b, i), z.InsideShuts.Float(), 1e-6)
		}

		// The unit of entry changes nothing.
		in := f
		lbf, _ := quantity.LookupUnit("lbf/in²")
		for _, v := range []*quantity.Quantity{&in.Diameter, &in.HubOutside, &in.ShaftBore, &in.Most, &in.Length} {
			if !v.IsZeroValue() {
				*v, err = v.As(quantity.Inch)
				require.NoError(t, err)
			}
		}
		for _, v := range []*quantity.Quantity{&in.Hub.E, &in.Shaft.E} {
			*v, err = v.As(lbf)
			require.NoError(t, err)
		}
		p2, err := Press(in)
		require.NoError(t, err)
		equal(p2.Tight.Pressure, z.Pressure, "pressure in inches")
		assert.InEpsilon(t, p.PressForce.Float(), p2.PressForce.Float(), 1e-12)
		assert.Equal(t, "lbf/in²", p2.Tight.Pressure.Unit().Name())

		// Monotone: more interference, a thicker hub, a stiffer shaft: more pressure.
		more := func(change func(*Fit)) {
			g := f
			change(&g)
			r, err := Press(g)
			require.NoError(t, err)
			assert.Positive(t, r.Tight.Pressure.Rat().Cmp(z.Pressure.Rat()))
			assert.Greater(t, r.PressForce.Float(), p.PressForce.Float())
		}
		more(func(g *Fit) { g.Most = g.Most.Scale(big.NewRat(11, 10)) })
		more(func(g *Fit) { g.HubOutside = g.HubOutside.Scale(big.NewRat(11, 10)) })
		more(func(g *Fit) { g.Shaft.E = g.Shaft.E.Scale(big.NewRat(11, 10)) })
		if !f.ShaftBore.IsZeroValue() {
			more(func(g *Fit) { g.ShaftBore = quantity.Quantity{} })
		}
	})
}

// The closed form for one material, (textbook eq. for equal moduli):
// p = E·δ/(2d³)·(D²-d²)(d²-b²)/(D²-b²).
func TestOneMaterialClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFit(t)
		f.Shaft = f.Hub
		p, err := Press(f)
		require.NoError(t, err)
		sq := func(v quantity.Quantity) *big.Rat { return new(big.Rat).Mul(v.Rat(), v.Rat()) }
		d, o, b := sq(f.Diameter), sq(f.HubOutside), sq(f.ShaftBore)
		want := new(big.Rat).Mul(f.Hub.E.Rat(), f.Most.Rat())
		want.Quo(want, new(big.Rat).Mul(big.NewRat(2, 1), new(big.Rat).Mul(d, f.Diameter.Rat())))
		want.Mul(want, new(big.Rat).Sub(o, d)).Mul(want, new(big.Rat).Sub(d, b)).Quo(want, new(big.Rat).Sub(o, b))
		assert.Zero(t, want.Cmp(p.Tight.Pressure.Rat()))
	})
}
