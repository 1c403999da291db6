// Package limits turns a tolerance class into limits of size.
//
// It answers two standards: the metric classes of ISO 286 (H7, g6, js6) for
// sizes over 0 up to and including 500 mm, and the inch fits of ASME B4.1
// (RC4, LC2, FN1) for sizes over 0 up to and including 1.19 in. A letter code
// alone is not enough: H7 converted to inches is not the H grade 7 of B4.1, so
// the two are separate functions and neither ever answers for the other.
//
// All values are exact rationals. The limits are stored tables, not formulas:
// rounding the published formulas does not give the published tables. What the
// tables here do not carry is refused with an error that says what is carried.
// The folder data holds the tables and a README that names their sources.
package limits

import (
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math/big"
	"strings"
)

var (
	// ErrClass says that a text is not a tolerance class of the standard asked for.
	ErrClass = errors.New("not a tolerance class")
	// ErrNotCarried says that a class or size is real, or may be, but is not in
	// the tables of this package.
	ErrNotCarried = errors.New("not carried here")
)

//go:embed data/*.csv
var dataFiles embed.FS

// readTable returns the header and the rows of one embedded table.
func readTable(name string) (header []string, rows [][]string, err error) {
	f, err := dataFiles.Open("data/" + name)
	if err != nil {
		return nil, nil, fmt.Errorf("limits table %s: %w", name, err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, nil, fmt.Errorf("limits table %s: %w", name, err)
	}
	if len(all) < 2 {
		return nil, nil, fmt.Errorf("limits table %s has no rows", name)
	}
	return all[0], all[1:], nil
}

// sizeStep is a size range "over ... up to and including".
type sizeStep struct{ over, toIncl *big.Rat }

func (s sizeStep) holds(size *big.Rat) bool {
	return size.Cmp(s.over) > 0 && size.Cmp(s.toIncl) <= 0
}

// parseRat reads a decimal of the tables exactly.
func parseRat(text string) (*big.Rat, error) {
	r, ok := new(big.Rat).SetString(strings.TrimSpace(text))
	if !ok {
		return nil, fmt.Errorf("%q is not a number", text)
	}
	return r, nil
}

// show writes a size for a message: as a decimal where it is one, else as a
// fraction.
func show(r *big.Rat) string {
	if digits, exact := r.FloatPrec(); exact {
		return r.FloatString(digits)
	}
	return r.RatString()
}

// checkNominal refuses sizes that no table can answer for.
func checkNominal(nominal *big.Rat, unit string) error {
	if nominal == nil {
		return fmt.Errorf("no nominal size given (in %s)", unit)
	}
	if nominal.Sign() <= 0 {
		return fmt.Errorf("nominal size %s %s: a size with a tolerance class must be above 0", show(nominal), unit)
	}
	return nil
}
