package limits

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"sync"
)

const (
	isoCovered = "carried: holes D E F G H JS K M N P R S and shafts d e f g h js k m n p r s, grades 01, 0 and 1 to 18, " +
		"sizes over 0 up to and including 500 mm; c and C only over 30 up to and including 40 mm"
	fine = 3 // the finest grade for which the delta of a hole is tabulated
)

// ISO286 returns the lower and upper limit deviation, in millimetres, of a
// tolerance class at a nominal size in millimetres: EI and ES for a hole
// (capital letters, "H7"), ei and es for a shaft (small letters, "g6"). The
// limits of size are nominal + lower and nominal + upper.
//
// Source: ISO 286-1, standard tolerances (Table 1), fundamental deviations of
// shafts and holes, and the delta rule for holes K, M, N up to IT8 and P to S
// up to IT7. Size steps are "over ... up to and including": 10 mm is in the step
// 6 to 10. M6 over 250 up to 315 mm is the exception of the table (ES = -9 um).
// Grades 14 to 18 are not for sizes up to and including 1 mm.
//
// js and JS are exactly half the tolerance on each side. The 1988 text allows
// an odd tolerance of grades 7 to 11 to be made even first, so printed tables
// differ here by half a micrometre (25 JS7: 10.5 or 10 um).
//
// Errors: ErrClass for a text that is no class; ErrNotCarried for a class or
// size outside the tables (j, J, a, b, t to zc, holes of the delta rule finer
// than grade 3, K coarser than grade 8), with what is carried.
func ISO286(nominalMM *big.Rat, class string) (lower, upper *big.Rat, err error) {
	if err := checkNominal(nominalMM, "mm"); err != nil {
		return nil, nil, fmt.Errorf("ISO 286 %q: %w", class, err)
	}
	c, err := parseISOClass(class)
	if err != nil {
		return nil, nil, err
	}
	tables, err := isoTables()
	if err != nil {
		return nil, nil, err
	}
	lo, up, err := tables.deviations(nominalMM, c)
	if err != nil {
		return nil, nil, fmt.Errorf("ISO 286 %s at %s mm: %w", class, show(nominalMM), err)
	}
	um := big.NewRat(1, 1000)
	return lo.Mul(lo, um), up.Mul(up, um), nil
}

type isoClass struct {
	letter string // small letters, for holes too
	hole   bool
	grade  string // as in the table header: "01", "0", "1" ... "18"
	number int    // the grade as a number; -1 for 01
}

func parseISOClass(class string) (isoClass, error) {
	bad := func(why string) (isoClass, error) {
		return isoClass{}, fmt.Errorf("%q is %w of ISO 286: %s; write a hole in capitals (H7) and a shaft in small letters (g6)", class, ErrClass, why)
	}
	split := strings.IndexFunc(class, func(r rune) bool { return r >= '0' && r <= '9' })
	switch split {
	case -1:
		return bad("the grade is missing")
	case 0:
		return bad("the letter is missing")
	}
	letters, grade := class[:split], class[split:]
	for _, r := range letters {
		if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') {
			return bad("only letters may stand before the grade")
		}
	}
	c := isoClass{letter: strings.ToLower(letters), grade: grade}
	switch letters {
	case c.letter:
	case strings.ToUpper(letters):
		c.hole = true
	default:
		return bad("capitals and small letters are mixed")
	}
	if !isoLetter(c.letter) {
		return bad("there is no such letter")
	}
	if grade == "01" {
		c.number = -1
		return c, nil
	}
	n, err := strconv.Atoi(grade)
	if err != nil || n > 18 || strconv.Itoa(n) != grade {
		return bad("the grade must be 01, 0 or 1 to 18")
	}
	c.number = n
	return c, nil
}

// isoLetter tells whether ISO 286-1 has a fundamental deviation of this name.
// i, l, o, q and w are left out by the standard.
func isoLetter(small string) bool {
	switch small {
	case "cd", "ef", "fg", "js", "za", "zb", "zc":
		return true
	}
	return len(small) == 1 && strings.Contains("abcdefghjkmnprstuvxyz", small)
}

type isoRow struct {
	sizeStep
	values map[string]*big.Rat // micrometres by column
}

type isoData struct{ tolerance, shaft, delta []isoRow }

// isoTables reads the embedded tables once; nothing writes to them afterwards.
var isoTables = sync.OnceValues(func() (*isoData, error) {
	var d isoData
	for _, t := range []struct {
		name string
		rows *[]isoRow
	}{{"iso286_it.csv", &d.tolerance}, {"iso286_fd_shaft.csv", &d.shaft}, {"iso286_delta.csv", &d.delta}} {
		header, rows, err := readTable(t.name)
		if err != nil {
			return nil, err
		}
		for i, cells := range rows {
			row := isoRow{values: make(map[string]*big.Rat)}
			for j, cell := range cells {
				v, err := parseRat(cell)
				if err != nil {
					return nil, fmt.Errorf("limits table %s, row %d, %s: %w", t.name, i+1, header[j], err)
				}
				switch j {
				case 0:
					row.over = v
				case 1:
					row.toIncl = v
				default:
					row.values[header[j]] = v
				}
			}
			*t.rows = append(*t.rows, row)
		}
	}
	return &d, nil
})

