package study

import (
	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/stack"
	"tenths/ledger"
)

// Input is one value that a formula takes.
type Input struct {
	Name string
	Path string
	At   ledger.Span // where the formula's record names it
	Size ledger.Size // as of the day
	// From is the derived value behind the name, nil if it is a plain one.
	From *Derived
	// Rec is the record that holds it.
	Rec *ledger.Record

	day      string // day of its own for which it is taken, if there is one
	computed ledger.Computed
}

// Share is what one measured value contributes to the tolerance of a derived
// value, directly or through other derived values.
type Share struct {
	Path string // or the name of a common source
	// Members are the paths that move with a common source; nil for a value.
	Members   []string
	HalfWidth quantity.Quantity // of the value; the zero Quantity for a common source
	Effect    quantity.Quantity // ± in the result; the zero Quantity where there is no slope
	Worst     float64           // part of the worst case, 0 to 1
	RSS       float64           // part of the root sum square, 0 to 1
	SD        quantity.Quantity // standard deviation in the result, by its spread
	Variance  float64           // part of the variance, 0 to 1
	Cost      float64           // as stated; 0: not stated
}

// Derived is a derived value recomputed.
type Derived struct {
	Rec    *ledger.Record
	D      *ledger.Derived
	Inputs []Input
	// Value is the result in the unit in which it is kept. Lower and Upper are
	// its worst case; RSSHalf the half-width by root sum square about RSSMiddle.
	// They are zero values if nothing could be computed or no input has a tolerance.
	Value              quantity.Quantity
	Lower, Upper       quantity.Quantity
	RSSMiddle, RSSHalf quantity.Quantity
	// SD is the standard deviation of the result by the spreads of its values.
	SD     quantity.Quantity
	Shares []Share
	// Method says how the worst case was found, and Gap by how much it may be wider
	// than what happens.
	Method formula.Method
	Gap    quantity.Quantity
	// Warnings say where the root sum square does not hold, or is missing, and what
	// was taken where the records are silent.
	Warnings []string
	// Standing is how the value stands against its limits; nil without limits, or
	// where it could not be computed.
	Standing *stack.Standing
	// Err says why nothing could be computed, and ErrAt where in the record.
	Err   error
	ErrAt ledger.Span
	Hint  string
	// Cycle lists the paths that lead back to this value, if they do.
	Cycle []string
	// Stale is set if the value kept in the record is not the one computed.
	Stale bool
	// Text is the value as derive --write writes it.
	Text string
	// Outside is set if the worst case leaves the limits of the record.
	Outside bool

	whole  *formula.Expr    // the formula with those behind its inputs in their place
	leaves map[string]*leaf // the measured values that it takes, by path
	costs  map[string]float64
	asked  stack.Stack // what Standing answers
}

// leaf is a measured value that a formula takes.
type leaf struct {
	size   ledger.Size
	spread formula.Spread
	stated bool // the spread was stated, and is not the one of surveys and looseness
	common formula.Common
}

// Derived recomputes every derived value of the ledger, in the order of files
// and lines.
func (s *Set) Derived() []*Derived {
	s.derived.Do(s.computeDerived)
	return s.results
}

// DerivedOf gives the recomputed value of one entry.
func (s *Set) DerivedOf(d *ledger.Derived) *Derived {
	s.derived.Do(s.computeDerived)
	return s.byPtr[d]
}

// Largest is the input with the largest share of the worst case; false if no
// input has a tolerance.
func (d *Derived) Largest() (Share, bool) {
	var best Share
	for _, s := range d.Shares {
		if s.Worst > best.Worst {
			best = s
		}
	}
	return best, best.Worst > 0
}
