package study_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	calc "tenths/calc/seam"
	"tenths/ledger/study"
)

// A simulated shop: a cap on a box, each finished on its own station, with causes
// that are known because they were drawn. Lengths are in tenths of a thousandth
// of an inch unless said otherwise.
type shop struct {
	rng    *rand.Rand
	texts  map[string]string
	points []calc.Point
	seam   calc.Seam            // as it really is
	pushed []float64            // mm that a part pushed to one side adds at each point
	causes map[string][]float64 // by the name of the source: its effect on each trait, once fitted
	n      int
}

const (
	shopPitch    = 2.4 * 25.4
	surveyU      = 1.0
	movedBy      = 10.0
	sizeBy       = 2.0
	gaugeU       = 0.8
	shopKelvin   = 0.25 * 26 / 1.8 // a quarter of 58 F to 84 F
	shopAlphaOff = 23.85e-6 - 11.7e-6
)

func even(rng *rand.Rand, band float64) float64 { return band * (2*rng.Float64() - 1) }

func (sh *shop) pin(first bool, surveyed bool) (text string, truth [2]float64) {
	made := []string{"drilled", "drilled and reamed", "helical bore"}[sh.rng.IntN(3)]
	band := map[string]float64{"drilled": 15, "drilled and reamed": 10, "helical bore": 3}[made]
	id, at := "P2", "[2.4000, 0.0]"
	if first {
		id, at = "P1", "[0.0, 0.0]"
	}
	text = fmt.Sprintf("[[station.locator]]\nid = %q\ntype = \"round pin\"\nengages = \"H%s\"\nat = %s\nsize = \"0.1873\"\nmade_by = %q\n", id, id[1:], at, made)
	if !surveyed {
		return text, [2]float64{even(sh.rng, band), even(sh.rng, band)}
	}
	var found [2]float64
	for axis := range found {
		found[axis] = math.Round(even(sh.rng, band)*2) / 2
		truth[axis] = found[axis] + even(sh.rng, surveyU)
	}
	text += fmt.Sprintf("[[station.locator.survey]]\non = 2025-01-01\noff = [\"%g tenths\", \"%g tenths\"]\nuncertainty = \"%g tenths\"\n", found[0], found[1], surveyU)
	return text, truth
}

