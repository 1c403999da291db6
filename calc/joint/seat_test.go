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

func TestBlindSeat(t *testing.T) {
	// 8 mm pin, hole 20 deep, 16 in; 5 kN behind it (computed apart): 5.07 bar
	// absolute, 20 N, 99.5 MPa.
	r, err := BlindSeat(Seat{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "20 mm"), Entered: testkit.Q(t, "16 mm"), Force: testkit.Q(t, "5000 N")})
	require.NoError(t, err)
	near(t, "0.507 N/mm²", r.Air, 0)
	near(t, "20 N", r.PushBack, 0)
	near(t, "99.5 N/mm²", r.Liquid, 0)
	assert.Equal(t, "4 mm", r.Room.String())
	assert.Zero(t, r.Spare.Sign(), "half of the diameter is just left")
	assert.Contains(t, fmt.Sprint(r.Notes), "a liquid behind the pin cannot be squeezed")

	r, err = BlindSeat(Seat{Diameter: testkit.Q(t, "0.1875 in"), Depth: testkit.Q(t, "0.500 in"), Entered: testkit.Q(t, "0.450 in")})
	require.NoError(t, err)
	assert.True(t, r.Liquid.IsZeroValue())
	assert.Contains(t, fmt.Sprint(r.Notes), "0.050 in behind the pin is less than half of its diameter")
	assert.Equal(t, "lbf/in²", r.Air.Unit().Name())
	near(t, "147.0 lbf/in²", r.Air, 0.05) // ten standard atmospheres of 14.696 psi
}

func TestBlindSeatProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(n int64) quantity.Quantity { return quantity.New(big.NewRat(n, 100), quantity.Millimetre) }
		depth := rapid.Int64Range(200, 5000).Draw(t, "depth")
		in := rapid.Int64Range(1, depth-2).Draw(t, "entered")
		a := Seat{Diameter: mm(rapid.Int64Range(100, 3000).Draw(t, "d")), Depth: mm(depth), Entered: mm(in), Force: testkit.Q(t, "1000 N")}
		r, err := BlindSeat(a)
		require.NoError(t, err)
		b := a
		for _, v := range []*quantity.Quantity{&b.Diameter, &b.Depth, &b.Entered} {
			*v, err = v.As(quantity.Inch)
			require.NoError(t, err)
		}
		s, err := BlindSeat(b)
		require.NoError(t, err)
		assert.Zero(t, r.Air.Rat().Cmp(s.Air.Rat()))
		assert.InEpsilon(t, r.Liquid.Float(), s.Liquid.Float(), 1e-12)
		a.Entered = mm(in + 1) // deeper in: more pressure
		r2, err := BlindSeat(a)
		require.NoError(t, err)
		assert.Positive(t, r2.Air.Rat().Cmp(r.Air.Rat()))
		assert.Greater(t, r2.PushBack.Float(), r.PushBack.Float())
	})
}

func TestHoldBond(t *testing.T) {
	base := Bond{Diameter: testkit.Q(t, "4 mm"), Length: testkit.Q(t, "10 mm"), Shear: testkit.Q(t, "15 N/mm²"), Kind: Instant}
	with := func(change func(*Bond)) Bond {
		b := base
		change(&b)
		return b
	}
	for _, c := range []struct {
		name, source, standing string
		b                      Bond
		room, warm             string
		note                   string
	}{
		// 15·π·4·10 = 1885 N; about half at 80 °C (a maker's page, common practice).
		{"room", "τ·π·d·L", apart, with(func(b *Bond) { b.Warmest = testkit.Q(t, "68 F") }), "1885 N", "1885 N", "before it has cured"},
		{"80 C", "half strength at 80 °C", useful, with(func(b *Bond) { b.Warmest = testkit.Q(t, "80 C") }), "1885 N", "942 N", "about half the strength"},
		{"40 C", "half is given for all of the warmth", useful, with(func(b *Bond) { b.Warmest = testkit.Q(t, "40 C") }), "1885 N", "942 N", "about half the strength"},
		{"120 C", "no figure", useful, with(func(b *Bond) { b.Warmest = testkit.Q(t, "120 C") }), "1885 N", "", "above that no figure is at hand"},
		{"wet", "no figure", useful, with(func(b *Bond) { b.Warmest, b.Wet = testkit.Q(t, "20 C"), true }), "1885 N", "", "poor in water and coolant"},
		{"not said", "no figure", useful, base, "1885 N", "", "the warmest temperature was not said"},
		{"retaining, warm", "maker's curve", useful, with(func(b *Bond) { b.Warmest, b.Kind = testkit.Q(t, "80 C"), Retaining }), "1885 N", "", "from its maker's curve"},
		{"retaining, wet, cool", "anaerobic compounds are the false alarm of the rule on wet adhesive", useful, with(func(b *Bond) { b.Warmest, b.Kind, b.Wet = testkit.Q(t, "20 C"), Retaining, true }), "1885 N", "1885 N", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := HoldBond(c.b)
			require.NoError(t, err)
			near(t, c.room, r.AtRoom, 0.5, c.source)
			if c.warm == "" {
				assert.True(t, r.AtWarmest.IsZeroValue(), "got %s", r.AtWarmest)
			} else {
				near(t, c.warm, r.AtWarmest, 0.5, c.source)
				assert.InEpsilon(t, 2*r.AtWarmest.Float(), r.Torque.Float(), 1e-12) // F·d/2 in N·mm
			}
			assert.Contains(t, fmt.Sprint(r.Notes), c.note)
		})
	}
}

