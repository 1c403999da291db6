package formula

import (
	"errors"
	"fmt"
	"go/token"
	"math/big"
	"slices"
	"strconv"
)

// Common says that an input moves together with others, as holes do that one
// reamer makes: a part of its tolerance is that of the common source, the rest its
// own. Half-widths add up, t = Part·t + (1-Part)·t, so that the worst case is the
// same whether one input or many hang on the source. Between two inputs of one
// half-width this is a correlation of Part²/(Part² + (1-Part)²).
type Common struct {
	Source string // empty: none
	// Part is from 0 to 1; 1 moves the input with the source alone.
	Part float64
	// Against is set for an input that is small when the others are large.
	Against bool
}

// part is the decimal that was meant: 0.6 is 6/10.
func (c Common) part() *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(c.Part, 'g', -1, 64))
	if !ok {
		return new(big.Rat)
	}
	return r
}

// driver is the name of a common source in a formula; no input can have it.
func driver(source string) string { return "common " + source }

// join puts common sources into the formula: a name becomes the middle of its
// limits, plus what it moves with each common source, plus what is its own.
func (s *study) join() *Error {
	parts := map[string]*Expr{}
	drivers := map[string]int{}
	for _, name := range s.formula.names {
		i := s.of[name]
		src := s.sources[i]
		c := src.input.Common
		if c.Source == "" {
			continue
		}
		where := s.formula.where[name]
		if !(c.Part > 0 && c.Part <= 1) {
			return s.fail(where, fmt.Sprintf("%s takes a part of %g from %s", quote(name), c.Part, quote(c.Source)), "a part is above 0 % and not above 100 %")
		}
		if !src.toleranced() {
			return s.fail(where, quote(name)+" has no tolerance to share with "+quote(c.Source), "")
		}
		part := c.part()
		if c.Against {
			part.Neg(part)
		}
		k, known := drivers[c.Source]
		if !known {
			k = len(s.sources)
			drivers[c.Source] = k
			one := plain(1)
			s.sources = append(s.sources, source{input: Input{Name: c.Source, Spread: src.ofDriver()}, low: one.Neg(), middle: one.Scale(new(big.Rat)), high: one, half: one})
		} else if !s.sources[k].input.Spread.Same(src.ofDriver()) {
			return s.fail(where, fmt.Sprintf("%s and %s move with %s and are spread differently", quote(s.sources[k].members[0]), quote(name), quote(c.Source)),
				"give them one shape, and standard deviations in the same part of their tolerances")
		}
		if !slices.Contains(s.sources[k].members, src.input.Name) {
			s.sources[k].members = append(s.sources[k].members, src.input.Name)
		}
		sum := &node{fn: operators[token.ADD], args: []*node{{value: src.middle}, {fn: operators[token.MUL], args: []*node{{name: driver(c.Source)}, {value: src.half.Scale(part)}}}}}
		if c.Part < 1 {
			sum = &node{fn: operators[token.ADD], args: []*node{sum, {name: name}}}
		}
		parts[name] = &Expr{root: sum}
	}
	if len(parts) == 0 {
		return nil
	}
	whole, err := s.formula.Replace(parts)
	if err != nil {
		var e *Error
		if errors.As(err, &e) {
			return e
		}
		return s.fail(1, err.Error(), "")
	}
	s.Expr = whole
	of := map[string]int{}
	for _, name := range whole.names {
		of[name] = s.of[name]
	}
	for source, k := range drivers {
		of[driver(source)] = k
	}
	s.of = of
	s.own()
	return nil
}

// ofDriver is the spread of the common source of an input: the same in parts of
// the tolerance.
func (s source) ofDriver() Spread {
	sp := s.input.Spread
	if sp.SD.IsZeroValue() {
		return sp
	}
	ratio, err := sp.SD.Div(s.half)
	if err != nil {
		return sp // the half-width is not zero
	}
	sp.SD = ratio
	return sp
}

// own leaves the inputs of common sources what is their own, about zero.
func (s *study) own() {
	for i := range s.sources {
		src := &s.sources[i]
		c := src.input.Common
		if c.Source == "" {
			continue
		}
		rest := new(big.Rat).Sub(big.NewRat(1, 1), c.part())
		src.half = src.half.Scale(rest)
		src.middle = src.half.Scale(new(big.Rat))
		src.low, src.high = src.half.Neg(), src.half
		if !src.input.Spread.SD.IsZeroValue() {
			src.input.Spread.SD = src.input.Spread.SD.Scale(rest)
		}
	}
}
