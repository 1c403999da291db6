package seam

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Seam is what a step comes from.
type Seam struct {
	Proud, Other Station // where the outlines of the two parts were cut
	// Assembly is what the parts are put together on, if it lets them shift: the
	// proud part moves with its pins. Face and size do not matter.
	Assembly *Station
	// Extra are further sources, such as heat or a coating.
	Extra []Source
	// Gauge is the standard uncertainty, mm, of one reading of the step.
	Gauge float64
}

// Source is a source of steps beside the stations.
type Source struct {
	Name   string
	Effect []float64 // step at each point, mm, for an amount of one
	Amount float64   // what is known of it
	Band   float64   // ± what is not known
	Varies bool      // from assembly to assembly, not the same for all
}

// Forecast is what steps to expect.
type Forecast struct {
	// Pattern is the mean step, without Extra sources, as shift, turn and size.
	Pattern Pattern
	Points  []Expect
}

// Expect is the step to expect at a point, mm.
type Expect struct {
	Mean float64
	// Low and High hold the step in the worst case, readings exact: every source
	// at the end of its band.
	Low, High float64
	// UsualLow and UsualHigh hold about 95 of 100 readings: the mean and 1.96
	// standard deviations of everything together.
	UsualLow, UsualHigh float64
	// Same is the standard deviation of what is the same for all assemblies, not
	// to be averaged away; Varies is that of what differs between assemblies,
	// gauge included. Their squares add up.
	Same, Varies float64
	// Shares are the sources, in the order stations, assembly, extra, gauge.
	Shares []Share
}

// Share is what one source contributes at a point.
type Share struct {
	Name  string
	Mean  float64 // its part of the mean, mm
	Worst float64 // its part of the worst case, ±mm
	SD    float64 // standard deviation of what is not known of it, mm
	Part  float64 // its part of all variance, 0 to 1
}

// Forward predicts the step at every point from the pins of both stations.
//
// What lies in a band is taken as even over it, with the standard deviation
// band/√3. So is looseness over the clearance, across at each pin and along at
// the first. The worst case has the first hole anywhere in its circle of
// clearance, so that on the line of pins it is |1-a/L|·c1 + |a/L|·c2 across at
// the distance a (fixture handbooks, common practice). A part that is always
// pushed to one side has less spread and an offset instead.
//
// Errors: no points, and those of Station.Outline; an Extra source without a
// value for each point; a negative gauge uncertainty.
func Forward(points []Point, s Seam) (Forecast, error) {
	effects, sources, err := s.check(points)
	if err != nil {
		return Forecast{}, err
	}
	f := Forecast{Points: make([]Expect, len(points))}
	for i := range f.Points {
		e := &f.Points[i]
		var worst float64
		for _, src := range sources {
			sh := src.share(i, effects[i])
			e.Mean += sh.Mean
			worst += sh.Worst
			if src.varies {
				e.Varies = math.Hypot(e.Varies, sh.SD)
			} else {
				e.Same = math.Hypot(e.Same, sh.SD)
			}
			e.Shares = append(e.Shares, sh)
		}
		e.Shares = append(e.Shares, Share{Name: "gauge", SD: s.Gauge})
		e.Varies = math.Hypot(e.Varies, s.Gauge)
		e.Low, e.High = e.Mean-worst, e.Mean+worst
		sd := math.Hypot(e.Same, e.Varies)
		e.UsualLow, e.UsualHigh = e.Mean-usual*sd, e.Mean+usual*sd
		if sd > 0 {
			for k := range e.Shares {
				e.Shares[k].Part = e.Shares[k].SD / sd * (e.Shares[k].SD / sd)
			}
		}
	}
	for _, src := range sources {
		f.Pattern = f.Pattern.plus(src.known(), 1)
	}
	return f, nil
}

// usual is the 97.5 % point of the normal distribution.
const usual = 1.959963984540054

// share is what a source contributes at point i with the given effects.
func (f source) share(i int, g [4]float64) Share {
	sh := Share{Name: f.name}
	for k := range f.value {
		by := f.effect(k, i, g)
		sh.Mean += by * f.value[k]
		sh.SD = math.Hypot(sh.SD, by*f.band[k]/math.Sqrt(3))
		if f.disc && k == 1 {
			sh.Worst = math.Hypot(sh.Worst, by*f.band[k])
		} else {
			sh.Worst += math.Abs(by * f.band[k])
		}
	}
	return sh
}

