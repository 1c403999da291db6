package study

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
)

// A made-up shop with known causes, apart from calc/seam: its truth is worked out
// by the formulas F4 and F5 of the project's trade reference, its records are
// written as a shop would write them, and the prediction is made from those
// alone. Lengths are in tenths of a thousandth of an inch.
type madeShop struct {
	rng       *rand.Rand
	clearance float64    // diametral, before
	after     float64    // diametral, after
	pins      [2][2]vec  // station B, A; first and second pin: where they are
	surveyed  [2][2]vec  // and where the survey says
	planned   [2]vec     // station A: where the pins come to stand
	size      [2]float64 // of the outlines of cap and box
	form      [6]float64 // of the edges at the points, unknown to the records
	n         int        // assemblies before and after
	kind      string     // largest, point, spread
	known     bool       // the readings before were there at the prediction
}

type vec struct{ x, y float64 }

const (
	surveyU  = 1.0 // of a pin, k = 2
	setTo    = 1.0 // ± to which a pin is set
	gaugeU   = 0.8 // k = 2
	pitchIn  = 2.4
	outlineU = 2.0 // ± of an outline's size: common practice, and what the study takes
)

// seamPoints are those of the demo shop: x, y in inches and the normal.
var seamPoints = [6][4]float64{{-.4, 0, -1, 0}, {.2, .75, 0, 1}, {2.2, .75, 0, 1}, {2.8, 0, 1, 0}, {2.2, -.75, 0, -1}, {.2, -.75, 0, -1}}

func makeShop(seed uint64) *madeShop {
	rng := rand.New(rand.NewPCG(seed, 0x73686f70))
	m := &madeShop{rng: rng, clearance: 2 + 6*rng.Float64(), n: 4 + rng.IntN(7), known: rng.IntN(2) == 0}
	m.kind = []string{"largest", "point", "spread"}[rng.IntN(3)]
	m.after = m.clearance
	for side := range m.pins {
		for k := range m.pins[side] {
			p := vec{rng.NormFloat64() * 6, rng.NormFloat64() * 6}
			m.pins[side][k] = p
			m.surveyed[side][k] = vec{tenthOf(p.x + surveyU/2*rng.NormFloat64()), tenthOf(p.y + surveyU/2*rng.NormFloat64())}
		}
		m.size[side] = m.even(outlineU)
		m.planned[side] = vec{m.even(setTo), m.even(setTo)}
	}
	if m.kind == "spread" {
		m.after = m.clearance * (0.3 + 0.5*rng.Float64())
	}
	if rng.IntN(3) == 0 {
		for i := range m.form {
			m.form[i] = 2 * rng.NormFloat64()
		}
	}
	return m
}

func (m *madeShop) even(half float64) float64 { return half * (2*m.rng.Float64() - 1) }

func tenthOf(v float64) float64 { return math.Round(v*10) / 10 }

// outline is F4: where the edge of one part comes out at a point, on pins that
// stand where they do and with the part anywhere in its clearance.
func (m *madeShop) outline(e1, e2 vec, clearance, size float64) func(p [4]float64) float64 {
	half := clearance / 2
	e1 = vec{e1.x + m.even(half), e1.y + m.even(half)}
	e2.y += m.even(half)
	turn := (e2.y - e1.y) / pitchIn
	return func(p [4]float64) float64 {
		return -(p[2]*e1.x + p[3]*e1.y) + turn*(p[2]*p[1]-p[3]*p[0]) + size
	}
}

// lot is F5: the steps of n assemblies, as read.
func (m *madeShop) lot(a [2]vec, clearance float64, size [2]float64) [][6]float64 {
	var out [][6]float64
	for range m.n {
		cap := m.outline(m.pins[0][0], m.pins[0][1], clearance, size[0])
		box := m.outline(a[0], a[1], clearance, size[1])
		var row [6]float64
		for i, p := range seamPoints {
			row[i] = tenthOf(cap(p) - box(p) + m.form[i] + gaugeU/2*m.rng.NormFloat64())
		}
		out = append(out, row)
	}
	return out
}

