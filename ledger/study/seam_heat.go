package study

import (
	"math"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger"
)

// machineExpansion, per kelvin, is that of the steel scales and screws of a
// machine tool (common practice).
const machineExpansion = 11.7e-6

// heatSpan is how much of the shop's range of temperature may lie between the
// finishing cuts of the two outlines, either way: a quarter (common practice:
// both are cut within the same days).
const heatSpan = 0.25

// heat adds what a difference of temperature between the two finishing cuts
// does. A part that is cut warm comes out small by its own expansion less that
// of the machine's scales, everywhere in proportion to the distance from the
// first pin, L·(α_part - α_machine)·ΔT.
func (b *seamBuilder) heat() {
	o := b.out
	cold, hot := b.s.L.Config.Coldest, b.s.L.Config.Hottest
	if !cold.Set() || !hot.Set() {
		b.assume("tenths.toml does not say how cold and hot the shop gets: temperature is not counted")
		return
	}
	span, err := hot.Nominal().Sub(cold.Nominal())
	kelvin, _ := quantity.LookupUnit("K")
	if err != nil || span.Sign() <= 0 {
		return
	}
	part := o.Proud.Part.Data.(*ledger.Part)
	alpha, ok := expansionOf(part.Material.S)
	if !ok {
		b.assume("the expansion of %q is not known: temperature is not counted", ledger.Printable(part.Material.S))
		return
	}
	src := seam.Source{Name: "temperature between the two finishing cuts", Band: heatSpan * span.FloatIn(kelvin)}
	first := o.Proud.Pins[0]
	for _, p := range o.At() {
		n := normal(p)
		src.Effect = append(src.Effect, -(alpha-machineExpansion)*(n[0]*(p.X-first.X)+n[1]*(p.Y-first.Y)))
	}
	o.Heat = &src
	b.assume("the outlines are finished within ±%.0f K of each other, a quarter of the shop's range, on a machine with steel scales (common practice)", src.Band)
}

// expansionOf is the expansion per kelvin of the material that the words name.
func expansionOf(text string) (float64, bool) {
	m, ok := materialOf(text)
	if !ok {
		return 0, false
	}
	ppm, _ := quantity.LookupUnit("ppm/K")
	return m.Expansion.FloatIn(ppm) * 1e-6, true
}

// normal is the outward normal of a point, of length one.
func normal(p seam.Point) [2]float64 {
	l := math.Hypot(p.NX, p.NY)
	return [2]float64{p.NX / l, p.NY / l}
}
