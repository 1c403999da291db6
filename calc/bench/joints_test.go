package bench

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Press-fit results printed in textbooks. TXT: mechanical engineering design
// textbook and its solutions manual (8th ed.), problems by number; NOR: machine
// design textbook 4th ed., Example 10-5. Radial interferences of the manual are
// doubled.
func TestPressPublished(t *testing.T) {
	const psi30, gpa207 = "30000000 lbf/in², 0.292", "207000 N/mm², 0.292"
	for _, c := range []struct {
		q         Press
		key, want string
		tolerance float64
		source    string
	}{
		{Press{Diameter: "50mm", Interference: "0.02mm", Outside: "75mm", PinBore: "25mm", HubMaterial: gpa207, PinMaterial: gpa207}, "max_pressure", "19.41 N/mm²", 0.005, "TXT 5-35"},
		{Press{Diameter: "50mm", Interference: "0.02mm", Outside: "75mm", PinBore: "25mm", HubMaterial: gpa207, PinMaterial: gpa207}, "max_hub_equivalent_stress", "62.48 N/mm²", 0.02, "TXT 5-35, printed from the rounded 50.47 and 19.41"},
		{Press{Diameter: "50mm", Interference: "0.02mm", Outside: "75mm", PinBore: "25mm", HubMaterial: gpa207, PinMaterial: gpa207}, "max_pin_hoop_stress", "-32.35 N/mm²", 0.01, "TXT 5-35"},
		{Press{Diameter: "2in", Interference: "0.001in", Outside: "3in", HubMaterial: psi30, PinMaterial: psi30}, "max_pressure", "4167 lbf/in²", 0.5, "TXT 5-34b"},
		{Press{Diameter: "2in", Interference: "0.001in", Outside: "3in", HubMaterial: psi30, PinMaterial: psi30}, "max_hub_hoop_stress", "10830 lbf/in²", 5, "TXT 5-34b, printed to four digits"},
		{Press{Hole: "1.000in", Pin: "1.002in", Outside: "2in", HubMaterial: psi30, PinMaterial: psi30}, "max_pressure", "22500 lbf/in²", 0.5, "TXT 3-68"},
		{Press{Diameter: "40mm", Interference: "0.018..0.059mm", Outside: "80mm", HubMaterial: gpa207, PinMaterial: gpa207}, "max_pressure", "114.5 N/mm²", 0.05, "TXT 3-64"},
		{Press{Diameter: "40mm", Interference: "0.018..0.059mm", Outside: "80mm", HubMaterial: gpa207, PinMaterial: gpa207}, "min_pressure", "34.9 N/mm²", 0.05, "TXT 3-64"},
		{Press{Diameter: "40mm", Interference: "0.035..0.076mm", Outside: "80mm", HubMaterial: gpa207, PinMaterial: gpa207}, "max_pressure", "147.5 N/mm²", 0.05, "TXT 3-66"},
		{Press{Diameter: "1.5in", Interference: "0.0007..0.0023in", Outside: "3in", HubMaterial: psi30, PinMaterial: psi30}, "min_pressure", "5250 lbf/in²", 0.5, "TXT 3-65"},
		{Press{Diameter: "1.5in", Interference: "0.0014..0.0030in", Outside: "3in", HubMaterial: psi30, PinMaterial: psi30}, "max_pressure", "22500 lbf/in²", 0.5, "TXT 3-67"},
		{Press{Diameter: "1.5in", Interference: "0.0007..0.0023in", Outside: "2.5in", HubMaterial: psi30, PinMaterial: psi30}, "max_pin_equivalent_stress", "14720 lbf/in²", 1, "TXT 7-24"},
		{Press{Diameter: "0.781in", Interference: "0.0015in", Outside: "3.00in", HubMaterial: "14000000 lbf/in², 0.28", PinMaterial: "30000000 lbf/in², 0.28"}, "max_pressure", "15265 lbf/in²", 1, "NOR Ex 10-5"},
	} {
		for _, units := range []string{"", "mm", "in"} { // which changes nothing
			asked(t, c.q, units).within(t, c.want, c.tolerance, c.key, c.source)
		}
	}
}