// texts are the records of the shop.
func (m *madeShop) texts(before, after [][6]float64) map[string]string {
	points := map[string][]int{"largest": {0, 1, 2, 3, 4, 5}, "point": {3}, "spread": {2}}[m.kind]
	part := func(id string) string {
		return fmt.Sprintf("+++\nkind = \"part\"\nid = \"%s\"\ntitle = \"p\"\nstate = \"in use\"\n%s%s+++\n", id, m.hole("H1", "0.0"), m.hole("H2", "2.4"))
	}
	station := func(id, part string, s [2]vec) string {
		out := fmt.Sprintf("[[station]]\nid = \"%s\"\npart = \"%s\"\nface = \"outside up\"\n", id, part)
		for k, p := range s {
			out += fmt.Sprintf("[[station.locator]]\nid = \"P%d\"\ntype = \"round pin\"\nengages = \"H%d\"\nsize = \"0.1870\"\n[[station.locator.survey]]\non = 2024-01-01\noff = [\"%.1f tenths\", \"%.1f tenths\"]\nuncertainty = \"%g tenths\"\n", k+1, k+1, p.x, p.y, surveyU)
		}
		return out
	}
	whole := "+++\nkind = \"part\"\nid = \"W\"\ntitle = \"w\"\nstate = \"in use\"\n[[characteristic]]\nid = \"S\"\ntype = \"step\"\nlimits = \"0 ±0.0010\"\njudge = \"largest\"\ngauge = \"G\"\nproud = \"CAP\"\nagainst = \"BOX\"\n"
	for i, p := range seamPoints {
		whole += fmt.Sprintf("[[characteristic.point]]\nid = \"K%d\"\nat = [%g, %g]\nnormal = [%g, %g]\n", i+1, p[0], p[1], p[2], p[3])
	}
	var names []string
	for _, i := range points {
		names = append(names, fmt.Sprintf("\"K%d\"", i+1))
	}
	list := strings.Join(names, ", ")
	inspection := func(id, on string, rows [][6]float64) string {
		out := fmt.Sprintf("+++\nkind = \"inspection\"\nid = \"%s\"\ntitle = \"i\"\nstate = \"valid\"\non = %s\ncharacteristic = \"W/S\"\npoints = [%s]\ngauge = \"G\"\ndeviation_in = \"tenths\"\n", id, on, list)
		for _, row := range rows {
			var v []string
			for _, i := range points {
				v = append(v, fmt.Sprintf("%.1f", row[i]))
			}
			out += fmt.Sprintf("[[reading]]\nvalues = \"%s\"\n", strings.Join(v, " "))
		}
		return out + "+++\n"
	}
	change := fmt.Sprintf("+++\nkind = \"change\"\nid = \"C\"\ntitle = \"c\"\nstate = \"done\"\ndone = 2024-06-01\npredicted_on = %s\ncharacteristic = \"W/S\"\npoints = [%s]\nclaim = \"%s\"\nbefore = \"B\"\nafter = \"D\"\n",
		map[bool]string{true: "2024-05-20", false: "2024-05-01"}[m.known], list, map[bool]string{true: "spread", false: "level"}[m.kind == "spread"])
	if m.kind == "spread" {
		for _, what := range []string{"CAP/H1", "CAP/H2", "BOX/H1", "BOX/H2"} {
			change += fmt.Sprintf("[[planned]]\nwhat = \"%s\"\nas_made = \"%.5f\"\n", what, 0.187+m.after/1e4)
		}
	} else {
		for k := 1; k <= 2; k++ {
			change += fmt.Sprintf("[[planned]]\nwhat = \"F/A/P%d\"\noff = [\"0 ±%g tenths\", \"0 ±%g tenths\"]\n", k, setTo, setTo)
		}
	}
	return map[string]string{
		ledger.ConfigName: "units = \"in\"\n", "cap.md": part("CAP"), "box.md": part("BOX"), "w.md": whole + "+++\n",
		"f.md": "+++\nkind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\n" + station("A", "BOX", m.surveyed[1]) + station("B", "CAP", m.surveyed[0]) + "+++\n",
		"g.md": fmt.Sprintf("+++\nkind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\nstate = \"in service\"\ntype = \"indicator\"\nresolution = \"0.00001\"\nuncertainty = \"%g tenths\"\n+++\n", gaugeU),
		"b.md": inspection("B", "2024-05-15", before), "d.md": inspection("D", "2024-06-05", after), "c.md": change + "+++\n",
	}
}