// cell returns a fresh copy of a tabulated value in micrometres.
func cell(rows []isoRow, size *big.Rat, column string) (*big.Rat, error) {
	for _, row := range rows {
		if row.holds(size) {
			if v, ok := row.values[column]; ok {
				return new(big.Rat).Set(v), nil
			}
			return nil, fmt.Errorf("%w: %s", ErrNotCarried, isoCovered)
		}
	}
	return nil, fmt.Errorf("size %w: %s", ErrNotCarried, isoCovered)
}

// deviations returns lower and upper deviation in micrometres.
func (d *isoData) deviations(size *big.Rat, c isoClass) (lower, upper *big.Rat, err error) {
	if c.number >= 14 && size.Cmp(big.NewRat(1, 1)) <= 0 {
		return nil, nil, fmt.Errorf("%w: ISO 286 gives no grades 14 to 18 for sizes up to and including 1 mm", ErrNotCarried)
	}
	it, err := cell(d.tolerance, size, "IT"+c.grade)
	if err != nil {
		return nil, nil, err
	}
	if c.letter == "js" {
		half := new(big.Rat).Quo(it, big.NewRat(2, 1))
		return new(big.Rat).Neg(half), half, nil
	}
	shaft, side, err := d.shaftDeviation(size, c)
	if err != nil {
		return nil, nil, err
	}
	fundamental := shaft
	if c.hole {
		fundamental, err = d.holeDeviation(size, c, shaft, side)
		if err != nil {
			return nil, nil, err
		}
		side = -side
	}
	if side < 0 { // the fundamental deviation is the upper one, the zone lies below it
		return new(big.Rat).Sub(fundamental, it), fundamental, nil
	}
	return fundamental, new(big.Rat).Add(fundamental, it), nil
}

// shaftDeviation returns the tabulated fundamental deviation of the shaft with
// the letter of c, and its side: -1 where it is the upper deviation (c to h),
// +1 where it is the lower one (k to s).
func (d *isoData) shaftDeviation(size *big.Rat, c isoClass) (*big.Rat, int, error) {
	switch c.letter {
	case "c":
		// One step only: the published example 34 H11/c11 (data/README.md).
		if size.Cmp(big.NewRat(30, 1)) > 0 && size.Cmp(big.NewRat(40, 1)) <= 0 {
			return big.NewRat(-120, 1), -1, nil
		}
	case "d", "e", "f", "g", "h":
		v, err := cell(d.shaft, size, c.letter+"_es")
		return v, -1, err
	case "k":
		if !c.hole && (c.number < 4 || c.number > 7) {
			return new(big.Rat), 1, nil // the tabulated value is for IT4 to IT7
		}
		v, err := cell(d.shaft, size, "k_ei_IT4to7")
		return v, 1, err
	case "m", "n", "p", "r", "s":
		v, err := cell(d.shaft, size, c.letter+"_ei")
		return v, 1, err
	}
	return nil, 0, fmt.Errorf("%w: %s", ErrNotCarried, isoCovered)
}

// holeDeviation applies the rules of ISO 286-1 that make a hole of a shaft:
// the mirror for C to H, and the mirror plus delta for K to S in the finer
// grades.
func (d *isoData) holeDeviation(size *big.Rat, c isoClass, shaft *big.Rat, side int) (*big.Rat, error) {
	mirror := new(big.Rat).Neg(shaft)
	if side < 0 {
		return mirror, nil
	}
	coarsest := 7 // P, R, S
	switch c.letter {
	case "k", "m", "n":
		coarsest = 8
	}
	if c.number > coarsest {
		switch c.letter {
		case "k":
			return nil, fmt.Errorf("%w: hole K is carried in grades 3 to 8", ErrNotCarried)
		case "n":
			// N9 and coarser: -4 up to 3 mm (the mirror of n), 0 above.
			if size.Cmp(big.NewRat(3, 1)) > 0 {
				return new(big.Rat), nil
			}
		}
		return mirror, nil
	}
	if c.number < fine {
		return nil, fmt.Errorf("%w: holes K, M, N, P, R and S are carried from grade 3", ErrNotCarried)
	}
	if c.letter == "m" && c.number == 6 && size.Cmp(big.NewRat(250, 1)) > 0 && size.Cmp(big.NewRat(315, 1)) <= 0 {
		return big.NewRat(-9, 1), nil // the table's own exception to the rule, which gives -11
	}
	delta, err := cell(d.delta, size, "delta_IT"+c.grade)
	if err != nil {
		return nil, err
	}
	return mirror.Add(mirror, delta), nil
}