// Own case computed apart: 8 mm in 40, 8 um, 16 long, friction 0.12, E 210 GPa and
// one Poisson's ratio: p 100.8, F 4864 N.
func TestPressForces(t *testing.T) {
	steel := "210000 N/mm², 0.3"
	q := Press{Diameter: "8mm", Interference: "0.004..0.008mm", Outside: "40mm", HubMaterial: steel, PinMaterial: steel, Length: "16mm", Friction: "0.12"}
	r := asked(t, q, "")
	r.within(t, "100.8 N/mm²", 1e-6, "max_pressure", "E·delta/(2d)·(1-(d/D)²)")
	r.within(t, "4864 N", 0.5, "max_press_force", "mu·p·pi·d·l")
	r.within(t, "2432 N", 0.5, "min_pull_out_force", "half the interference")
	assert.Equal(t, "4860 N", r.text(t, "max_press_force"), "friction deserves no more digits")
	r = asked(t, q, "in")
	r.within(t, "4864 N", 0.5, "max_press_force", "in lbf")
	assert.Equal(t, "1090 lbf", r.text(t, "max_press_force"))
	// A range of friction: the high end presses in, the low end holds.
	q.Friction = "0.10..0.15"
	r = asked(t, q, "")
	r.within(t, "6080 N", 0.5, "max_press_force", "4864·0.15/0.12")
	r.within(t, "2027 N", 0.5, "min_pull_out_force", "2432·0.10/0.12")
	// Without friction no force, and every source of friction is named.
	q.Friction, q.Length = "", ""
	r = asked(t, q, "")
	assert.Nil(t, r["max_press_force"])
	assert.Contains(t, strings.Join(texts(t, r, "source"), "\n"), "DIN 7190-1")
}

// Sources that differ on a material widen the answer, and all are named.
func TestMaterialsThatDiffer(t *testing.T) {
	q := Press{Diameter: "10mm", Interference: "0.010mm", Outside: "20mm", HubMaterial: "6061", PinMaterial: "304"}
	r := asked(t, q, "")
	low, _ := r.quantity(t, "min_pressure")
	high, _ := r.quantity(t, "max_pressure")
	assert.Negative(t, low.Cmp(high), "0.33 or 0.35, 0.27 or 0.305: one interference, two pressures")
	all := strings.Join(append(texts(t, r, "source"), texts(t, r, "cautions")...), "\n")
	for _, s := range []string{"0.33", "0.35", "0.27", "0.305", "sources differ on the Poisson's ratio of the hub (6061)"} {
		assert.Contains(t, all, s)
	}
	// Any choice within the ranges lies between the two.
	for _, c := range [][2]string{{"69000 N/mm², 0.33", "193000 N/mm², 0.27"}, {"68900 N/mm², 0.35", "193000 N/mm², 0.305"}, {"68950 N/mm², 0.34", "193000 N/mm², 0.29"}} {
		q.HubMaterial, q.PinMaterial = c[0], c[1]
		p, _ := asked(t, q, "").quantity(t, "max_pressure")
		assert.LessOrEqual(t, low.Cmp(p), 0)
		assert.LessOrEqual(t, p.Cmp(high), 0)
	}
}

// 50 H7/s6: 59 um at most, 25 um of room, 11.7 ppm/K: 143.6 K, 163.6 C from 20 C;
// 100.9 K without room (own arithmetic of delta/(alpha·d), engineeringtoolbox
// d_951; the fit is printed in T1 and T3).
func TestShrink(t *testing.T) {
	q := Shrink{Fit: "50 mm H7/s6", Clearance: "0.025mm", HubMaterial: "11.7ppm/K"}
	r := asked(t, q, "")
	r.exactly(t, "0.059 mm", "max_interference", "50 H7/s6")
	r.within(t, "143.6 K", 0.05, "hub_rise", "own")
	r.within(t, "436.74 K", 0.05, "hub_at", "163.6 C")
	assert.Equal(t, "164 C", r.text(t, "hub_at"))
	q.Clearance = ""
	asked(t, q, "").within(t, "100.9 K", 0.05, "hub_rise", "own")
	// In degrees Fahrenheit, with the fit in inches.
	r = asked(t, Shrink{Diameter: "1in", Interference: "0.0010in", HubMaterial: "6.5ppm/F", Room: "68F"}, "")
	r.within(t, "153.85 dF", 0.01, "hub_rise", "0.001/6.5e-6")
	assert.Equal(t, "222 F", r.text(t, "hub_at"))
	// The least expansion needs the most heat: 17 and not 17.2 ppm/K.
	r = asked(t, Shrink{Diameter: "50mm", Interference: "0.05mm", HubMaterial: "304"}, "")
	r.within(t, "58.82 K", 0.01, "hub_rise", "0.001/17e-6")
}