func (m *madeShop) hole(id, x string) string {
	return fmt.Sprintf("[[feature]]\nid = \"%s\"\ntype = \"hole\"\nat = [%s, 0.0]\nsize = \"0.1870 +0.0010/-0\"\nas_made = \"%.5f\"\n", id, x, 0.187+m.clearance/1e4)
}

// run makes both lots and gives the prediction. With unlike set the outlines of
// the second lot are of other sizes.
func (m *madeShop) run(t require.TestingT, unlike bool) *Foretold {
	before := m.lot(m.pins[1], m.clearance, m.size)
	a := m.planned
	if m.kind == "spread" {
		a = m.pins[1]
	}
	size := m.size
	if unlike {
		size = [2]float64{m.even(outlineU), m.even(outlineU)}
	}
	l, err := ledger.Load(source.Map(m.texts(before, m.lot(a, m.after, size))))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	s := New(l, time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC))
	s.draws = 1000
	f := s.Predict(l.Record("C")).Items[0]
	require.Empty(t, f.Skip)
	require.Equal(t, m.known, f.Measured)
	require.Equal(t, [2]int{m.n, m.n}, f.Pieces)
	return f
}

// coverage counts how often intervals held what came out.
type coverage struct {
	name    string
	held, n int
	width   float64
}

func (c *coverage) add(i Interval, found float64) {
	c.n++
	c.width += i.Half()
	if found >= i.Low && found <= i.High {
		c.held++
	}
}

// TestPredictionsHoldAsOftenAsTheyClaim: of 500 made-up shops with known causes,
// the interval holds what was then found 95 times in 100, within what chance
// leaves (binomial distribution, three standard errors). It may hold more often:
// a band is taken as even where the truth is a normal error of half its width,
// and what looks unexplained by chance widens the interval too.
func TestPredictionsHoldAsOftenAsTheyClaim(t *testing.T) {
	if testing.Short() {
		t.Skip("500 shops")
	}
	const shops = 500
	all := &coverage{name: "all shops"}
	rows := []*coverage{all}
	by := func(name string) *coverage {
		for _, r := range rows {
			if r.name == name {
				return r
			}
		}
		rows = append(rows, &coverage{name: name})
		return rows[len(rows)-1]
	}
	for _, name := range []string{"largest of six points", "one point", "spread at one point", "readings before were known", "computed alone", "form of the edges unknown to the records", "nothing unknown", "lots unlike, taken as alike", "lots unlike, taken as unlike"} {
		by(name)
	}
	for k := range uint64(shops) {
		m := makeShop(k)
		f := m.run(t, false)
		i, found := f.Change, f.Ev.C.Difference
		if m.kind == "spread" {
			i, found = f.Ratio, f.Ev.Spread.SDRatio
		}
		groups := []string{"all shops", map[string]string{"largest": "largest of six points", "point": "one point", "spread": "spread at one point"}[m.kind]}
		groups = append(groups, map[bool]string{true: "readings before were known", false: "computed alone"}[m.known])
		groups = append(groups, map[bool]string{true: "nothing unknown", false: "form of the edges unknown to the records"}[m.form == [6]float64{}])
		for _, g := range groups {
			by(g).add(i, found)
		}
		if m.kind == "point" {
			u := m.run(t, true)
			wide, _, ok := u.Open()
			require.True(t, ok)
			by("lots unlike, taken as alike").add(u.Change, u.Ev.C.Difference)
			by("lots unlike, taken as unlike").add(wide, u.Ev.C.Difference)
		}
	}
	for _, r := range rows {
		share := float64(r.held) / float64(r.n)
		t.Logf("%-42s %3d of %3d held, %5.1f %%; mean half-width %.2f", r.name, r.held, r.n, 100*share, r.width/float64(r.n))
		if r.name == "lots unlike, taken as alike" {
			assert.Less(t, share, 0.92, "why both are shown")
			continue
		}
		se := math.Sqrt(0.95 * 0.05 / float64(r.n))
		assert.GreaterOrEqual(t, share, 0.95-3*se, r.name)
		assert.Less(t, share, 0.995, "%s: far wider than claimed", r.name)
	}
}
