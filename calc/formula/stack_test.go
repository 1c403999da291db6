package formula

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
)

// The sources of all stacks are in testdata/stacks/README.md.
const stacks = "../../testdata/stacks/"

func table(t *testing.T, name string) []map[string]string {
	f, err := os.Open(stacks + name)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, h := range all[0] {
			m[h] = row[i]
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

type stackResult struct {
	Gap, WC, RSS float64
	WCLim        []float64 `json:"wc_lim"`
	RSSLim       []float64 `json:"rss_lim"`
	Percent      []float64 `json:"contrib_rss_pct"`
}

func computed(t *testing.T, into any) {
	b, err := os.ReadFile(stacks + "computed.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, into))
}

// checkStack compares a result in inches or millimetres with the computation
// in R, whose last digits are those of a float64.
func checkStack(t *testing.T, r *Result, want stackResult) {
	const eps = 1e-12
	u := r.Value.Unit()
	assert.InDelta(t, want.Gap, r.Centre.FloatIn(u), eps, "gap")
	assert.InDelta(t, want.RSS, r.RSS.FloatIn(u), eps, "root sum square")
	assert.InDelta(t, want.Gap-want.WC, r.WorstLower.FloatIn(u), eps, "worst lower")
	assert.InDelta(t, want.Gap+want.WC, r.WorstUpper.FloatIn(u), eps, "worst upper")
	if want.WCLim != nil {
		assert.InDelta(t, want.WCLim[0], r.WorstLower.FloatIn(u), eps)
		assert.InDelta(t, want.WCLim[1], r.WorstUpper.FloatIn(u), eps)
		assert.InDelta(t, want.RSSLim[0], r.Centre.FloatIn(u)-r.RSS.FloatIn(u), eps)
		assert.InDelta(t, want.RSSLim[1], r.Centre.FloatIn(u)+r.RSS.FloatIn(u), eps)
	}
	require.True(t, want.Percent == nil || len(want.Percent) == len(r.Contributors))
	for i, p := range want.Percent {
		assert.InDelta(t, p, 100*r.Contributors[i].RSSShare, 1e-9, "share of %s", r.Contributors[i].Name)
	}
	assert.True(t, r.Linear && r.Exact)
	assert.Equal(t, Linear, r.Method)
	assert.Nil(t, r.NoSlope)
}

// Drake, Dimensioning and Tolerancing Handbook, ch. 9, from the dimensions as
// drawn: unequal deviations are no equal-bilateral band about the nominal.
func TestMotorStackAsDrawn(t *testing.T) {
	var all struct{ Motor11 stackResult }
	computed(t, &all)
	var terms []string
	var in []Input
	for _, row := range table(t, "stack_motor11.csv") {
		drawn, isLength := strings.CutSuffix(row["drawn"], " (length)")
		drawn = strings.Replace(drawn, "+-", "±", 1)
		sign := "+"
		if isLength { // the length is drawn; it counts against the gap
			sign, drawn = "-", strings.TrimPrefix(drawn, "-")
		}
		name := "x" + row["id"] // C and F alone, and dC and dF, are units
		terms = append(terms, sign+name)
		in = append(in, given(t, name, drawn+" in"))
	}
	r := eval(t, strings.Join(terms, " "), in...)
	checkStack(t, r, all.Motor11)
	assert.Equal(t, "-0.0340 in", r.WorstLower.Format(quantity.Inch, 4), "printed: -0.034")
	assert.Equal(t, "0.1570 in", r.WorstUpper.Format(quantity.Inch, 4), "printed: 0.157")
	assert.Equal(t, "0.0615 in", r.Centre.Format(quantity.Inch, 4), "printed: 0.0615")
	assert.Equal(t, "0.0381 in", r.RSS.Format(quantity.Inch, 4), "printed: 0.0381")
	lower, err := r.WorstLower.In(quantity.Inch)
	require.NoError(t, err)
	assert.Zero(t, lower.Cmp(big.NewRat(-34, 1000)), "exactly")
}

func TestStackOfMeans(t *testing.T) {
	var all struct{ Motor11, Shaft7, Stack2D stackResult }
	computed(t, &all)
	for _, c := range []struct {
		file, mean, sensitivity string
		want                    stackResult
		printed                 map[string]float64 // value, and how far it may be
		off                     float64
	}{
		{"stack_motor11.csv", "mean", "", all.Motor11, map[string]float64{"gap": 0.0615, "worst": 0.0955, "rss": 0.0381}, 0.00005},
		{"stack_shaft7.csv", "nom", "sign", all.Shaft7, map[string]float64{"worst": 0.0245, "rss": 0.01108}, 0.000005},
		{"stack_2d_11.csv", "nom", "a", all.Stack2D, map[string]float64{"gap": 0.0719, "worst": 0.0967}, 0.001},
	} {
		var terms []string
		var in []Input
		for _, row := range table(t, c.file) {
			s := "1"
			if c.sensitivity != "" {
				s = row[c.sensitivity]
			}
			terms = append(terms, s+"*x"+row["id"])
			in = append(in, given(t, "x"+row["id"], row[c.mean]+" ±"+row["tol"]+" in"))
		}
		r := eval(t, strings.Join(terms, " + "), in...)
		checkStack(t, r, c.want)
		half := (r.WorstUpper.FloatIn(quantity.Inch) - r.WorstLower.FloatIn(quantity.Inch)) / 2
		for what, v := range map[string]float64{"gap": r.Value.FloatIn(quantity.Inch), "worst": half, "rss": r.RSS.FloatIn(quantity.Inch)} {
			if p, ok := c.printed[what]; ok {
				assert.InDelta(t, p, v, c.off, "%s: printed %s", c.file, what)
			}
		}
	}
}

func TestPocketAndTenEqual(t *testing.T) {
	var all struct {
		Pocket4  stackResult
		TenEqual stackResult `json:"ten_equal"`
	}
	computed(t, &all)
	r := eval(t, "w - a - b - c", inputs(t, "w", "20.200 ±0.05 mm", "a", "6.000 ±0.10 mm", "b", "9.000 ±0.12 mm", "c", "5.000 ±0.08 mm")...)
	checkStack(t, r, all.Pocket4)
	assert.Equal(t, "0.200 mm", r.Value.String())
	assert.Equal(t, "-0.15 mm", r.WorstLower.String())

	var terms []string
	var in []Input
	for i := range 10 {
		name := fmt.Sprintf("d%d", i)
		terms, in = append(terms, name), append(in, given(t, name, "0 ±0.1 mm"))
	}
	all.TenEqual.WC = 1 // sum of ten times 0.1
	checkStack(t, eval(t, strings.Join(terms, "+"), in...), all.TenEqual)
}

// Locating error in a 90 degree V-block, mm. The seated diameter stands twice
// in the bottom-line case and counts once.
func TestVBlock(t *testing.T) {
	var all struct {
		VBlock struct {
			Stepped struct{ B, Y, Total float64 }
			Center  float64 `json:"k_center"`
			Top     float64 `json:"k_top"`
			Bottom  float64 `json:"k_bottom"`
			Td      float64 `json:"bottom_Td0.1"`
		}
	}
	computed(t, &all)
	v := all.VBlock
	width := func(r *Result) float64 { return r.WorstUpper.Float() - r.WorstLower.Float() }

	r := eval(t, "d/(2*sin(45*deg))", given(t, "d", "40 -0.025/-0.087 mm"))
	assert.InDelta(t, v.Stepped.Y, width(r), 1e-12)
	assert.InDelta(t, 0.0438, width(r), 0.00005, "printed 0.0438")
	assert.True(t, r.Linear)
	assert.False(t, r.Exact)
	r = eval(t, "d/(2*sin(45*deg)) + (D/2 - Dmid/2) + runout", append(inputs(t, "d", "40 -0.025/-0.087 mm", "D", "80 -0.030/-0.104 mm", "Dmid", "80 mm"), given(t, "runout", "0 ±0.01 mm"))...)
	assert.InDelta(t, v.Stepped.Total, width(r), 1e-12, "printed 0.057 + 0.0438 = 0.1008")

	for formula, k := range map[string]float64{
		"d/(2*sin(45*deg))":       v.Center,
		"d/(2*sin(45*deg)) + d/2": v.Top,
		"d/(2*sin(45*deg)) - d/2": v.Bottom,
	} {
		r := eval(t, formula, given(t, "d", "30 ±0.05 mm"))
		assert.InDelta(t, 0.1*k, width(r), 1e-12, formula)
		assert.True(t, r.Linear, formula)
	}
	assert.InDelta(t, 0.0207, v.Td, 0.00005, "printed 0.0207")
	// Two names for one diameter: with a common source it counts once, without
	// one the two move apart.
	two := inputs(t, "d", "30 ±0.05 mm", "e", "30 ±0.05 mm")
	apart := eval(t, "d/(2*sin(45*deg)) - e/2", two...)
	assert.InDelta(t, 0.1*(v.Center+0.5), width(apart), 1e-12)
	two[0].Source, two[1].Source = "shaft/seat", "shaft/seat"
	once := eval(t, "d/(2*sin(45*deg)) - e/2", two...)
	assert.InDelta(t, v.Td, width(once), 1e-12)
	require.Len(t, once.Contributors, 1)
	assert.Equal(t, "d", once.Contributors[0].Name)
	assert.Equal(t, "shaft/seat", once.Contributors[0].Source)
}

// Three-two-one location in the plane: the exact rigid motion as one formula
// with trigonometry, and its linear form.
func TestThreeTwoOne(t *testing.T) {
	var all struct {
		Planar []struct {
			E             []float64
			Exact, Linear struct{ DX, DY, Theta float64 }
		} `json:"locating_321_planar"`
		WC    []float64 `json:"J321_wc"`
		RSS   []float64 `json:"J321_rss"`
		Pads3 struct {
			WC  float64 `json:"dz_wc_0.0005"`
			RSS float64 `json:"dz_rss_0.0005"`
		}
	}
	computed(t, &all)
	const turn = "atan((e2 - e1)/(5*in))"
	x := "((4*in + e3*cos(T) + 1*in*sin(T))*cos(T) - (3*in - 0.5*in*sin(T) + e1*cos(T))*sin(T) - 4*in)"
	y := "((4*in + e3*cos(T) + 1*in*sin(T))*sin(T) + (3*in - 0.5*in*sin(T) + e1*cos(T))*cos(T) - 3*in)"
	require.Len(t, all.Planar, 6)
	for _, c := range all.Planar {
		in := []Input{}
		for i, e := range c.E {
			in = append(in, given(t, fmt.Sprintf("e%d", i+1), fmt.Sprintf("%.4f", e)))
		}
		value := func(text string, in ...Input) quantity.Quantity {
			return eval(t, strings.ReplaceAll(text, "T", turn), in...).Value
		}
		assert.InDelta(t, c.Exact.DX, value(x, in...).FloatIn(quantity.Inch), 1e-14)
		assert.InDelta(t, c.Exact.DY, value(y, in...).FloatIn(quantity.Inch), 1e-14)
		assert.InDelta(t, c.Exact.Theta, value(turn, in[:2]...).FloatIn(quantity.Degree)*math.Pi/180, 1e-15)
		assert.InDelta(t, c.Linear.DX, eval(t, "0.4*e1 - 0.4*e2 + e3", in...).Value.FloatIn(quantity.Inch), 1e-15)
		assert.InDelta(t, c.Linear.DY, eval(t, "0.3*e1 + 0.7*e2", in[:2]...).Value.FloatIn(quantity.Inch), 1e-15)
	}
	pads := inputs(t, "e1", "0 ±0.0005", "e2", "0 ±0.0005", "e3", "0 ±0.0005")
	for _, c := range []struct {
		text       string
		in         []Input
		worst, rss float64
	}{
		{"0.4*e1 - 0.4*e2 + e3", pads, all.WC[0], all.RSS[0]},
		{"0.3*e1 + 0.7*e2", pads[:2], all.WC[1], all.RSS[1]},
		{"-1/24*e1 + 7/24*e2 + 3/4*e3", pads, all.Pads3.WC, all.Pads3.RSS},
	} {
		r := eval(t, c.text, c.in...)
		assert.InDelta(t, c.worst, r.WorstUpper.FloatIn(quantity.Inch), 1e-15, c.text)
		assert.InDelta(t, -c.worst, r.WorstLower.FloatIn(quantity.Inch), 1e-15, c.text)
		assert.InDelta(t, c.rss, r.RSS.FloatIn(quantity.Inch), 1e-15, c.text)
	}
	// The exact motion at the slopes of its middle is the linear form.
	r := eval(t, strings.ReplaceAll(x, "T", turn), pads...)
	want := map[string]float64{"e1": 0.4, "e2": -0.4, "e3": 1}
	require.Len(t, r.Contributors, len(want))
	for _, c := range r.Contributors {
		assert.InDelta(t, want[c.Name], c.Sensitivity.Float(), 1e-12, c.Name)
	}
	assert.Equal(t, Corners, r.Method)
	assert.InDelta(t, all.WC[0], r.WorstUpper.FloatIn(quantity.Inch), 1e-6, "the linear worst case, but for second order")
}

func TestTwoPins(t *testing.T) {
	var all struct {
		TwoPins struct {
			Rad    float64 `json:"half_angle_rad"`
			Arcmin float64 `json:"half_angle_arcmin"`
		} `json:"two_pins"`
	}
	computed(t, &all)
	e := parsed(t, "atan((c1 + c2)/(2*l))")
	r, err := e.Eval(inputs(t, "c1", "0.0010", "c2", "0.0015", "l", "8"), Options{Unit: unit(t, "arcmin")})
	require.NoError(t, err)
	assert.InDelta(t, all.TwoPins.Arcmin, r.Value.FloatIn(unit(t, "arcmin")), 1e-12)
	assert.InDelta(t, all.TwoPins.Rad, r.Value.Float()*math.Pi/180, 1e-15)
	assert.Equal(t, "0.537 arcmin", r.Value.String())
}
