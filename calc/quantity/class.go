package quantity

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"

	"tenths/calc/limits"
)

// class is the tolerance class that stands here, letters and then digits with
// no space between (H7, js6, RC4); it is not consumed.
func (s *scanner) class() string {
	s.skipSpace()
	i := 0
	for unicode.IsLetter(s.at(i)) {
		i++
	}
	letters := i
	for isDigit(s.at(i)) {
		i++
	}
	if letters == 0 || i == letters {
		return ""
	}
	return string(s.rs[s.pos : s.pos+i])
}

// fitted resolves a class after a nominal: one word is ISO 286, a class with
// hole or shaft is ASME B4.1.
func (s *scanner) fitted(n number, unit Unit, class string) (Toleranced, error) {
	pos := s.pos
	if letters := strings.TrimRight(class, "0123456789"); len(letters) > 1 {
		if _, ok := LookupUnit(letters); ok {
			return Toleranced{}, s.fail(pos, quote(class)+" is no known unit", fmt.Sprintf("a power is written %s² or %s^2", letters, letters))
		}
	}
	s.pos += len([]rune(class))
	if unit.IsZero() {
		return Toleranced{}, s.fail(pos, "the unit of the nominal is missing", unitWant(Millimetre))
	}
	if unit.is().dim != Length {
		return Toleranced{}, s.fail(pos, fmt.Sprintf("a tolerance class belongs to a length, not to %s", article(unit.kind())), "")
	}
	member, ok := s.member()
	t := Toleranced{Nominal: n.in(unit), Class: class, Form: Class}
	var lower, upper *big.Rat
	var err error
	var devUnit Unit
	switch {
	case ok && unit.is().system != inch:
		return Toleranced{}, s.fail(pos, class+" is an inch fit and the nominal is metric", "write the nominal in inches, or an ISO class such as H7")
	case ok:
		t.Class, devUnit = class+" "+member.String(), Inch
		lower, upper, err = limits.ANSIB41(new(big.Rat).Quo(t.Nominal.value, Inch.is().scale), class, member)
	case isInchFit(class):
		return Toleranced{}, s.fail(pos, class+" names a fit of two parts", "write "+class+" hole or "+class+" shaft")
	case unit.is().system == inch:
		return Toleranced{}, s.fail(pos, class+" is a metric class and the nominal is in inches",
			"write the nominal in mm, or an inch fit such as RC4 hole; the two systems do not give the same limits")
	default:
		devUnit = Millimetre
		lower, upper, err = limits.ISO286(t.Nominal.Rat(), class)
	}
	if err != nil {
		return Toleranced{}, s.fail(pos, err.Error(), "")
	}
	t.off = &deviations{New(lower, devUnit), New(upper, devUnit)}
	if t.Lower, err = t.Nominal.Add(t.off.low); err == nil {
		t.Upper, err = t.Nominal.Add(t.off.high)
	}
	if err != nil {
		return Toleranced{}, s.fail(pos, err.Error(), "")
	}
	return t.aligned(), nil
}

// member reads hole or shaft.
func (s *scanner) member() (limits.Member, bool) {
	s.skipSpace()
	switch w := s.word(); w {
	case "hole":
		s.pos += len(w)
		return limits.Hole, true
	case "shaft":
		s.pos += len(w)
		return limits.Shaft, true
	}
	return 0, false
}

// isInchFit reports whether the class has the letters of an ASME B4.1 fit.
func isInchFit(class string) bool {
	if len(class) < 3 {
		return false
	}
	switch class[:2] {
	case "RC", "LC", "LT", "LN", "FN":
		return true
	}
	return false
}
