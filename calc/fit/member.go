package fit

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"

	"tenths/calc/limits"
	"tenths/calc/quantity"
)

// Member is one part of a fit: a nominal with a tolerance class, and what its
// standard makes of it. All lengths are in the unit of the nominal.
type Member struct {
	Standard                       Standard // which standard says so
	Class                          string   // "H7", "g6", "RC4 hole"
	Hole                           bool     // hole (internal) or shaft (external)
	Nominal                        quantity.Quantity
	LowerDeviation, UpperDeviation quantity.Quantity // EI, ES of a hole; ei, es of a shaft
	Min, Max                       quantity.Quantity // limits of size
	Limits                         quantity.Toleranced
}

// Limits reads a nominal with a tolerance class: "25 mm H7", "25 mm g6",
// "0.1875 in RC4 hole". A text without a unit takes def; when def is the zero
// Unit, a unit is required.
//
// Source: ISO 286-1 and ISO 286-2 for classes of one word, ANSI B4.1 for fits
// with hole or shaft; see package limits. Errors: what quantity.ParseToleranced
// refuses, among it a metric class on an inch nominal and the reverse; a text
// without a class; a size that is not above 0 or not carried.
func Limits(text string, def quantity.Unit) (Member, error) {
	t, err := quantity.ParseToleranced(text, def)
	if err != nil {
		return Member{}, err
	}
	if t.Form != quantity.Class {
		return Member{}, fmt.Errorf("%s has no tolerance class; write it like 25 mm H7 or 0.1875 in RC4 hole", t)
	}
	return LimitsOf(t.Nominal, t.Class)
}

// LimitsOf is Limits for a nominal that is a quantity already; the class is
// "H7", "g6", "RC4 hole" or "RC4 shaft".
//
// Errors: as Limits, and a nominal that is only known within a bound, since it
// could lie in two size steps at once.
func LimitsOf(nominal quantity.Quantity, class string) (Member, error) {
	if err := checkSize(nominal, "the nominal size"); err != nil {
		return Member{}, err
	}
	if !nominal.Exact() {
		return Member{}, fmt.Errorf("the nominal size %s is a computed value; write the size of the drawing", nominal)
	}
	unit, lower, upper, err := deviations(nominal, class)
	if err != nil {
		return Member{}, err
	}
	m := Member{Class: strings.Join(strings.Fields(class), " "), Nominal: nominal}
	m.Hole, m.Standard = classOf(m.Class)
	if m.Standard == ANSIB41 {
		fit, member, _ := strings.Cut(m.Class, " ")
		m.Class = strings.ToUpper(fit) + " " + member
	}
	if m.Min, err = nominal.Add(quantity.New(lower, unit)); err != nil {
		return Member{}, err
	}
	if m.Max, err = nominal.Add(quantity.New(upper, unit)); err != nil {
		return Member{}, err
	}
	if err := checkSize(m.Min, "the smallest size"); err != nil {
		return Member{}, err
	}
	m.Min, m.Max = evenDecimals(m.Min, m.Max, nominal)
	if m.Limits, err = quantity.WithLimits(nominal, m.Min, m.Max); err != nil {
		return Member{}, err
	}
	m.Limits.Form, m.Limits.Class = quantity.Class, m.Class
	m.LowerDeviation, m.UpperDeviation, _ = m.Limits.Deviations()
	return m, nil
}

// deviations asks the standard that the class belongs to; they are in unit.
func deviations(nominal quantity.Quantity, class string) (unit quantity.Unit, lower, upper *big.Rat, err error) {
	words := strings.Fields(class)
	inch := nominal.Unit().System() == "inch"
	refuse := func(format string, a ...any) (quantity.Unit, *big.Rat, *big.Rat, error) {
		return quantity.Unit{}, nil, nil, fmt.Errorf(format, a...)
	}
	switch {
	case len(words) == 1 && isInchFit(words[0]):
		return refuse("%[1]s names a fit of two parts; write %[1]s hole or %[1]s shaft", words[0])
	case len(words) == 1 && inch:
		return refuse("%s is a metric class and the nominal %s is in inches; write the nominal in mm, or an inch fit such as RC4 hole", words[0], nominal)
	case len(words) == 1:
		mm, err := nominal.In(quantity.Millimetre)
		if err != nil {
			return refuse("%w", err)
		}
		lower, upper, err = limits.ISO286(mm, words[0])
		return quantity.Millimetre, lower, upper, err
	case len(words) != 2 || words[1] != "hole" && words[1] != "shaft":
		return refuse("%q is no tolerance class; write it like H7, g6 or RC4 hole", class)
	case !inch:
		return refuse("%s is an inch fit and the nominal %s is metric; write the nominal in inches, or an ISO class such as H7", words[0], nominal)
	}
	in, err := nominal.In(quantity.Inch)
	if err != nil {
		return refuse("%w", err)
	}
	member := limits.Hole
	if words[1] == "shaft" {
		member = limits.Shaft
	}
	lower, upper, err = limits.ANSIB41(in, strings.ToUpper(words[0]), member)
	return quantity.Inch, lower, upper, err
}

// classOf tells hole from shaft and the standard of a class as it stands in a
// Toleranced: "H7", "RC4 hole".
func classOf(class string) (hole bool, std Standard) {
	if _, member, ok := strings.Cut(class, " "); ok {
		return member == "hole", ANSIB41
	}
	return class != "" && unicode.IsUpper([]rune(class)[0]), ISO286
}

// isInchFit reports whether a class has the letters of an ANSI B4.1 fit; no
// class of ISO 286 has them.
func isInchFit(class string) bool {
	if len(class) < 3 {
		return false
	}
	switch strings.ToUpper(class[:2]) {
	case "RC", "LC", "LT", "LN", "FN":
		return class[2] >= '0' && class[2] <= '9'
	}
	return false
}