func TestErrorsSayWhatToType(t *testing.T) {
	steel := Member{testkit.Q(t, "207000 N/mm²"), testkit.Q(t, "0.29")}
	good := Fit{Diameter: testkit.Q(t, "8 mm"), HubOutside: testkit.Q(t, "40 mm"), Most: testkit.Q(t, "0.01 mm"), Hub: steel, Shaft: steel}
	for _, c := range []struct {
		spoil func(*Fit)
		want  string
	}{
		{func(f *Fit) { f.Diameter = quantity.Quantity{} }, "diameter of the joint: no value; type a length above 0, such as 0.5 in or 12 mm"},
		{func(f *Fit) { f.Diameter = testkit.Q(t, "0 mm") }, "diameter of the joint: 0 mm is not above 0; type"},
		{func(f *Fit) { f.HubOutside = testkit.Q(t, "-40 mm") }, "outside of the hub: -40 mm is not above 0"},
		{func(f *Fit) { f.HubOutside = testkit.Q(t, "8 mm") }, "outside of the hub: 8 mm leaves no metal round the 8 mm joint; type the larger diameter"},
		{func(f *Fit) { f.ShaftBore = testkit.Q(t, "9 mm") }, "bore of the shaft: 9 mm is not inside the 8 mm shaft; type the smaller diameter"},
		{func(f *Fit) { f.Most = testkit.Q(t, "-0.01 mm") }, "most interference: -0.01 mm is not above 0; type a length above 0, such as 0.0005 in"},
		{func(f *Fit) { f.Most = testkit.Q(t, "8.01 mm") }, "type the difference of the diameters"},
		{func(f *Fit) { f.Least = testkit.Q(t, "0.02 mm") }, "least interference 0.02 mm is above the most, 0.01 mm"},
		{func(f *Fit) { f.Least = testkit.Q(t, "1 deg") }, "least interference: 1 deg is an angle; type a length"},
		{func(f *Fit) { f.Hub.E = testkit.Q(t, "207") }, "modulus of elasticity of the hub: 207 is a plain number; type a stress above 0, such as 207000 N/mm² (207 GPa)"},
		{func(f *Fit) { f.Shaft.Nu = testkit.Q(t, "0.5") }, "Poisson's ratio of the shaft: 0.5; type a number below 0.5, such as 0.29"},
		{func(f *Fit) { f.Shaft.Nu = testkit.Q(t, "0") }, "Poisson's ratio of the shaft: 0 is not above 0"},
		{func(f *Fit) { f.Length = testkit.Q(t, "68 F") }, "length of contact: 68 F is a temperature; type a length"},
		{func(f *Fit) { f.PressFriction = testkit.Q(t, "0") }, "friction while pressing: 0 is not above 0; type a plain number above 0, such as 0.12"},
	} {
		f := good
		c.spoil(&f)
		_, err := Press(f)
		require.Error(t, err, c.want)
		assert.Contains(t, err.Error(), c.want)
	}
	base := Assembly{Diameter: testkit.Q(t, "50 mm"), Interference: testkit.Q(t, "0.05 mm"), Hub: testkit.Q(t, "11.7 ppm/K")}
	for _, c := range []struct {
		spoil func(*Assembly)
		want  string
	}{
		{func(a *Assembly) { a.Hub = quantity.Quantity{} }, "expansion of the hub: no value; type a coefficient of expansion above 0, such as 11.7 ppm/K"},
		{func(a *Assembly) { a.Hub = testkit.Q(t, "11.7 1/K") }, "is beyond any material; type it in millionths"},
		{func(a *Assembly) { a.Cold = testkit.Q(t, "-70 C") }, "needs both expansions"},
		{func(a *Assembly) { a.Cold, a.Shaft = testkit.Q(t, "70 C"), testkit.Q(t, "12 ppm/K") }, "is above the room's 20 C; type a lower temperature, such as -70 C"},
		{func(a *Assembly) { a.Room = testkit.Q(t, "20 dC") }, "temperature of the room: 20 dC is a temperature difference; type a temperature"},
		{func(a *Assembly) { a.Interference = testkit.Q(t, "0 mm") }, "interference: 0 mm is not above 0"},
		{func(a *Assembly) { a.Interference = testkit.Q(t, "50.05 mm") }, "type the difference of the diameters"},
		{func(a *Assembly) { a.Clearance = testkit.Q(t, "-0.01 mm") }, "clearance while assembling: -0.01 mm is not above 0"},
	} {
		a := base
		c.spoil(&a)
		_, err := Assemble(a)
		require.Error(t, err, c.want)
		assert.Contains(t, err.Error(), c.want)
	}
	_, err := BlindSeat(Seat{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "16 mm"), Entered: testkit.Q(t, "16 mm")})
	assert.ErrorContains(t, err, "type a shorter pin or a deeper hole")
	_, err = BlindSeat(Seat{Diameter: testkit.Q(t, "8 mm"), Depth: testkit.Q(t, "16 mm"), Entered: testkit.Q(t, "10 mm"), Force: testkit.Q(t, "5 mm")})
	assert.ErrorContains(t, err, "pressing force: 5 mm is a length; type a force above 0, such as 5000 N or 1000 lbf")
	_, err = HoldBond(Bond{Diameter: testkit.Q(t, "8 mm"), Length: testkit.Q(t, "16 mm"), Shear: testkit.Q(t, "15 N/mm²"), Kind: "glue"})
	assert.ErrorContains(t, err, `adhesive "glue"; type instant (cyanoacrylate) or retaining (anaerobic)`)
	_, err = HoldBond(Bond{Diameter: testkit.Q(t, "8 mm"), Length: testkit.Q(t, "16 mm"), Shear: testkit.Q(t, "15"), Kind: Instant})
	assert.ErrorContains(t, err, "shear strength: 15 is a plain number; type a stress above 0")
	_, err = ShrinkageFactor(testkit.Q(t, "2 in"), testkit.Q(t, "2 in"), quantity.Quantity{}, testkit.Q(t, "1/3"), testkit.Q(t, "1/3"))
	assert.ErrorContains(t, err, "leaves no metal")
	_, err = ShrinkageFactor(testkit.Q(t, "2 in"), testkit.Q(t, "3 in"), testkit.Q(t, "2 in"), testkit.Q(t, "1/3"), testkit.Q(t, "1/3"))
	assert.ErrorContains(t, err, "type the smaller diameter")
	_, err = Allowance(testkit.Q(t, "2 in"), testkit.Q(t, "0 N/mm²"), testkit.Q(t, "0.333"), testkit.Q(t, "207000 N/mm²"))
	assert.ErrorContains(t, err, "stress in the hub: 0 N/mm² is not above 0")
}

// Whatever the input, no result calls anything safe, and every list of cautions
// ends with who decides.
func TestCautions(t *testing.T) {
	for _, list := range [][]Caution{pressing(), heating(), adhesive()} {
		require.NotEmpty(t, list)
		assert.Contains(t, list[len(list)-1].Text, "local codes and licensed practice decide")
		for _, c := range list {
			assert.NotEmpty(t, c.Source, c.Topic)
			assert.NotContains(t, c.Text, "is safe")
		}
	}
}
