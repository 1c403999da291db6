package limits

import (
	"fmt"
	"math/big"
	"strings"
	"sync"
)

// Member says which of the two mating parts a B4.1 fit is asked for.
type Member int

const (
	// Hole is the internal member of a fit.
	Hole Member = iota + 1
	// Shaft is the external member of a fit.
	Shaft
)

// String returns the trade's word: "hole" or "shaft".
func (m Member) String() string {
	switch m {
	case Hole:
		return "hole"
	case Shaft:
		return "shaft"
	}
	return fmt.Sprintf("member %d", int(m))
}

const (
	b41Classes = "RC1 to RC9 (running and sliding), LC1 to LC11 (locational clearance), LT1 to LT6 (locational transition), " +
		"LN1 to LN3 (locational interference) and FN1 to FN5 (force)"
	b41Covered = "carried: " + b41Classes + ", sizes over 0 up to and including 1.19 in"
)

// ANSIB41 returns the lower and upper limit deviation, in inches, of one member
// of an ASME B4.1 fit at a nominal size in inches. The limits of size are
// nominal + lower and nominal + upper.
//
// Source: ASME B4.1 fit tables, in thousandths of an inch, as
// reprinted in handbooks; data/README.md names them and marks LC1 to LC5, which
// are built from their hole and shaft grades. Size steps are "over ... up to
// and including"; FN has finer steps than the others. The fit tables do not
// follow the B4.1 grade table in the smallest step, so they are stored whole.
//
// Errors: ErrClass for a text that is no class or a member that is neither;
// ErrNotCarried for sizes outside the tables and for the cells that the
// standard leaves blank (LT3 and LT4 up to 0.24 in, FN3 up to 0.95 in).
func ANSIB41(nominalIn *big.Rat, class string, member Member) (lower, upper *big.Rat, err error) {
	if err := checkNominal(nominalIn, "in"); err != nil {
		return nil, nil, fmt.Errorf("ASME B4.1 %q: %w", class, err)
	}
	if member != Hole && member != Shaft {
		return nil, nil, fmt.Errorf("ASME B4.1 %q: %s is neither hole nor shaft: %w", class, member, ErrClass)
	}
	rows, err := b41Rows()
	if err != nil {
		return nil, nil, err
	}
	name := strings.ToUpper(class)
	var last *big.Rat // the end of the size range of this class
	first := new(big.Rat)
	for _, row := range rows {
		if row.class != name {
			continue
		}
		if last == nil {
			first = row.over
		}
		last = row.toIncl
		if !row.holds(nominalIn) {
			continue
		}
		if member == Hole {
			return thou(row.holeLower), thou(row.holeUpper), nil
		}
		return thou(row.shaftLower), thou(row.shaftUpper), nil
	}
	if last == nil {
		return nil, nil, fmt.Errorf("%q is %w of ASME B4.1: classes %s", class, ErrClass, b41Classes)
	}
	if nominalIn.Cmp(first) <= 0 {
		return nil, nil, fmt.Errorf("ASME B4.1 %s at %s in: size %w: the standard leaves %s blank up to %s in", class, show(nominalIn), ErrNotCarried, name, show(first))
	}
	return nil, nil, fmt.Errorf("ASME B4.1 %s at %s in: size %w: %s", class, show(nominalIn), ErrNotCarried, b41Covered)
}

// b41Row is one line of the fit tables, in thousandths of an inch.
type b41Row struct {
	class string
	sizeStep
	clearanceMin, clearanceMax *big.Rat
	holeUpper, holeLower       *big.Rat
	shaftUpper, shaftLower     *big.Rat
}

// b41Rows reads the embedded table once; nothing writes to it afterwards.
var b41Rows = sync.OnceValues(func() ([]b41Row, error) {
	const name = "ansi_b4_1_limits.csv"
	header, cells, err := readTable(name)
	if err != nil {
		return nil, err
	}
	column := make(map[string]int, len(header))
	for i, h := range header {
		column[h] = i
	}
	out := make([]b41Row, 0, len(cells))
	for i, c := range cells {
		row := b41Row{class: c[column["class"]]}
		over, to, ok := strings.Cut(c[column["nominal_in"]], "-")
		if !ok {
			return nil, fmt.Errorf("limits table %s, row %d: size range %q", name, i+1, c[column["nominal_in"]])
		}
		for _, v := range []struct {
			into **big.Rat
			text string
		}{
			{&row.over, over}, {&row.toIncl, to},
			{&row.clearanceMin, c[column["clearance_min_thou"]]}, {&row.clearanceMax, c[column["clearance_max_thou"]]},
			{&row.holeUpper, c[column["hole_upper_thou"]]}, {&row.holeLower, c[column["hole_lower_thou"]]},
			{&row.shaftUpper, c[column["shaft_upper_thou"]]}, {&row.shaftLower, c[column["shaft_lower_thou"]]},
		} {
			if *v.into, err = parseRat(v.text); err != nil {
				return nil, fmt.Errorf("limits table %s, row %d: %w", name, i+1, err)
			}
		}
		out = append(out, row)
	}
	return out, nil
})

// thou converts thousandths of an inch to inches, into a fresh value.
func thou(v *big.Rat) *big.Rat { return new(big.Rat).Mul(v, big.NewRat(1, 1000)) }
