package quantity

import (
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Unit is a unit of measure with an exact scale to the base unit of its
// dimension. The zero Unit is no unit at all: as a default it means that the
// text must name one. A plain number has the unit One.
type Unit struct{ of *measure }

// measure is what a unit is. Units point at it, since every length of a ledger
// carries three of them.
type measure struct {
	name   string
	dim    Dim
	scale  *big.Rat // base units in one of this unit
	offset *big.Rat // added before scaling; only for temperature points
	system system
	places int // decimals worth showing of a computed value; -1: by significant digits
}

// is gives what the unit is; of no unit at all, an empty measure.
func (u Unit) is() *measure {
	if u.of == nil {
		return &noMeasure
	}
	return u.of
}

var noMeasure measure

// system says which family of units a computed product is shown in.
type system int8

const (
	neutral system = iota
	metric
	inch
)

// Units that code needs by name. All others come from LookupUnit.
var (
	One        = Unit{&measure{name: "", dim: Number, scale: rat("1"), places: -1}}
	Millimetre = Unit{&measure{name: "mm", dim: Length, scale: rat("1"), system: metric, places: 5}}
	Inch       = Unit{&measure{name: "in", dim: Length, scale: rat("25.4"), system: inch, places: 6}}
	Degree     = Unit{&measure{name: "deg", dim: Angle, scale: rat("1"), places: 5}}
	Kelvin     = Unit{&measure{name: "K", dim: TemperatureDifference, scale: rat("1"), places: 3}}
)

var (
	second = Unit{&measure{name: "s", dim: Time, scale: rat("1"), places: 3}}
	newton = Unit{&measure{name: "N", dim: Force, scale: rat("1"), system: metric, places: 3}}
	pound  = Unit{&measure{name: "lbf", dim: Force, scale: rat("4.4482216152605"), system: inch, places: 3}}
)

// unitRow is one unit with every spelling that the parser accepts.
type unitRow struct {
	unit  Unit
	names []string
}

// unitRows is the closed list. The first spelling is the one that is shown.
var unitRows = []unitRow{
	{Inch, []string{"in", "inch", "inches", `"`, "″", "”"}},
	{Millimetre, []string{"mm"}},
	{Unit{&measure{name: "cm", dim: Length, scale: rat("10"), system: metric, places: 6}}, []string{"cm"}},
	{Unit{&measure{name: "m", dim: Length, scale: rat("1000"), system: metric, places: 8}}, []string{"m"}},
	{Unit{&measure{name: "um", dim: Length, scale: rat("0.001"), system: metric, places: 2}}, []string{"um", "µm", "μm"}},
	{Unit{&measure{name: "thou", dim: Length, scale: rat("0.0254"), system: inch, places: 3}}, []string{"thou"}},
	{Unit{&measure{name: "tenths", dim: Length, scale: rat("0.00254"), system: inch, places: 2}}, []string{"tenths", "tenth"}},
	{Unit{&measure{name: "uin", dim: Length, scale: rat("0.0000254"), system: inch, places: 1}}, []string{"uin", "µin", "μin", "microinch", "microinches"}},
	{Degree, []string{"deg", "°"}},
	{Unit{&measure{name: "arcmin", dim: Angle, scale: rat("1/60"), places: 3}}, []string{"arcmin"}},
	{Unit{&measure{name: "arcsec", dim: Angle, scale: rat("1/3600"), places: 1}}, []string{"arcsec"}},
	{Unit{&measure{name: "F", dim: TemperatureDifference, scale: rat("5/9"), offset: rat("459.67"), places: 2}}, []string{"F", "°F", "degF"}},
	{Unit{&measure{name: "C", dim: TemperatureDifference, scale: rat("1"), offset: rat("273.15"), places: 2}}, []string{"C", "°C", "degC"}},
	{Kelvin, []string{"K"}},
	{Unit{&measure{name: "dF", dim: TemperatureDifference, scale: rat("5/9"), places: 3}}, []string{"dF"}},
	{Unit{&measure{name: "dC", dim: TemperatureDifference, scale: rat("1"), places: 3}}, []string{"dC"}},
	{second, []string{"s"}},
	{Unit{&measure{name: "min", dim: Time, scale: rat("60"), places: 3}}, []string{"min"}},
	{Unit{&measure{name: "h", dim: Time, scale: rat("3600"), places: 3}}, []string{"h"}},
	{Unit{&measure{name: "days", dim: Time, scale: rat("86400"), places: 3}}, []string{"days", "day"}},
	{Unit{&measure{name: "weeks", dim: Time, scale: rat("604800"), places: 3}}, []string{"weeks", "week"}},
	{newton, []string{"N"}},
	{pound, []string{"lbf", "lb"}},
	{Unit{&measure{name: "ozf", dim: Force, scale: rat("4.4482216152605/16"), system: inch, places: 2}}, []string{"ozf", "oz"}},
	{Unit{&measure{name: "%", dim: Number, scale: rat("1/100"), places: -1}}, []string{"%"}},
	{Unit{&measure{name: "ppm", dim: Number, scale: rat("1/1000000"), places: -1}}, []string{"ppm"}},
	{Unit{&measure{name: "parts", dim: Number, scale: rat("1"), places: 0}}, []string{"parts", "part", "pcs", "pc"}},
}

// unitsByName is the index of unitRows by spelling.
var unitsByName = indexUnits()

func indexUnits() map[string]Unit {
	m := make(map[string]Unit)
	for _, row := range unitRows {
		for _, n := range row.names {
			m[n] = row.unit
		}
	}
	return m
}

// rat reads a constant of this file: a decimal or a quotient of decimals.
func rat(s string) *big.Rat {
	num, den, quotient := strings.Cut(s, "/")
	r, ok := new(big.Rat).SetString(num)
	if !ok {
		return nil
	}
	if quotient {
		d, ok := new(big.Rat).SetString(den)
		if !ok || d.Sign() == 0 {
			return nil
		}
		r.Quo(r, d)
	}
	return r
}

// LookupUnit finds a unit by one of its spellings: in, inch, ", mm, cm, m, um,
// thou, tenths, uin, deg, °, arcmin, arcsec, F, C, K, dF, dC, s, min, h, days,
// weeks, N, lbf, ozf, %, ppm, parts. Units may be combined with *, · and /, and
// raised to a power with ^2, ² or ³: in/min, N/mm², uin/in/F. Inside a
// combination F and C mean degrees of difference. Months and years have no
// fixed length and are no units; see ParseInterval.
func LookupUnit(name string) (Unit, bool) {
	if u, ok := unitsByName[name]; ok {
		return u, true
	}
	return combinedUnit(name)
}

// maxUnitText bounds the text of a combined unit.
const maxUnitText = 60

// combinedUnit reads factor {("*"|"·"|"/") factor}, optionally starting with
// "1/" or "/".
func combinedUnit(name string) (Unit, bool) {
	if len(name) > maxUnitText || !strings.ContainsAny(name, "/*·^²³") {
		return Unit{}, false
	}
	rest, below := name, false
	if r, ok := strings.CutPrefix(rest, "1/"); ok {
		rest, below = r, true
	} else if r, ok := strings.CutPrefix(rest, "/"); ok {
		rest, below = r, true
	}
	out := &measure{scale: rat("1"), places: -1}
	shown := ""
	if below {
		shown = "1"
	}
	for {
		factor, op := rest, ""
		if i := strings.IndexAny(rest, "/*·"); i >= 0 {
			_, size := utf8.DecodeRuneInString(rest[i:])
			factor, op, rest = rest[:i], rest[i:i+size], rest[i+size:]
		}
		base, n, ok := unitPower(factor)
		if !ok {
			return Unit{}, false
		}
		for range n {
			if below {
				out.scale.Quo(out.scale, base.is().scale)
				out.dim = out.dim.Over(base.is().dim)
			} else {
				out.scale.Mul(out.scale, base.is().scale)
				out.dim = out.dim.Times(base.is().dim)
			}
		}
		if out.system == neutral {
			out.system = base.is().system
		}
		switch {
		case below:
			shown += "/"
		case shown != "":
			shown += "·"
		}
		shown += power(base.is().name, n)
		if op == "" {
			break
		}
		below = op == "/"
	}
	out.name = shown
	return Unit{out}, true
}

// unitPower reads one factor of a combined unit: a name and an exponent 1..9.
func unitPower(s string) (Unit, int, bool) {
	n := 1
	switch {
	case strings.HasSuffix(s, "²"):
		s, n = strings.TrimSuffix(s, "²"), 2
	case strings.HasSuffix(s, "³"):
		s, n = strings.TrimSuffix(s, "³"), 3
	default:
		if b, e, ok := strings.Cut(s, "^"); ok {
			if len(e) != 1 || e[0] < '2' || e[0] > '9' {
				return Unit{}, 0, false
			}
			s, n = b, int(e[0]-'0')
		}
	}
	u, ok := unitsByName[s]
	return u.Difference(), n, ok
}

// power writes a unit name with its exponent.
func power(name string, n int) string {
	switch n {
	case 1:
		return name
	case 2:
		return name + "²"
	case 3:
		return name + "³"
	}
	return name + "^" + strconv.Itoa(n)
}

// baseUnit is the unit that a computed value of the dimension is shown in:
// inches and pounds-force in the inch system, otherwise millimetres and newtons;
// degrees, kelvins and seconds in both.
func baseUnit(d Dim, s system) Unit {
	bases := [5]Unit{Millimetre, Degree, Kelvin, second, newton}
	if s == inch {
		bases[0], bases[4] = Inch, pound
	}
	if d == Number {
		return One
	}
	if i := slices.Index([]Dim{Length, Angle, TemperatureDifference, Time, Force}, d); i >= 0 {
		return bases[i]
	}
	u := &measure{dim: d, scale: rat("1"), system: s, places: -1}
	var names [5]string
	for i, b := range bases {
		names[i] = b.of.name
		for range max(d[i], -d[i]) {
			if d[i] > 0 {
				u.scale.Mul(u.scale, b.of.scale)
			} else {
				u.scale.Quo(u.scale, b.of.scale)
			}
		}
	}
	u.name = joinFactors(d, names, power)
	return Unit{u}
}

// BaseUnit is the base unit of a dimension: mm, deg, K, s, N and their
// products.
func BaseUnit(d Dim) Unit { return baseUnit(d, metric) }

// SquareRoot is the unit in which the square root of a value in u is shown: in
// for in², mm for mm². It is false when an exponent is odd or u is a temperature.
func (u Unit) SquareRoot() (Unit, bool) {
	if u.IsZero() || u.Point() {
		return Unit{}, false
	}
	var d Dim
	for i, n := range u.is().dim {
		if n%2 != 0 {
			return Unit{}, false
		}
		d[i] = n / 2
	}
	return baseUnit(d, u.is().system), true
}

// Name is the spelling that is shown; empty for a plain number.
func (u Unit) Name() string { return u.is().name }

// Dim is the dimension of the unit.
func (u Unit) Dim() Dim { return u.is().dim }

// System names the family that the unit belongs to: "inch", "metric", or
// nothing for a unit that both share, such as degrees, seconds and plain
// numbers. A combined unit belongs to the family of its first factor that has
// one.
func (u Unit) System() string {
	switch u.is().system {
	case inch:
		return "inch"
	case metric:
		return "metric"
	}
	return ""
}

// Point reports whether the unit states a temperature and not a difference of
// temperatures: 68 F is a point, 5 dF a difference.
func (u Unit) Point() bool { return u.is().offset != nil }

// IsZero reports whether u is no unit at all. One is not zero.
func (u Unit) IsZero() bool { return u.of == nil }

// Same reports whether both units measure alike: same dimension, scale and
// zero.
func (u Unit) Same(o Unit) bool {
	if u.IsZero() || o.IsZero() || u.Point() != o.Point() {
		return u.IsZero() && o.IsZero()
	}
	return u.is().dim == o.is().dim && u.is().scale.Cmp(o.is().scale) == 0 && (!u.Point() || u.is().offset.Cmp(o.is().offset) == 0)
}

// Difference is the unit of differences between values in u: dF for F, dC for
// C, and u itself for every other unit.
func (u Unit) Difference() Unit {
	switch {
	case !u.Point():
		return u
	case u.is().name == "F":
		return unitsByName["dF"]
	}
	return unitsByName["dC"]
}

// kind is the dimension in words, with temperatures set apart from their
// differences.
func (u Unit) kind() string {
	if u.Point() {
		return "temperature"
	}
	return u.is().dim.String()
}

// toBase converts a value in u to the base unit.
func (u Unit) toBase(v *big.Rat) *big.Rat {
	r := new(big.Rat).Set(v)
	if u.Point() {
		r.Add(r, u.is().offset)
	}
	return r.Mul(r, u.is().scale)
}

// fromBase converts a value in the base unit to u.
func (u Unit) fromBase(v *big.Rat) *big.Rat {
	r := new(big.Rat).Quo(v, u.is().scale)
	if u.Point() {
		r.Sub(r, u.is().offset)
	}
	return r
}

// unitNames lists the spellings shown for one kind of unit, for error messages.
// With the zero Unit it lists the lengths and says that there are others.
func unitNames(def Unit) string {
	var names []string
	for _, row := range unitRows {
		if def.IsZero() || def.is().dim == Number || row.unit.is().dim == def.is().dim {
			names = append(names, row.unit.is().name)
		}
	}
	return strings.Join(names, ", ")
}