// newShop draws a shop with at most one thing that is not as recorded, as often
// as Diagnose takes for granted.
func newShop(seed uint64) *shop {
	rng := rand.New(rand.NewPCG(seed, 2025))
	sh := &shop{rng: rng, causes: map[string][]float64{}, n: []int{3, 6, 10}[rng.IntN(3)]}
	for _, p := range [][4]float64{{-.4, 0, -1, 0}, {.2, .75, 0, 1}, {2.2, .75, 0, 1}, {2.8, 0, 1, 0}, {2.2, -.75, 0, -1}, {.2, -.75, 0, -1}} {
		sh.points = append(sh.points, calc.Point{X: p[0] * 25.4, Y: p[1] * 25.4, NX: p[2], NY: p[3]})
	}
	hole := 0.1877 + 0.0004*float64(rng.IntN(2))
	clearance := (hole - 0.1873) * 25.4 / 2
	// What is not as recorded.
	changed := ""
	draw := rng.Float64()
	type option struct {
		name string
		odds float64
	}
	var options []option
	surveyed := map[string]bool{}
	for _, st := range []string{"B", "A"} {
		for _, p := range []string{"P1", "P2"} {
			name := "F/" + st + "/" + p
			if surveyed[name] = rng.Float64() < 0.7; surveyed[name] {
				options = append(options, option{name, 0.05})
			}
		}
		part := map[string]string{"A": "BOX", "B": "CAP"}[st]
		options = append(options, option{"looseness of " + part + " on F/" + st, 0.1}, option{"size of the outline of " + part, 0.05})
	}
	for _, o := range options {
		if draw -= o.odds; draw < 0 && changed == "" {
			changed = o.name
		}
	}
	fixture := "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\n"
	sh.pushed = make([]float64, len(sh.points))
	for i, st := range []string{"B", "A"} {
		part := map[string]string{"A": "BOX", "B": "CAP"}[st]
		sign := float64(1 - 2*i)
		fixture += fmt.Sprintf("[[station]]\nid = %q\npart = %q\nface = \"outside up\"\n", st, part)
		real := calc.Station{First: calc.Pin{Clearance: clearance}, Second: calc.Pin{X: shopPitch, Clearance: clearance}}
		for k, to := range []*calc.Pin{&real.First, &real.Second} {
			name := fmt.Sprintf("F/%s/P%d", st, k+1)
			text, truth := sh.pin(k == 0, surveyed[name])
			fixture += text
			if changed == name {
				truth[0] += even(rng, movedBy)
				truth[1] += even(rng, movedBy)
			}
			to.Error = [2]float64{truth[0] * tenthMM, truth[1] * tenthMM}
			alone := calc.Station{Second: calc.Pin{X: shopPitch}}
			*[]*calc.Pin{&alone.First, &alone.Second}[k] = calc.Pin{X: to.X, Error: to.Error}
			sh.cause(name, alone, sign)
		}
		size := even(rng, sizeBy)
		if changed == "size of the outline of "+part {
			size += even(rng, movedBy)
		}
		real.Size = size * tenthMM
		sh.cause("size of the outline of "+part, calc.Station{Second: calc.Pin{X: shopPitch}, Size: real.Size}, sign)
		if name := "looseness of " + part + " on F/" + st; changed == name {
			// At the rim of the clearance, the same way each time: a part that sits
			// off is like pins that stand off.
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
			swing := clearance * math.Sin(2*math.Pi*rng.Float64())
			off := calc.Station{
				First:  calc.Pin{Error: [2]float64{clearance * cos, clearance * sin}},
				Second: calc.Pin{X: shopPitch, Error: [2]float64{0, swing}},
			}
			sh.cause(name, off, sign)
			for p, v := range sh.steps(off, sign) {
				sh.pushed[p] += v
			}
			real.First.Clearance, real.Second.Clearance = 0, 0
		}
		if st == "B" {
			sh.seam.Proud = real
		} else {
			sh.seam.Other = real
		}
	}
	// Heat and the gauge.
	kelvin, bias := even(rng, shopKelvin), even(rng, gaugeU)*tenthMM
	var warm []float64
	for p, pt := range sh.points {
		warm = append(warm, -shopAlphaOff*(pt.NX*pt.X+pt.NY*pt.Y)*kelvin)
		sh.pushed[p] += warm[p] + bias
	}
	sh.causes["temperature between the two finishing cuts"] = sh.traits(warm)
	sh.causes["gauge"] = []float64{0, 0, 0, bias}
	sh.seam.Gauge = gaugeU / 2 * tenthMM
	part := fmt.Sprintf("kind = \"part\"\nid = \"%%s\"\ntitle = \"p\"\nstate = \"in use\"\nmaterial = \"6061\"\n[[feature]]\nid = \"H1\"\ntype = \"hole\"\nat = [0, 0]\nas_made = \"%.4f\"\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\nat = [2.4, 0]\nas_made = \"%.4f\"\n", hole, hole)
	sh.texts = map[string]string{
		"tenths.toml": "units = \"in\"\ncoldest = \"58 F\"\nhottest = \"84 F\"\n",
		"f.md":        fixture, "box.md": fmt.Sprintf(part, "BOX"), "cap.md": fmt.Sprintf(part, "CAP"),
		"g.md": fmt.Sprintf("kind = \"gauge\"\nid = \"G\"\ntitle = \"g\"\ntype = \"indicator\"\nuncertainty = \"%g tenths\"\n", gaugeU),
		"w.md": "kind = \"part\"\nid = \"W\"\ntitle = \"w\"\nstate = \"in use\"\n[[characteristic]]\nid = \"S\"\ntype = \"step\"\nlimits = \"0 ±0.001\"\ngauge = \"G\"\nproud = \"CAP\"\nagainst = \"BOX\"\n" + shopPoints(sh.points),
		"r.md": "kind = \"inspection\"\nid = \"R\"\ntitle = \"r\"\non = 2025-06-01\ncharacteristic = \"W/S\"\ngauge = \"G\"\ndeviation_in = \"tenths\"\n",
	}
	return sh
}

func shopPoints(points []calc.Point) string {
	var b strings.Builder
	for i, p := range points {
		fmt.Fprintf(&b, "[[characteristic.point]]\nid = \"K%d\"\nat = [%.3f, %.3f]\nnormal = [%g, %g]\n", i+1, p.X/25.4, p.Y/25.4, p.NX, p.NY)
	}
	return b.String()
}

// steps are those that a station alone makes against a perfect one.
func (sh *shop) steps(st calc.Station, sign float64) []float64 {
	f, err := calc.Forward(sh.points, calc.Seam{Proud: st, Other: calc.Station{Second: calc.Pin{X: shopPitch}}})
	if err != nil {
		panic(err)
	}
	out := make([]float64, len(f.Points))
	for i, p := range f.Points {
		out[i] = sign * p.Mean
	}
	return out
}

func (sh *shop) cause(name string, st calc.Station, sign float64) {
	sh.causes[name] = sh.traits(sh.steps(st, sign))
}

// traits are shift, turn over the pitch and size of steps.
func (sh *shop) traits(steps []float64) []float64 {
	f, err := calc.Fit(sh.points, [][]float64{steps}, calc.Options{})
	if err != nil {
		panic(err)
	}
	return []float64{f.Pattern.DX, f.Pattern.DY, f.Pattern.Turn * shopPitch, f.Pattern.Size}
}

