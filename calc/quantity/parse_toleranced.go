package quantity

import (
	"fmt"
	"math/big"
)

// ParseToleranced reads a quantity with or without a tolerance:
//
//	0.1875 in                       no tolerance
//	2.4000 ±0.0005 in               also +- and +/-
//	0.1875 +0.0005/-0 in            upper deviation first
//	0.1875 in +5/-0 tenths          deviations in a unit of their own
//	0.1875..0.1880 in               limits
//	<= 0.0010 in    >= 6 ozf        one limit
//	4 mm H7                         ISO 286
//	0.1875 in RC4 hole              ASME B4.1, with hole or shaft
//
// A single unit applies to the whole text, wherever it stands; a unit after the
// nominal and another at the end apply to the nominal and to the deviations. A
// text without a unit takes def; when def is the zero Unit, a unit is required.
// Deviations of a temperature are differences. The limits are exact. It is an
// error when the lower limit lies above the upper. Every error is a
// *ParseError.
func ParseToleranced(text string, def Unit) (Toleranced, error) {
	s, err := newScanner(text)
	if err != nil {
		return Toleranced{}, err
	}
	s.skipSpace()
	if s.take("<=", "≤") {
		return s.oneSided(def, AtMost)
	}
	if s.take(">=", "≥") {
		return s.oneSided(def, AtLeast)
	}
	if r := s.at(0); r == '<' || r == '>' {
		return Toleranced{}, s.fail(s.pos, "a limit belongs to what it allows", "write <= or >=")
	}
	t, err := s.toleranced(def)
	if err != nil {
		return Toleranced{}, err
	}
	if err := s.finish(); err != nil {
		return Toleranced{}, err
	}
	return t, nil
}

func (s *scanner) oneSided(def Unit, form Form) (Toleranced, error) {
	q, err := s.quantity(def)
	if err == nil {
		err = s.finish()
	}
	if err != nil {
		return Toleranced{}, err
	}
	t := Toleranced{Nominal: q, Form: form}
	if form == AtMost {
		t.Upper = q
	} else {
		t.Lower = q
	}
	return t, nil
}

// toleranced reads a nominal and what follows it.
func (s *scanner) toleranced(def Unit) (Toleranced, error) {
	n, err := s.number()
	if err != nil {
		return Toleranced{}, err
	}
	if s.class() == "" { // the h of h6 is no hour
		var ok bool
		var u Unit
		if u, ok, err = s.unit(def, false); err != nil {
			return Toleranced{}, err
		} else if ok {
			return s.tolerance(n, u, true, def)
		}
	}
	return s.tolerance(n, Unit{}, false, def)
}

// tolerance reads what follows the nominal and its unit, if it has one.
func (s *scanner) tolerance(n number, unit Unit, hasUnit bool, def Unit) (Toleranced, error) {
	s.skipSpace()
	if s.take("..", "…") {
		return s.limits(n, unit, hasUnit, def)
	}
	if s.take("±", "+/-", "+-", "+\u2212") {
		return s.plusMinus(n, unit, hasUnit, def)
	}
	if r := s.at(0); r == '+' || isMinus(r) || isDigit(r) || r == '.' {
		return s.deviations(n, unit, hasUnit, def)
	}
	if !hasUnit {
		unit = def
	}
	if c := s.class(); c != "" {
		return s.fitted(n, unit, c)
	}
	if !hasUnit {
		// Letters that are neither a unit nor a class, or nothing at all.
		if _, _, err := s.unit(def, true); err != nil {
			return Toleranced{}, err
		}
		if unit.IsZero() {
			return Toleranced{}, s.needUnit(def)
		}
	}
	q, err := s.possible(n, unit)
	return Toleranced{Nominal: q}, err
}

// limits reads the upper limit after "..".
func (s *scanner) limits(n number, unit Unit, hasUnit bool, def Unit) (Toleranced, error) {
	m, err := s.number()
	if err != nil {
		return Toleranced{}, err
	}
	upperUnit, ok, err := s.unit(def, true)
	if err != nil {
		return Toleranced{}, err
	}
	unit, upperUnit, err = s.pair(unit, hasUnit, upperUnit, ok, def)
	if err != nil {
		return Toleranced{}, err
	}
	t := Toleranced{Form: Limits}
	if t.Lower, err = s.possible(n, unit); err != nil {
		return Toleranced{}, err
	}
	if t.Upper, err = s.possible(m, upperUnit); err != nil {
		return Toleranced{}, err
	}
	if c, err := t.Lower.Cmp(t.Upper); err != nil {
		return Toleranced{}, s.fail(m.pos, err.Error(), "")
	} else if c > 0 {
		return Toleranced{}, s.fail(n.pos, crossed(t.Lower, t.Upper).Error(), "write the smaller limit first")
	}
	t.Nominal, _ = t.Middle()
	t.Nominal = t.Nominal.WithDecimals(-1)
	return t, nil
}