// check refuses what cannot be computed and lists the sources.
func (s Seam) check(points []Point) ([][4]float64, []source, error) {
	effects, err := allEffects(points)
	if err != nil {
		return nil, nil, err
	}
	if !finite(s.Gauge) || s.Gauge < 0 {
		return nil, nil, fmt.Errorf("the standard uncertainty of the gauge, %g mm, must not be negative", s.Gauge)
	}
	var out []source
	add := func(st Station, fallback string, sign float64) error {
		name := st.Name
		if name == "" {
			name = fallback
		}
		list, err := st.sources(name+": ", sign)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		out = append(out, list...)
		return nil
	}
	if err := add(s.Proud, "proud part", 1); err != nil {
		return nil, nil, err
	}
	if err := add(s.Other, "other part", -1); err != nil {
		return nil, nil, err
	}
	if s.Assembly != nil {
		// The outline of the proud part moves with the pins, not against them.
		a := *s.Assembly
		a.FaceDown, a.Size, a.SizeBand = false, 0, 0
		if err := add(a, "assembly", -1); err != nil {
			return nil, nil, err
		}
		out = out[:len(out)-1] // no size
	}
	for i, e := range s.Extra {
		if len(e.Effect) != len(points) || !finite(e.Effect...) {
			return nil, nil, fmt.Errorf("extra source %d: it needs a number for each of the %d points", i+1, len(points))
		}
		if !finite(e.Amount, e.Band) || e.Band < 0 {
			return nil, nil, fmt.Errorf("extra source %d: the amount %g ±%g is not made of sensible numbers", i+1, e.Amount, e.Band)
		}
		out = append(out, source{name: e.Name, value: []float64{e.Amount}, band: []float64{e.Band}, varies: e.Varies, perStep: e.Effect})
	}
	return effects, out, nil
}

// mostAssemblies is more than anyone waits for.
const mostAssemblies = 10_000_000

// Draw makes up the readings of a lot of assemblies: what is the same for all
// is drawn once, what varies and the error of the gauge anew for each. The same
// seed gives the same lot. Spreads are those of Forward, the gauge's is normal.
// The result holds for each assembly the step at each point, mm.
//
// Errors: those of Forward, a number of assemblies not between 1 and 10 million
// in all points.
func Draw(points []Point, s Seam, assemblies int, seed uint64) ([][]float64, error) {
	effects, sources, err := s.check(points)
	if err != nil {
		return nil, err
	}
	if assemblies < 1 || assemblies > mostAssemblies/len(points) {
		return nil, fmt.Errorf("%d assemblies of %d points: 1 to %d can be drawn", assemblies, len(points), mostAssemblies/len(points))
	}
	rng := rand.New(rand.NewPCG(seed, 0x7365_616d))
	fixed := make([]float64, len(points))
	for _, f := range sources {
		if !f.varies {
			f.draw(rng, effects, fixed)
		}
	}
	out := make([][]float64, assemblies)
	for a := range out {
		steps := append([]float64(nil), fixed...)
		for _, f := range sources {
			if f.varies {
				f.draw(rng, effects, steps)
			}
		}
		for i := range steps {
			steps[i] += s.Gauge * rng.NormFloat64()
		}
		out[a] = steps
	}
	return out, nil
}

// draw adds the steps of one draw of the source.
func (f source) draw(rng *rand.Rand, effects [][4]float64, steps []float64) {
	var amounts [3]float64
	spread(rng, &amounts, len(f.value), f.disc)
	for k := range f.value {
		amount := f.value[k] + f.band[k]*amounts[k]
		for i := range steps {
			steps[i] += amount * f.effect(k, i, effects[i])
		}
	}
}

// spread draws n amounts even between -1 and 1. The first two of a disc lie in a
// circle, more often near its rim: a radius of the fourth root of an even number
// has in every direction the standard deviation of an even spread over the width.
func spread(rng *rand.Rand, u *[3]float64, n int, disc bool) {
	for k := range n {
		u[k] = 2*rng.Float64() - 1
	}
	if disc {
		sin, cos := math.Sincos(math.Pi * u[0])
		r := math.Sqrt(math.Sqrt((u[1] + 1) / 2))
		u[0], u[1] = r*cos, r*sin
	}
}

// effect is the step that one of amount k makes at point i.
func (f source) effect(k, i int, g [4]float64) float64 {
	if f.perStep != nil {
		return f.perStep[i]
	}
	return f.unit[k].at(g)
}