// 8 mm pin, hole 20, 16 in: 5.07 bar, 20 N of push; 5 kN on it makes 99.5 MPa of a
// liquid (own arithmetic).
func TestSeat(t *testing.T) {
	r := asked(t, Seat{Pin: "8mm", Depth: "20mm", Entered: "16mm", Force: "5000N"}, "")
	r.within(t, "0.507 N/mm²", 0.001, "air_pressure", "Boyle")
	r.within(t, "20.4 N", 0.1, "air_push_back", "Boyle")
	r.within(t, "99.5 N/mm²", 0.05, "liquid_pressure", "F/A")
	r.exactly(t, "4 mm", "room_behind_pin", "difference")
	assert.Equal(t, "20 N", r.text(t, "air_push_back"))
	assert.Nil(t, asked(t, Seat{Pin: "8mm", Depth: "20mm", Entered: "16mm"}, "")["liquid_pressure"])
}

// tau·pi·d·L by hand: 15·pi·8·12 = 4523.9 N. Half at 80 C for plain instant
// adhesive (a maker's page; common practice); no figure above or in the wet.
func TestBond(t *testing.T) {
	q := Bond{Pin: "8mm", Length: "12mm", Shear: "15 N/mm²", Kind: "instant", Warmest: "60C"}
	r := asked(t, q, "")
	r.within(t, "4523.9 N", 0.1, "force_at_room_temperature", "by hand")
	r.within(t, "2261.9 N", 0.1, "force_at_warmest", "half")
	q.Warmest = "100C"
	assert.Nil(t, asked(t, q, "")["force_at_warmest"])
	q.Warmest, q.Wet = "60C", true
	assert.Nil(t, asked(t, q, "")["force_at_warmest"])
}

// Volumes, wire and heat: own values computed apart; heat inputs as printed.
func TestWeldPublished(t *testing.T) {
	r := asked(t, Weld{Diameter: "8mm", Depth: "20mm", Point: "118deg", Count: 1, Wire: "0.9mm", Efficiency: "0.95", Feed: "6m/min", Process: "MAG", Volts: "20", Amps: "120"}, "")
	r.within(t, "1045.5797 mm³", 0.001, "volume", "computed apart")
	r.within(t, "1.730050 m", 1e-5, "wire_length", "computed apart")
	assert.Equal(t, "8.21 g", r.text(t, "deposited"), "8.2078 computed apart")
	assert.Equal(t, "8.64 g", r.text(t, "wire_used"), "8.6398 computed apart")
	assert.Equal(t, "33.2 kJ", r.text(t, "total_heat"), "k·U·I·t computed apart")
	for _, c := range []struct {
		q         Weld
		key, want string
		source    string
	}{
		{Weld{Process: "TIG", Volts: "20", Amps: "300", Speed: "2.5mm/s"}, "arc_energy", "2.40 kJ/mm", "2400 J/mm, printed (maker's page)"},
		{Weld{Process: "SMAW", Volts: "29", Amps: "325", Speed: "12.5in/min"}, "arc_energy", "45.2 kJ/in", "45.24 kJ/in, printed"},
		{Weld{Process: "MAG", Volts: "24", Amps: "180", Speed: "300mm/min"}, "heat_input", "0.691 kJ/mm", "printed"},
	} {
		assert.Equal(t, c.want, asked(t, c.q, "").text(t, c.key), c.source)
	}
	// The same hole in inches and the answer in inches.
	in := asked(t, Weld{Diameter: "0.3125in", Depth: "0.75in", Count: 2, Wire: "0.035in", Efficiency: "95%", Feed: "240in/min"}, "")
	mm := asked(t, Weld{Diameter: "7.9375mm", Depth: "19.05mm", Count: 2, Wire: "0.889mm", Efficiency: "0.95", Feed: "6.096m/min"}, "in")
	a, _ := in.quantity(t, "volume")
	b, _ := mm.quantity(t, "volume")
	assert.InDelta(t, toFloat(a), toFloat(b), 1e-6)
	assert.Equal(t, in.text(t, "deposited"), mm.text(t, "deposited"))
	assert.Equal(t, in.text(t, "arc_time"), mm.text(t, "arc_time"))
}