// pair settles the units of two numbers: a single unit applies to both, no
// unit means def.
func (s *scanner) pair(first Unit, hasFirst bool, last Unit, hasLast bool, def Unit) (Unit, Unit, error) {
	switch {
	case hasFirst && hasLast:
		return first, last, nil
	case hasFirst:
		return first, first, nil
	case hasLast:
		return last, last, nil
	case def.IsZero():
		return Unit{}, Unit{}, s.needUnit(def)
	}
	return def, def, nil
}

// plusMinus reads the half width after ±.
func (s *scanner) plusMinus(n number, unit Unit, hasUnit bool, def Unit) (Toleranced, error) {
	m, err := s.number()
	if err != nil {
		return Toleranced{}, err
	}
	if m.signed {
		return Toleranced{}, s.fail(m.pos, "the number after ± carries no sign", "write ±0.0005 or +0.0005/-0.0002")
	}
	minus := m
	minus.value = new(big.Rat).Neg(m.value)
	last, hasLast, err := s.unit(def, true)
	if err != nil {
		return Toleranced{}, err
	}
	return s.around(n, minus, m, unit, hasUnit, last, hasLast, def, PlusMinus)
}

// deviations reads upper/lower after the nominal.
func (s *scanner) deviations(n number, unit Unit, hasUnit bool, def Unit) (Toleranced, error) {
	upper, err := s.deviation()
	if err != nil {
		return Toleranced{}, err
	}
	first, hasFirst, err := s.unit(def, true)
	if err != nil {
		return Toleranced{}, err
	}
	s.skipSpace()
	if !s.take("/") {
		return Toleranced{}, s.fail(s.pos, "the second deviation is missing", "write both, like +0.0005/-0")
	}
	s.skipSpace()
	lower, err := s.deviation()
	if err != nil {
		return Toleranced{}, err
	}
	s.skipSpace()
	end := s.pos
	last, hasLast, err := s.unit(def, true)
	if err != nil {
		return Toleranced{}, err
	}
	if hasFirst && hasLast && !first.Same(last) {
		return Toleranced{}, s.fail(end, "the two deviations have different units", "write one unit after both")
	}
	if hasFirst {
		last, hasLast = first, true
	}
	return s.around(n, lower, upper, unit, hasUnit, last, hasLast, def, Deviations)
}

// deviation reads a signed number; zero may stand without a sign.
func (s *scanner) deviation() (number, error) {
	d, err := s.numberIn(true)
	if err == nil && !d.signed && d.value.Sign() != 0 {
		err = s.fail(d.pos, "a deviation needs its sign", "write +0.0005/-0")
	}
	return d, err
}

// around settles the units of the nominal and of the deviations and builds the
// toleranced quantity.
func (s *scanner) around(n, lower, upper number, unit Unit, hasUnit bool, last Unit, hasLast bool, def Unit, form Form) (Toleranced, error) {
	if hasLast && !hasUnit && last.is().dim == def.is().dim && !last.Same(def) && doubtful(n.value, lower.value, upper.value) {
		return Toleranced{}, s.fail(n.pos, fmt.Sprintf("it is not clear whether the nominal is in %s too", last.Name()),
			fmt.Sprintf("write its unit after it, like %s %s or %s %s", n.in(def).number(), def.Name(), n.in(last).number(), last.Name()))
	}
	unit, last, err := s.pair(unit, hasUnit, last, hasLast, def)
	if err != nil {
		return Toleranced{}, err
	}
	return s.built(n, lower, upper, unit, last, form)
}

// doubtful reports whether a deviation is larger than the nominal, as in
// "0.1875 +5/-0 tenths", where the unit was hardly meant for both.
func doubtful(nominal, lower, upper *big.Rat) bool {
	size := absRat(nominal)
	return size.Sign() != 0 && (size.Cmp(absRat(lower)) < 0 || size.Cmp(absRat(upper)) < 0)
}

// built puts nominal and deviations together.
func (s *scanner) built(n, lower, upper number, unit, devUnit Unit, form Form) (Toleranced, error) {
	nominal, err := s.possible(n, unit)
	if err != nil {
		return Toleranced{}, err
	}
	devUnit = devUnit.Difference()
	t := Toleranced{Nominal: nominal, Form: form, off: &deviations{lower.in(devUnit), upper.in(devUnit)}}
	if t.Lower, err = nominal.Add(t.off.low); err == nil {
		t.Upper, err = nominal.Add(t.off.high)
	}
	if err != nil {
		return Toleranced{}, s.fail(upper.pos, err.Error(), "")
	}
	if t.Lower.value.Cmp(t.Upper.value) > 0 {
		return Toleranced{}, s.fail(upper.pos, crossed(t.Lower, t.Upper).Error(), "write the upper deviation first, like +0.0005/-0")
	}
	return t.aligned(), nil
}