// main is the source that really adds most to a trait, in its direction.
func (sh *shop) main(trait int) string {
	whole := 0.0
	for _, c := range sh.causes {
		whole += c[trait]
	}
	best, most := "", 0.0
	for name, c := range sh.causes {
		if v := c[trait] * math.Copysign(1, whole); v > most {
			best, most = name, v
		}
	}
	return best
}

func (sh *shop) diagnose(t *testing.T) *study.Diagnosis {
	lot, err := calc.Draw(sh.points, sh.seam, sh.n, sh.rng.Uint64())
	require.NoError(t, err)
	for _, steps := range lot {
		var row []string
		for i, v := range steps {
			row = append(row, fmt.Sprintf("%.1f", (v+sh.pushed[i])/tenthMM))
		}
		sh.texts["r.md"] += fmt.Sprintf("[[reading]]\nvalues = %q\n", strings.Join(row, " "))
	}
	return diagnose(t, study.New(loadTexts(t, sh.texts), on(t, "2025-11-25")), "R")
}

// tallied compares what was stated with what was so.
type tallied struct {
	n            int
	stated, true float64
	variance     float64
}

func (b *tallied) add(p float64, so bool) {
	b.n++
	b.stated += p
	b.variance += p * (1 - p)
	if so {
		b.true++
	}
}

// TestSimulatedShops: over 500 shops whose causes are known, the true main source
// is among the named suspects as often as stated, each single probability is
// right as often as it says, and the errors hold the truth as often as they
// should. `go test -v` prints the table.
//
// The bounds are 3.5 standard errors of a binomial count (two-sided 1 in 2000
// each). A shop gives one number to each count of the named, and the suspects of
// one trait to the bins: of those at most one is true, so that a count spreads no
// more than if they were independent. Bands are drawn evenly and looseness in its
// circle, not from the normal distributions that Diagnose reckons with.
func TestSimulatedShops(t *testing.T) {
	if testing.Short() {
		t.Skip("500 shops")
	}
	const shops = 500
	named := map[string]*tallied{}
	bins := make([]tallied, 10)
	inside := map[string]*tallied{}
	shown := 0
	for seed := range uint64(shops) {
		sh := newShop(seed)
		d := sh.diagnose(t)
		pick := int(seed) % 4 // one trait a shop for the bins
		for k, tr := range d.Traits {
			if inside[tr.Key] == nil {
				inside[tr.Key], named[tr.Key] = &tallied{}, &tallied{}
			}
			truth := 0.0
			for _, c := range sh.causes {
				truth += c[k]
			}
			inside[tr.Key].add(0.9545, math.Abs(tr.Value-truth) <= study.ShownFrom*tr.Error)
			if !tr.Shown {
				continue
			}
			shown++
			real, hit := sh.main(k), false
			for i, sp := range tr.Suspects {
				so := d.Sources[sp.Source].Name == real
				hit = hit || so && i < tr.Named
				if k == pick {
					bins[min(9, int(sp.Probability*10))].add(sp.Probability, so)
				}
			}
			named[tr.Key].add(tr.NamedP, hit)
		}
	}
	t.Logf("%d shops, %d traits beyond 2 s", shops, shown)
	t.Log("trait   shown   stated   true source among the named")
	check := func(what string, b *tallied) {
		// One more for counts that go by whole numbers.
		assert.InDelta(t, b.stated, b.true, 3.5*math.Sqrt(b.variance)+1, "%s: %d cases", what, b.n)
	}
	for _, key := range []string{"dx", "dy", "turn", "size"} {
		b := named[key]
		t.Logf("%-6s %5d   %5.1f %%  %5.1f %%", key, b.n, 100*b.stated/float64(b.n), 100*b.true/float64(b.n))
		check("named for "+key, b)
		assert.Greater(t, b.n, 100, "enough shops show it")
	}
	t.Log("stated probability of a suspect   cases   mean stated   true")
	for i := range bins {
		b := &bins[i]
		t.Logf("%.1f to %.1f                        %5d   %5.1f %%      %5.1f %%", float64(i)/10, float64(i+1)/10, b.n, 100*b.stated/math.Max(1, float64(b.n)), 100*b.true/math.Max(1, float64(b.n)))
		check(fmt.Sprintf("suspects of %.1f", float64(i)/10), b)
	}
	for _, key := range []string{"dx", "dy", "turn", "size"} {
		b := inside[key]
		t.Logf("%-6s within 2 s of the truth: %5.1f %% of %d", key, 100*b.true/float64(b.n), b.n)
		check(key+" within 2 s", b)
	}
}