// Hazardous work carries its cautions every time, and who decides.
func TestCautionsAlways(t *testing.T) {
	for name, c := range map[string]struct {
		q    Question
		says []string
	}{
		"weld, volume only": {Weld{Diameter: "8mm", Depth: "20mm", Count: 1}, []string{"eyes and skin", "fume", "fire watch", "work lead", "chlorinated solvent"}},
		"weld, heat only":   {Weld{Process: "MAG", Volts: "24", Amps: "180", Speed: "300mm/min"}, []string{"eyes and skin", "fume", "fire watch", "work lead", "chlorinated solvent", "shade"}},
		"press":             {Press{Diameter: "8mm", Interference: "0.008mm", Outside: "40mm", HubMaterial: "steel", PinMaterial: "steel"}, []string{"impact eyes", "hand clear"}},
		"shrink":            {Shrink{Diameter: "8mm", Interference: "0.008mm", HubMaterial: "steel"}, []string{"burns", "fire"}},
		"seat":              {Seat{Pin: "8mm", Depth: "20mm", Entered: "16mm"}, []string{"impact eyes"}},
		"bond":              {Bond{Pin: "8mm", Length: "12mm", Shear: "15 N/mm²", Kind: "instant"}, []string{"eyes and skin", "fume"}},
		"bore, path":        {Bore{Hole: "16mm", Cutter: "10mm"}, []string{"spindle stopped"}},
		"bore, next pass":   {Bore{Limits: "0.1875 +0.0005/-0 in", Entered: []string{"0.187 in X plus"}}, []string{"spindle stopped"}},
		"dowel":             {Dowel{Nominal: []string{"1/4 in"}}, []string{"press hardened pins"}},
	} {
		t.Run(name, func(t *testing.T) {
			all := strings.ToLower(strings.Join(texts(t, asked(t, c.q, ""), "cautions"), "\n"))
			for _, s := range append(c.says, "local codes and licensed practice decide") {
				assert.Contains(t, all, s)
			}
		})
	}
}

// Inches or millimetres, the same joint.
func TestPressUnitOfEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thou := func(name string, lo, hi int64) int64 { return rapid.Int64Range(lo, hi).Draw(t, name) }
		d := thou("diameter", 100, 2000)
		v := map[string]*big.Rat{"d": big.NewRat(d, 1000), "o": big.NewRat(2*d, 1000), "i": big.NewRat(thou("interference", 1, 20), 10000), "l": big.NewRat(thou("length", 50, 3000), 1000)}
		ask := func(mm bool) *PressAnswer {
			text := func(k string) string {
				if mm {
					return new(big.Rat).Mul(v[k], big.NewRat(254, 10)).FloatString(5) + "mm"
				}
				return v[k].FloatString(4) + "in"
			}
			a, err := Press{Diameter: text("d"), Interference: text("i"), Outside: text("o"), Length: text("l"), HubMaterial: "6061", PinMaterial: "4140", Friction: "0.10..0.15"}.Ask(Options{})
			require.NoError(t, err)
			return a.(*PressAnswer)
		}
		a, b := ask(false), ask(true)
		require.InEpsilon(t, a.MaxPressure.Float(), b.MaxPressure.Float(), 1e-12)
		require.InEpsilon(t, a.PressForce.Float(), b.PressForce.Float(), 1e-12)
		require.InEpsilon(t, a.PullOut.Float(), b.PullOut.Float(), 1e-12)
		require.Equal(t, "lbf", a.PressForce.Unit().Name())
		require.Equal(t, "N", b.PressForce.Unit().Name())
	})
}

