package fit

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"tenths/calc/quantity"
)

const (
	fitForm  = "write a fit like 25 mm H7/g6 or 0.5 in RC4"
	maxText  = 200 // code points, as for a quantity
	nominalG = 2   // groups of fitText, in the index pairs of FindStringSubmatchIndex
	firstG   = 4
	secondG  = 6
)

// fitText splits a fit into nominal, class and, after a slash, second class.
var fitText = regexp.MustCompile(`(?s)^(.*?)\s*([A-Za-z]+[0-9]+)\s*(?:/\s*([A-Za-z]+[0-9]+)\s*)?$`)

// Parse reads a fit of a standard: "25 mm H7/g6" (ISO 286: the hole first) or
// "0.5 in RC4" (ANSI B4.1). A nominal without a unit takes def; when def is the
// zero Unit, a unit is required. See Of for the formulas.
//
// Every error is a *quantity.ParseError with the place: a text that is no fit,
// a class on the wrong side of the slash, a metric class on an inch nominal and
// the reverse, a size that is not above 0 or not carried.
func Parse(text string, def quantity.Unit) (Fit, error) {
	fail := func(at int, msg, want string) (Fit, error) {
		return Fit{}, &quantity.ParseError{Text: text, Column: utf8.RuneCountInString(text[:at]) + 1, Msg: msg, Want: want}
	}
	if utf8.RuneCountInString(text) > maxText {
		return Fit{}, &quantity.ParseError{Text: text, Column: maxText + 1, Msg: fmt.Sprintf("a fit has at most %d characters", maxText)}
	}
	m := fitText.FindStringSubmatchIndex(text)
	if m == nil {
		for _, member := range []string{"hole", "shaft"} {
			if strings.HasSuffix(strings.TrimSpace(text), member) {
				return fail(strings.LastIndex(text, member), "a "+member+" is one part of a fit", "leave out the word "+member+", like 0.5 in RC4")
			}
		}
		return fail(len(text), "a tolerance class is missing", fitForm)
	}
	nominalText, first := text[m[nominalG]:m[nominalG+1]], text[m[firstG]:m[firstG+1]]
	nominal, err := quantity.Parse(nominalText, def)
	if err != nil {
		var p *quantity.ParseError
		if errors.As(err, &p) {
			err = &quantity.ParseError{Text: text, Column: p.Column, Msg: p.Msg, Want: p.Want}
		}
		return Fit{}, err
	}
	holeClass, shaftClass, shaftAt := first, "", m[firstG]
	switch {
	case m[secondG] >= 0:
		shaftClass, shaftAt = text[m[secondG]:m[secondG+1]], m[secondG]
		if isInchFit(first) || isInchFit(shaftClass) {
			return fail(m[firstG], "an inch fit is named by one class", "write it like 0.5 in RC4")
		}
	case isInchFit(first):
		holeClass, shaftClass = first+" hole", first+" shaft"
	default:
		return fail(m[firstG], first+" is one part of a fit", "write the hole and the shaft, like H7/g6")
	}
	if m[secondG] >= 0 {
		if hole, _ := classOf(holeClass); !hole {
			return fail(m[firstG], holeClass+" is a shaft class and stands in the place of the hole", "write the hole first, like H7/g6")
		}
		if hole, _ := classOf(shaftClass); hole {
			return fail(shaftAt, shaftClass+" is a hole class and stands in the place of the shaft", "write the shaft second, like H7/g6")
		}
	}
	hole, err := LimitsOf(nominal, holeClass)
	if err != nil {
		return fail(m[firstG], err.Error(), "")
	}
	shaft, err := LimitsOf(nominal, shaftClass)
	if err != nil {
		return fail(shaftAt, err.Error(), "")
	}
	f, err := Of(hole.Limits, shaft.Limits)
	if err != nil {
		return fail(m[firstG], err.Error(), "")
	}
	return f, nil
}
