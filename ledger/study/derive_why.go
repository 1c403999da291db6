package study

import (
	"errors"
	"time"

	"tenths/ledger"
)

// Reason is one value with what it follows from.
type Reason struct {
	Name string // in the formula above it; empty at the top
	Path string
	// Rec and At are where the value stands.
	Rec *ledger.Record
	At  ledger.Span
	// Size is the value as taken; absent for one that is computed, or lacks.
	Size ledger.Size
	// Day is the day for which it is taken, and Dated the days for which it holds.
	Day   time.Time
	Dated ledger.Dated
	// Derived is the computed value; nil for one that stands in a record. If it is
	// kept on purpose, Size is the value taken and nothing is below it.
	Derived *Derived
	From    []*Reason
	// Above is set for a computed value that is told in full further up.
	Above bool
	// Err says why there is no value.
	Err error
}

// Why tells what a derived value follows from, down to the values that stand in
// records.
func (s *Set) Why(d *Derived) *Reason {
	w := &whyFinder{s: s, told: map[*Derived]bool{}}
	return w.derived(d, "", d.Path())
}

type whyFinder struct {
	s    *Set
	told map[*Derived]bool
}

func (w *whyFinder) derived(d *Derived, name, path string) *Reason {
	r := &Reason{Name: name, Path: path, Rec: d.Rec, At: d.D.Span, Day: d.day(w.s), Derived: d, Err: d.Err}
	if d.D.Name.Set() {
		r.At = d.D.Name.Span
	}
	if d.D.Keep.Set() && d.D.Value.Set() && name != "" {
		r.Size, r.At, r.Err = d.D.Value, d.D.Value.Span, nil
		return r
	}
	if w.told[d] {
		r.Above = true
		return r
	}
	w.told[d] = true
	for _, b := range d.D.Where {
		r.From = append(r.From, w.input(d, b))
	}
	return r
}

func (w *whyFinder) input(d *Derived, b ledger.Binding) *Reason {
	day := d.day(w.s)
	size, t, err := w.s.valueFrom(d.Rec, b.S, day)
	if from, ok := t.Node.(*ledger.Derived); ok && (t.Size == nil || t.Size == &from.Value) {
		return w.derived(w.s.DerivedOf(from), b.Name, b.S)
	}
	r := &Reason{Name: b.Name, Path: b.S, Rec: d.Rec, At: b.Ref.Span, Day: day}
	if err != nil {
		r.Err = err
		if nf := (*ledger.NotFound)(nil); errors.As(err, &nf) && nf.Near != "" {
			r.Err = errors.New(err.Error() + "; did you mean " + nf.Near + "?")
		}
		return r
	}
	r.Rec, r.At, r.Size, r.Dated = t.Rec, size.Span, size, t.Dated(day)
	return r
}