func TestJointErrors(t *testing.T) {
	press := Press{Diameter: "8mm", Interference: "0.008mm", Outside: "40mm", HubMaterial: "steel", PinMaterial: "steel"}
	with := func(change func(*Press)) Press {
		q := press
		change(&q)
		return q
	}
	for _, c := range []struct {
		q    Question
		says []string
	}{
		{Press{}, []string{"fit: no value", "50 mm H7/s6"}},
		{with(func(q *Press) { q.Interference = "" }), []string{"interference: no value"}},
		{with(func(q *Press) { q.Interference = "-0.008mm" }), []string{"is a clearance and nothing is pressed"}},
		{with(func(q *Press) { q.Interference = "0.008" }), []string{"interference: ", "unit is missing"}},
		{with(func(q *Press) { q.Interference = "8mm" }), []string{"beyond anything elastic"}},
		{with(func(q *Press) { q.Interference = "<= 8um" }), []string{"only one end"}},
		{with(func(q *Press) { q.Fit = "8 mm H7/s6" }), []string{"in two ways"}},
		{with(func(q *Press) { q.Outside = "" }), []string{"outside: no value"}},
		{with(func(q *Press) { q.Outside = "6mm" }), []string{"leaves no metal"}},
		{with(func(q *Press) { q.PinBore = "9mm" }), []string{"not inside"}},
		{with(func(q *Press) { q.HubMaterial = "" }), []string{"hub-material: no value", "steel, 6061"}},
		{with(func(q *Press) { q.HubMaterial = "unobtainium" }), []string{`hub-material: no values for material "unobtainium"`, "6061"}},
		{with(func(q *Press) { q.HubMaterial = "207000 N/mm²" }), []string{"lacks Poisson's ratio"}},
		{with(func(q *Press) { q.HubMaterial = "207 mm, 0.3" }), []string{"hub-material: 207 mm is a length; type a stress"}},
		{with(func(q *Press) { q.HubMaterial = "207000 N/mm², 0.7" }), []string{"below 0.5"}},
		{with(func(q *Press) { q.Friction = "0.12" }), []string{"length: no value"}},
		{with(func(q *Press) { q.Friction, q.Length = "0", "16mm" }), []string{"friction: 0 is not above 0"}},
		{with(func(q *Press) { q.Friction, q.Length = "12", "16mm" }), []string{"friction: 12 is beyond any joint"}},
		{with(func(q *Press) { q.Friction, q.Length = "rough", "16mm" }), []string{"friction: "}},
		{Press{Fit: "25 mm H7/g6", Outside: "40mm", HubMaterial: "steel", PinMaterial: "steel"}, []string{"is a clearance and nothing is pressed"}},
		{Press{Hole: "8mm", Outside: "40mm", HubMaterial: "steel", PinMaterial: "steel"}, []string{"pin: no value"}},
		{Shrink{}, []string{"fit: no value"}},
		{Shrink{Diameter: "8mm", Interference: "8um"}, []string{"hub-material: no value"}},
		{Shrink{Diameter: "8mm", Interference: "8um", HubMaterial: "0ppm/K"}, []string{"hub-material: 0 ppm/K is not above 0"}},
		{Shrink{Diameter: "8mm", Interference: "8um", HubMaterial: "steel", Room: "20K"}, []string{"room: 20 K is a temperature difference; type a temperature"}},
		{Shrink{Diameter: "8mm", Interference: "8um", HubMaterial: "steel", Cold: "-70C"}, []string{"needs both expansions"}},
		{Seat{}, []string{"pin: no value"}},
		{Seat{Pin: "8mm", Depth: "20mm", Entered: "20mm"}, []string{"reaches the bottom"}},
		{Seat{Pin: "8mm", Depth: "20mm", Entered: "16mm", Force: "5000mm"}, []string{"force: 5000 mm is a length"}},
		{Bond{}, []string{"pin: no value"}},
		{Bond{Pin: "8mm", Length: "12mm", Shear: "15 N"}, []string{"shear: 15 N is a force; type a stress"}},
		{Bond{Pin: "8mm", Length: "12mm", Shear: "15 N/mm²"}, []string{`kind: ""`, "instant", "retaining"}},
		{Weld{}, []string{"diameter: no value"}},
		{Weld{Diameter: "8mm", Count: 1}, []string{"depth: no value"}},
		{Weld{Diameter: "8mm", Depth: "20mm"}, []string{"count: 0"}},
		{Weld{Wire: "0.9mm"}, []string{"wire is reckoned for a hole"}},
		{Weld{Diameter: "8mm", Depth: "20mm", Count: 1, Wire: "0.9mm"}, []string{"efficiency: no value", "0.95"}},
		{Weld{Diameter: "8mm", Depth: "20mm", Count: 1, Wire: "0.9mm", Efficiency: "95"}, []string{"more than all of it"}},
		{Weld{Process: "MAG"}, []string{"volts: no value"}},
		{Weld{Process: "MAG", Volts: "20", Amps: "120"}, []string{"time: no value"}},
		{Weld{Process: "glue", Volts: "20", Amps: "120", Time: "3s"}, []string{`process "glue"`, "MAG"}},
		{Weld{Volts: "20", Amps: "120", Time: "3s"}, []string{"process: no value"}},
		{Weld{Diameter: "8mm", Depth: "20mm", Count: 1, Wire: "0.9mm", Efficiency: "0.95", Density: "7.85 mm"}, []string{"density"}},
	} {
		refuses(t, c.q, "", c.says...)
	}
}
