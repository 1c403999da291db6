// Package dowel holds the diameters of standard dowel pins and says how one
// sits in a hole.
//
// A standard dowel is not of its nominal size. It is ground over nominal, so
// that it presses into a hole reamed to nominal; in such a hole it never slips.
// The tables are ASME B18.8.2 (inch), ASME B18.8.5M (metric) and ISO 8734
// (metric, m6). Metric pins of the two standards differ, so every pin names its
// standard. The folder data holds the tables with their sources; each pin
// carries the standing of its numbers, because not every cell could be seen.
package dowel

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"tenths/calc/quantity"
)

// ErrNotCarried says that a size is not in the tables.
var ErrNotCarried = errors.New("not carried here")

// Series is the diameter series of a pin within its standard.
type Series string

const (
	Standard Series = "standard" // ASME: for the first hole
	Oversize Series = "oversize" // ASME: for replacement in a worn or reamed-out hole
	M6       Series = "m6"       // ISO 8734
)

// Standing says how far a number of the tables can be trusted.
type Standing string

const (
	Seen      Standing = "seen"        // in two or more places that agree
	OneSource Standing = "one source"  // in one place
	Memory    Standing = "from memory" // not found printed; check before use
)

// Pin is a standard dowel pin.
type Pin struct {
	Spec             string              // "ASME B18.8.2", "ASME B18.8.5M", "ISO 8734"
	Series           Series              // diameter series
	Nominal          quantity.Quantity   // what it is called: 3/16 in, 6 mm
	Diameter         quantity.Toleranced // what it is made to
	DiameterStanding Standing

	// PressHole is the hole that the standard suggests for pressing the pin into
	// mild steel or cast iron; softer metals want a smaller one. The zero
	// Toleranced where none is suggested.
	PressHole    quantity.Toleranced
	HoleStanding Standing // empty without PressHole

	decimal quantity.Quantity // the nominal as the standard rounds it, .1562 for 5/32
}

// String names the pin: "3/16 in dowel (ASME B18.8.2, standard series)",
// "6 mm dowel (ISO 8734, m6)".
func (p Pin) String() string {
	series := string(p.Series)
	if p.Series != M6 {
		series += " series"
	}
	return fmt.Sprintf("%s dowel (%s, %s)", p.Nominal, p.Spec, series)
}

// HasPressHole reports whether the standard suggests a hole for the pin.
func (p Pin) HasPressHole() bool { return !p.PressHole.Nominal.IsZeroValue() }

// Find lists the pins of a nominal size, whatever the unit it is written in: a
// fraction (5/32 in), the decimal that the standard rounds it to (.1562 in), or
// millimetres. One size may be in several standards and series.
//
// Errors: no length, not above 0, ErrNotCarried with the nearest nominal sizes.
func Find(nominal quantity.Quantity) ([]Pin, error) {
	if err := checkSize(nominal, "the nominal size"); err != nil {
		return nil, err
	}
	all, err := Pins()
	if err != nil {
		return nil, err
	}
	var found []Pin
	for _, p := range all {
		if nominal.Rat().Cmp(p.Nominal.Rat()) == 0 || nominal.Rat().Cmp(p.decimal.Rat()) == 0 {
			found = append(found, p)
		}
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("dowels of %s are %w; the nearest nominal sizes are %s", nominal, ErrNotCarried, neighbours(all, nominal))
	}
	return found, nil
}

// neighbours names the nearest nominal sizes below and above.
func neighbours(all []Pin, size quantity.Quantity) string {
	var below, above quantity.Quantity
	for _, p := range all {
		c := p.Nominal.Rat().Cmp(size.Rat())
		switch {
		case c < 0 && (below.IsZeroValue() || p.Nominal.Rat().Cmp(below.Rat()) > 0):
			below = p.Nominal
		case c > 0 && (above.IsZeroValue() || p.Nominal.Rat().Cmp(above.Rat()) < 0):
			above = p.Nominal
		}
	}
	var names []string
	for _, q := range []quantity.Quantity{below, above} {
		if !q.IsZeroValue() {
			names = append(names, q.String())
		}
	}
	return strings.Join(names, " and ")
}

// Match is a pin near a measured size.
type Match struct {
	Pin
	Inside bool              // the size lies within the limits of the pin
	Off    quantity.Quantity // size minus the middle of the pin's limits, in the unit of the size
}

// Nearest lists the n standard pins nearest to a measured diameter, whatever the
// unit: by the distance of the size from the pin's limits, then from their
// middle, then as the table has them. A 1/8 in dowel noted as 3.18 mm comes out
// as what it is.
//
// Errors: no length, not above 0, n below 1, and ErrNotCarried for a size more
// than a tenth below the smallest pin or above the largest.
func Nearest(size quantity.Quantity, n int) ([]Match, error) {
	if err := checkSize(size, "the size"); err != nil {
		return nil, err
	}
	if n < 1 {
		return nil, fmt.Errorf("asked for %d pins; ask for at least one", n)
	}
	all, err := Pins()
	if err != nil {
		return nil, err
	}
	type ranked struct {
		Match
		gap *big.Rat // from the limits; 0 inside
	}
	list := make([]ranked, 0, len(all))
	for _, p := range all {
		r := ranked{Match: Match{Pin: p}}
		middle, _ := p.Diameter.Middle()
		half, _ := p.Diameter.HalfWidth()
		if r.Off, err = size.Sub(middle); err != nil {
			return nil, err
		}
		r.gap = new(big.Rat).Sub(r.Off.Abs().Rat(), half.Rat())
		if r.Inside = r.gap.Sign() <= 0; r.Inside {
			r.gap.SetInt64(0)
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b ranked) int {
		if c := a.gap.Cmp(b.gap); c != 0 {
			return c
		}
		return a.Off.Abs().Rat().Cmp(b.Off.Abs().Rat())
	})
	smallest, largest := pinRange(all)
	if size.Rat().Cmp(new(big.Rat).Mul(smallest.Rat(), big.NewRat(9, 10))) < 0 || size.Rat().Cmp(new(big.Rat).Mul(largest.Rat(), big.NewRat(11, 10))) > 0 {
		return nil, fmt.Errorf("a dowel of %s is %w; the tables go from %s to %s", size, ErrNotCarried, smallest, largest)
	}
	out := make([]Match, 0, n)
	for _, r := range list[:min(n, len(list))] {
		out = append(out, r.Match)
	}
	return out, nil
}

// pinRange is the smallest and the largest nominal size.
func pinRange(all []Pin) (smallest, largest quantity.Quantity) {
	smallest, largest = all[0].Nominal, all[0].Nominal
	for _, p := range all[1:] {
		if p.Nominal.Rat().Cmp(smallest.Rat()) < 0 {
			smallest = p.Nominal
		}
		if p.Nominal.Rat().Cmp(largest.Rat()) > 0 {
			largest = p.Nominal
		}
	}
	return smallest, largest
}

// checkSize refuses what cannot be a diameter.
func checkSize(q quantity.Quantity, what string) error {
	switch {
	case q.IsZeroValue():
		return fmt.Errorf("%s is missing; write it like 3/16 in or 6 mm", what)
	case q.Dim() != quantity.Length:
		return fmt.Errorf("%s %s is no length; write it like 3/16 in or 6 mm", what, q)
	case q.Sign() <= 0:
		return fmt.Errorf("%s %s is not possible; a diameter must be above 0", what, q)
	}
	return nil
}
