package gauge

import (
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"sync"

	"tenths/calc/quantity"
)

// ErrNotCarried says that a size is not in the class tables.
var ErrNotCarried = errors.New("not carried here")

// Class is a gauge-maker's tolerance class of ASME B89.1.5.
type Class string

// The classes, finest first.
const (
	XXX Class = "XXX"
	XX  Class = "XX"
	X   Class = "X"
	Y   Class = "Y"
	Z   Class = "Z"
	ZZ  Class = "ZZ"
)

// Classes lists the classes, finest first.
func Classes() []Class { return []Class{XXX, XX, X, Y, Z, ZZ} }

// ParseClass reads the name of a class, in capitals or small letters.
func ParseClass(text string) (Class, error) {
	c := Class(strings.ToUpper(strings.TrimSpace(text)))
	if !slices.Contains(Classes(), c) {
		return "", fmt.Errorf("%q is no gauge-maker's class; the classes are XXX, XX, X, Y, Z and ZZ, from fine to coarse", cut(text))
	}
	return c, nil
}

// cut shortens a text from outside for a message.
func cut(s string) string {
	if rs := []rune(s); len(rs) > 40 {
		return string(rs[:40]) + "..."
	}
	return s
}

// Sign says to which side of its marked size a gauge may be made.
type Sign int

const (
	Plus   Sign = iota // marked size to marked size + tolerance: GO plugs
	Minus              // marked size - tolerance to marked size: NOT GO plugs
	Master             // half the tolerance to each side: masters and setting discs
)

// String names the sign.
func (s Sign) String() string {
	switch s {
	case Plus:
		return "plus"
	case Minus:
		return "minus"
	case Master:
		return "master"
	}
	return fmt.Sprintf("unknown sign %d", int(s))
}

//go:embed data/*.csv
var dataFiles embed.FS

// step is one size range "over ... up to and including", with its tolerances.
type step struct {
	over, toIncl quantity.Quantity
	tolerance    map[Class]quantity.Quantity
}

// tables are the class tables in inches and in millimetres, read once; nothing
// writes to them afterwards.
var tables = sync.OnceValues(func() (map[string][]step, error) {
	out := make(map[string][]step)
	for _, t := range []struct {
		file, system string
		unit         quantity.Unit
	}{{"asme_b89_1_5_inch.csv", "inch", quantity.Inch}, {"asme_b89_1_5_mm.csv", "metric", quantity.Millimetre}} {
		f, err := dataFiles.Open("data/" + t.file)
		if err != nil {
			return nil, fmt.Errorf("gauge table %s: %w", t.file, err)
		}
		all, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			return nil, fmt.Errorf("gauge table %s: %w", t.file, err)
		}
		for i, cells := range all[1:] {
			row := step{tolerance: make(map[Class]quantity.Quantity)}
			for j, cell := range cells {
				q, err := quantity.Parse(cell, t.unit)
				if err != nil {
					return nil, fmt.Errorf("gauge table %s, row %d: %w", t.file, i+1, err)
				}
				switch j {
				case 0:
					row.over = q
				case 1:
					row.toIncl = q
				default:
					row.tolerance[Class(all[0][j])] = q
				}
			}
			out[t.system] = append(out[t.system], row)
		}
	}
	return out, nil
})

// Tolerance is how far the size of a gauge of this class may be off, by its
// marked size: the inch table for a size in inches, the metric table for a size
// in millimetres. The metric table is the inch table rounded to 0.00001 mm, so
// the two differ by up to 0.000005 mm; a gauge is made to the table of its own
// marking.
//
// Source: ASME B89.1.5, plug members; ring gauges are bought to the same classes
// (B89.1.6). Sizes over 0.010 in up to and including 12.010 in, over 0.254 mm up
// to and including 305.05 mm; data/README.md has the sources. Errors: no class,
// no length, not above 0, ErrNotCarried.
func (c Class) Tolerance(size quantity.Quantity) (quantity.Quantity, error) {
	if _, err := ParseClass(string(c)); err != nil {
		return quantity.Quantity{}, err
	}
	if err := needLength(size, "the gauge size", "0.1875 in or 4.000 mm"); err != nil {
		return quantity.Quantity{}, err
	}
	if size.Sign() <= 0 {
		return quantity.Quantity{}, fmt.Errorf("the gauge size %s is not possible; a size must be above 0", size)
	}
	all, err := tables()
	if err != nil {
		return quantity.Quantity{}, err
	}
	steps := all["metric"]
	if size.Unit().System() == "inch" {
		steps = all["inch"]
	}
	v := size.Rat()
	for _, s := range steps {
		if v.Cmp(s.over.Rat()) > 0 && v.Cmp(s.toIncl.Rat()) <= 0 {
			return s.tolerance[c].As(size.Unit())
		}
	}
	return quantity.Quantity{}, fmt.Errorf("class %s at %s: size %w; the tables of ASME B89.1.5 hold sizes over %s up to and including %s",
		c, size, ErrNotCarried, steps[0].over, steps[len(steps)-1].toIncl)
}

// Gauge is the range that the true size of one gauge of this class lies in, by
// its marked size: a plus pin 0.2500 of class ZZ is 0.2500 to 0.2502, a minus
// pin 0.2498 to 0.2500 (ASME B89.1.5; common practice for pin sets).
//
// Errors: as Tolerance; a sign that is none.
func (c Class) Gauge(marked quantity.Quantity, sign Sign) (quantity.Toleranced, error) {
	t, err := c.Tolerance(marked)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	below, above := new(big.Rat), new(big.Rat)
	switch sign {
	case Plus:
		above.SetInt64(1)
	case Minus:
		below.SetInt64(1)
	case Master:
		below.SetFrac64(1, 2)
		above.SetFrac64(1, 2)
	default:
		return quantity.Toleranced{}, fmt.Errorf("%s: a gauge is made plus, minus or as a master", sign)
	}
	lower, err := marked.Sub(t.Scale(below))
	if err != nil {
		return quantity.Toleranced{}, err
	}
	upper, err := marked.Add(t.Scale(above))
	if err != nil {
		return quantity.Toleranced{}, err
	}
	return between(marked, lower, upper)
}
