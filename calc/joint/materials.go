package joint

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"tenths/calc/quantity"
)

//go:embed data/*.csv
var tables embed.FS

// Standing says how far a value can be relied on.
type Standing string

const (
	Seen           Standing = "seen"            // read in the source named
	CommonPractice Standing = "common practice" // what shops use
	FromMemory     Standing = "from memory"     // no source at hand: check before use
)

// Value is what one source says: Low and High are equal for a single value.
type Value struct {
	Low, High quantity.Quantity
	Source    string
	Standing  Standing
}

// Material is everything the table holds of one material, near room temperature.
// Each source has its own Value; where they differ none is chosen. See Range.
type Material struct {
	Name      string
	Expansion []Value // ppm/K
	Modulus   []Value // modulus of elasticity, N/mm²
	Poisson   []Value // plain numbers
}

// Range is the lowest and the highest of the values that were seen, and whether
// they differ. Where none was seen it takes common practice, and only then what
// is from memory; standing says which. No values give zero Quantities.
func Range(values []Value) (low, high quantity.Quantity, differ bool, standing Standing) {
	for _, standing := range []Standing{Seen, CommonPractice, FromMemory} {
		for _, v := range values {
			if v.Standing != standing {
				continue
			}
			if low.IsZeroValue() || v.Low.Rat().Cmp(low.Rat()) < 0 {
				low = v.Low
			}
			if high.IsZeroValue() || v.High.Rat().Cmp(high.Rat()) > 0 {
				high = v.High
			}
		}
		if !low.IsZeroValue() {
			return low, high, low.Rat().Cmp(high.Rat()) < 0, standing
		}
	}
	return quantity.Quantity{}, quantity.Quantity{}, false, ""
}

// Materials is the table of materials in the order of the file. The folder data
// holds it with a README that names the sources.
func Materials() ([]Material, error) {
	rows, err := readTable("materials.csv", 6)
	if err != nil {
		return nil, err
	}
	ppm, _ := quantity.LookupUnit("ppm/K")
	gpa := big.NewRat(1000, 1) // N/mm² in a GPa
	mpa, _ := quantity.LookupUnit("N/mm²")
	var out []Material
	for i, r := range rows {
		at := slices.IndexFunc(out, func(m Material) bool { return m.Name == r[0] })
		if at < 0 {
			at = len(out)
			out = append(out, Material{Name: r[0]})
		}
		m := &out[at]
		into, u, scale := &m.Expansion, ppm, big.NewRat(1, 1)
		switch r[1] {
		case "expansion":
		case "modulus":
			into, u, scale = &m.Modulus, mpa, gpa
		case "poisson":
			into, u = &m.Poisson, quantity.One
		default:
			return nil, fmt.Errorf("materials.csv, row %d: property %q is none of expansion, modulus, poisson", i+2, r[1])
		}
		v, err := value(r[2:6], u, scale)
		if err != nil {
			return nil, fmt.Errorf("materials.csv, row %d: %w", i+2, err)
		}
		*into = append(*into, v)
	}
	return out, nil
}

// FindMaterial is the material of that name, without regard to capitals. The
// error lists the names of the table.
func FindMaterial(name string) (Material, error) {
	all, err := Materials()
	if err != nil {
		return Material{}, err
	}
	var names []string
	for _, m := range all {
		if strings.EqualFold(m.Name, strings.TrimSpace(name)) {
			return m, nil
		}
		names = append(names, m.Name)
	}
	return Material{}, fmt.Errorf("no values for material %q; type one of %s, or the values themselves", name, strings.Join(names, ", "))
}

// Friction is the coefficient of friction of one kind of joint by one source.
type Friction struct {
	Joint string
	Value Value
}

// Frictions is the table of coefficients of friction. Sources contradict each
// other by a factor of two and more; all are returned.
func Frictions() ([]Friction, error) {
	rows, err := readTable("friction.csv", 5)
	if err != nil {
		return nil, err
	}
	var out []Friction
	for i, r := range rows {
		v, err := value(r[1:5], quantity.One, big.NewRat(1, 1))
		if err != nil {
			return nil, fmt.Errorf("friction.csv, row %d: %w", i+2, err)
		}
		out = append(out, Friction{Joint: r[0], Value: v})
	}
	return out, nil
}

// value reads low, high, source and standing.
func value(r []string, u quantity.Unit, scale *big.Rat) (Value, error) {
	v := Value{Source: r[2], Standing: Standing(r[3])}
	if !slices.Contains([]Standing{Seen, CommonPractice, FromMemory}, v.Standing) {
		return Value{}, fmt.Errorf("standing %q is none of %s, %s, %s", r[3], Seen, CommonPractice, FromMemory)
	}
	if v.Source == "" {
		return Value{}, fmt.Errorf("no source")
	}
	for i, into := range []*quantity.Quantity{&v.Low, &v.High} {
		n, ok := new(big.Rat).SetString(r[i])
		if !ok || n.Sign() <= 0 {
			return Value{}, fmt.Errorf("%q is not a number above 0", r[i])
		}
		*into = quantity.New(n.Mul(n, scale), u)
	}
	if v.Low.Rat().Cmp(v.High.Rat()) > 0 {
		return Value{}, fmt.Errorf("low %s is above high %s", r[0], r[1])
	}
	return v, nil
}

// readTable returns the rows below the header of an embedded table.
func readTable(name string, columns int) ([][]string, error) {
	f, err := tables.Open("data/" + name)
	if err != nil {
		return nil, fmt.Errorf("table %s: %w", name, err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = columns
	all, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("table %s: %w", name, err)
	}
	if len(all) < 2 {
		return nil, fmt.Errorf("table %s has no rows", name)
	}
	return all[1:], nil
}
