package fit

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tenths/calc/limits"
	"tenths/calc/quantity"
)

// isoPairs are the usual fits of ISO 286, hole basis H6 to H9 and shaft basis
// h5 to h9. The hole-basis list is that of ISO 286-1:2010 with H9/d9 of ANSI
// B4.2 (both seen in two reprints of the tables of preferred fits), as far as
// package limits carries the letters. The shaft-basis list is from memory and
// agrees with the preferred pairs of those reprints (D9/h9, F8/h7, G7/h6, H7/h6,
// K7/h6, N7/h6, P7/h6, S7/h6). A list only says what is offered; the limits come
// from the tables.
var isoPairs = []struct{ common, with string }{
	{"H6", "g5 h5 js5 k5 m5 n5 p5"},
	{"H7", "f6 g6 h6 js6 k6 m6 n6 p6 r6 s6"},
	{"H8", "e7 f7 h7 js7 k7 m7 s7 d8 e8 f8 h8"},
	{"H9", "d8 e8 f8 h8 d9 h9"},
	{"h5", "G6 JS6 K6 M6 N6 P6"},
	{"h6", "F7 G7 JS7 K7 M7 N7 P7 R7 S7"},
	{"h7", "E8 F8"},
	{"h8", "D9 E9 F9"},
	{"h9", "E8 F8 H8 D9 E9 F9"},
}

// ansiFits are the fits of ANSI B4.1 and how many classes each has.
var ansiFits = []struct {
	letters string
	classes int
}{{"RC", 9}, {"LC", 11}, {"LT", 6}, {"LN", 3}, {"FN", 5}}

// Choose lists the fits of the standards that keep a wanted clearance: those
// of ISO 286 for a metric nominal (usual hole-basis and shaft-basis pairs),
// those of ANSI B4.1 for an inch nominal. The wanted range may be negative
// (interference) and may be in any unit of length.
//
// No listed fit ever leaves the wanted range. The first leaves the least of it
// unused, which is also the one with the coarsest tolerances and so the easiest
// to make; fits that leave the same are sorted by how near their middle lies to
// the wanted middle, and hole basis comes before shaft basis. An empty list says that
// no class serves: the parts must be made to limits of their own, or paired.
//
// Errors: a nominal that is no length, not above 0 or outside the tables; a
// wanted range without both limits.
func Choose(nominal quantity.Quantity, wanted quantity.Toleranced) ([]Fit, error) {
	if err := checkSize(nominal, "the nominal size"); err != nil {
		return nil, err
	}
	width, ok := wanted.Width()
	if !ok || wanted.Nominal.Dim() != quantity.Length {
		return nil, fmt.Errorf("the wanted clearance %s needs both its ends; write it like 0.0002..0.0012 in, or -0.020..-0.005 mm for interference", wanted)
	}
	middle, _ := wanted.Middle()

	type candidate struct {
		Fit
		unused, off quantity.Quantity
	}
	var found []candidate
	var refused error // the last class that the tables do not carry
	carried := false
	for _, pair := range pairsFor(nominal) {
		f, err := fitOf(nominal, pair)
		if errors.Is(err, limits.ErrNotCarried) {
			refused = err
			continue
		}
		if err != nil {
			return nil, err
		}
		carried = true
		if !within(f, wanted) {
			continue
		}
		c := candidate{Fit: f}
		spread, err := f.MaxClearance.Sub(f.MinClearance)
		if err != nil {
			return nil, err
		}
		if c.unused, err = width.Sub(spread); err != nil {
			return nil, err
		}
		if c.off, err = f.Middle.Sub(middle); err != nil {
			return nil, err
		}
		c.off = c.off.Abs()
		found = append(found, c)
	}
	if !carried && refused != nil {
		return nil, refused
	}
	slices.SortStableFunc(found, func(a, b candidate) int {
		if c := a.unused.Rat().Cmp(b.unused.Rat()); c != 0 {
			return c
		}
		return a.off.Rat().Cmp(b.off.Rat())
	})
	out := make([]Fit, len(found))
	for i, c := range found {
		out[i] = c.Fit
	}
	return out, nil
}

// pairsFor lists hole and shaft classes of the standard for the nominal's
// system of units.
func pairsFor(nominal quantity.Quantity) [][2]string {
	var pairs [][2]string
	if nominal.Unit().System() == "inch" {
		for _, f := range ansiFits {
			for n := 1; n <= f.classes; n++ {
				class := fmt.Sprintf("%s%d", f.letters, n)
				pairs = append(pairs, [2]string{class + " hole", class + " shaft"})
			}
		}
		return pairs
	}
	for _, p := range isoPairs {
		hole, _ := classOf(p.common)
		for _, other := range strings.Fields(p.with) {
			if hole {
				pairs = append(pairs, [2]string{p.common, other})
			} else {
				pairs = append(pairs, [2]string{other, p.common})
			}
		}
	}
	return pairs
}

func fitOf(nominal quantity.Quantity, pair [2]string) (Fit, error) {
	hole, err := LimitsOf(nominal, pair[0])
	if err != nil {
		return Fit{}, err
	}
	shaft, err := LimitsOf(nominal, pair[1])
	if err != nil {
		return Fit{}, err
	}
	return Of(hole.Limits, shaft.Limits)
}

// within compares exactly; the ends of the wanted range belong to it.
func within(f Fit, wanted quantity.Toleranced) bool {
	low, err1 := wanted.Side(f.MinClearance)
	high, err2 := wanted.Side(f.MaxClearance)
	return err1 == nil && err2 == nil && low == quantity.Inside && high == quantity.Inside
}
