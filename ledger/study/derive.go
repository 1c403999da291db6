package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/stack"
	"tenths/calc/uncertainty"
	"tenths/ledger"
)

// deriver walks the derived values in the order in which they need each other.
type deriver struct {
	s     *Set
	state map[*Derived]int // 1 while its inputs are computed, 2 when done
	stack []*Derived
}

func (s *Set) computeDerived() {
	s.byPtr = map[*ledger.Derived]*Derived{}
	for _, rec := range s.L.Records {
		for i := range rec.Common.Derived {
			d := &Derived{Rec: rec, D: &rec.Common.Derived[i]}
			s.results = append(s.results, d)
			s.byPtr[d.D] = d
		}
	}
	w := &deriver{s: s, state: map[*Derived]int{}}
	for _, d := range s.results {
		w.visit(d)
	}
}

// Path is the path by which other formulas name the value.
func (d *Derived) Path() string { return d.Rec.ID() + "/" + d.D.Name.S }

func (w *deriver) visit(d *Derived) {
	switch w.state[d] {
	case 2:
		return
	case 1:
		w.cycle(d)
		return
	}
	w.state[d] = 1
	w.stack = append(w.stack, d)
	w.inputs(d)
	w.stack = w.stack[:len(w.stack)-1]
	w.state[d] = 2
	if d.Err == nil {
		w.compute(d)
	}
}

// cycle marks every value on the way round; the list begins with the smallest
// path, so that it reads the same wherever the walk came in.
func (w *deriver) cycle(d *Derived) {
	members := w.stack[slices.Index(w.stack, d):]
	first := 0
	for i, m := range members {
		if m.Path() < members[first].Path() {
			first = i
		}
	}
	var paths []string
	for i := range members {
		paths = append(paths, members[(first+i)%len(members)].Path())
	}
	paths = append(paths, paths[0])
	for _, m := range members {
		m.Cycle = paths
		m.fail(m.at(), errors.New("the value follows from itself: "+strings.Join(paths, " <- ")), "take one of these values from a measurement")
	}
}

func (d *Derived) fail(at ledger.Span, err error, hint string) {
	if d.Err == nil {
		d.Err, d.ErrAt, d.Hint = err, at, hint
	}
}

// day is the day for which the inputs are taken.
func (d *Derived) day(s *Set) time.Time {
	if d.D.On.Set() {
		return d.D.On.T
	}
	return s.AsOf
}

func (w *deriver) inputs(d *Derived) {
	if !d.D.Formula.Set() || !d.D.Name.Set() {
		d.fail(d.D.Span, errors.New("a derived value needs a name and a formula"), "")
		return
	}
	for _, b := range d.D.Where {
		in := Input{Name: b.Name, Path: b.S, At: b.Ref.Span}
		if d.D.On.Set() {
			in.day = d.D.On.String()
		}
		size, target, err := w.s.valueFrom(d.Rec, b.S, d.day(w.s))
		if from, ok := target.Node.(*ledger.Derived); ok && (target.Size == nil || target.Size == &from.Value) {
			in.From = w.s.byPtr[from]
			in.Rec = in.From.Rec
			w.visit(in.From)
			switch {
			case in.From.D.Keep.Set() && in.From.D.Value.Set():
				in.Size, in.From = in.From.D.Value, nil
			case in.From.Err == nil && in.From.D.Keep.Set():
				// As it will be once it is written, so that nothing changes then.
				if tol, err := quantity.ParseToleranced(in.From.Text, in.From.Value.Unit()); err == nil {
					in.Size, in.From = ledger.Size{Tol: &tol, Raw: in.From.Text}, nil
				}
			case in.From.Err != nil:
				d.fail(b.Ref.Span, fmt.Errorf("%s cannot be computed itself", b.S), "put "+b.S+" right first")
			}
			d.Inputs = append(d.Inputs, in)
			continue
		}
		if err != nil {
			hint := ""
			if nf := (*ledger.NotFound)(nil); errors.As(err, &nf) && nf.Near != "" {
				hint = "did you mean " + nf.Near + "?"
			}
			d.fail(b.Ref.Span, err, hint)
			continue
		}
		in.Size, in.Rec = size, target.Rec
		in.computed = target.Computed()
		d.Inputs = append(d.Inputs, in)
	}
}

func (w *deriver) compute(d *Derived) {
	expr, err := formula.Parse(d.D.Formula.S)
	if err != nil {
		d.formulaError(err)
		return
	}
	// Formulas behind the inputs are put in their place, so that a measured
	// value which reaches the result on several ways counts once.
	parts := map[string]*formula.Expr{}
	known := map[string]bool{}
	for _, in := range d.Inputs {
		known[in.Name] = true
		if in.From != nil {
			parts[in.Name] = in.From.whole
			d.takeOver(in)
			continue
		}
		key := in.key()
		parts[in.Name] = formula.Variable(key)
		l := &leaf{size: in.Size}
		if in.computed != "" {
			l.spread.Shape = uncertainty.Uniform // as the study of seams takes it
		}
		d.leaf(in.At, key, l)
	}
	if d.say(w.s); d.Err != nil {
		return
	}
	for _, name := range expr.Names() {
		if !known[name] {
			d.fail(d.D.Formula.Span, fmt.Errorf("nothing says what %s is", name), fmt.Sprintf("add it under where, such as %s = \"P-10/H1/size\"", name))
			return
		}
	}
	for _, in := range d.Inputs {
		if !slices.Contains(expr.Names(), in.Name) {
			d.fail(in.At, fmt.Errorf("%s is given and the formula does not use it", in.Name), "take it out, or use it")
			return
		}
	}
	if d.whole, err = expr.Replace(parts); err != nil {
		d.formulaError(err)
		return
	}
	var inputs []formula.Input
	for _, key := range d.whole.Names() {
		l := d.leaves[key]
		inputs = append(inputs, formula.Input{Name: key, Value: *l.size.Tol, Source: key, Spread: l.spread, Common: l.common})
	}
	res, err := d.whole.Eval(inputs, formula.Options{Unit: d.unit()})
	if err != nil {
		d.formulaError(err)
		return
	}
	// A length that nothing has a unit for yet is kept in that of its record.
	if own := w.s.recordUnit(d.Rec); d.unit().IsZero() && !own.IsZero() && own.Dim() == res.Value.Dim() && own.System() != res.Value.Unit().System() {
		if res, err = d.whole.Eval(inputs, formula.Options{Unit: own}); err != nil {
			d.formulaError(err)
			return
		}
	}
	d.took(res)
	d.Text = d.text()
	d.Stale = d.D.Value.Set() && !d.D.Keep.Set() && !agrees(d.D.Value.Nominal(), d.Value)
	d.Outside = d.D.Limits.Set() && (leaves(d.D.Limits, d.Lower) || leaves(d.D.Limits, d.Upper))
	d.asked = stack.Stack{Expr: d.whole, Inputs: inputs, Unit: res.Value.Unit(), Costs: d.costs}
	if d.D.Limits.Set() {
		d.asked.Limits = *d.D.Limits.Tol
		if d.Standing, err = stack.Judge(d.asked); err != nil {
			at := d.D.Limits.Span
			if len(d.D.Cost) > 0 {
				at = d.D.Cost[0].Span
			}
			d.fail(at, err, "")
		}
	}
}

// formulaError points into the text of the formula.
func (d *Derived) formulaError(err error) {
	at := d.D.Formula.Span
	hint := ""
	if fe := (*formula.Error)(nil); errors.As(err, &fe) {
		hint = fe.Hint
		runes := []rune(fe.Text)
		// The text stands in the file as it is if it holds no escapes.
		if at.End-at.Start == len(fe.Text)+2 && fe.Column >= 1 && fe.Column <= len(runes) {
			start := at.Start + 1 + len(string(runes[:fe.Column-1]))
			at = ledger.Span{Start: start, End: start + len(string(runes[fe.Column-1]))}
		}
		err = errors.New(fe.Msg)
	}
	d.fail(at, err, hint)
}

// unit is the unit in which the value is kept: that of the value there is, or
// of its limits; the zero Unit leaves it to the formula.
func (d *Derived) unit() quantity.Unit {
	switch {
	case d.D.Value.Set():
		return d.D.Value.Nominal().Unit()
	case d.D.Limits.Set():
		return d.D.Limits.Nominal().Unit()
	}
	return quantity.Unit{}
}

// text is the value as it is written: exactly if its decimals end, else with
// the decimals that were there, or those that its unit deserves.
func (d *Derived) text() string {
	if !d.D.Value.Set() {
		return d.Value.String()
	}
	n := d.D.Value.Nominal().Decimals()
	if n < 0 || d.Value.Exact() && endsWithin(d.Value, 8) {
		v := d.Value
		if v.Decimals() < n {
			v = v.WithDecimals(max(n, decimalsOf(v)))
		}
		return v.String()
	}
	return d.Value.Format(d.Value.Unit(), n)
}

// endsWithin reports whether the decimals of a quantity end within n places.
func endsWithin(q quantity.Quantity, n int) bool { return decimalsOf(q) <= n }

// decimalsOf is the number of decimals that the value needs in its own unit;
// very large if they never end.
func decimalsOf(q quantity.Quantity) int {
	r, err := q.In(q.Unit())
	if err != nil {
		return math.MaxInt
	}
	n, exact := r.FloatPrec()
	if !exact {
		return math.MaxInt
	}
	return n
}

// agrees reports whether a kept value is the computed one, exactly or rounded
// to the digits in which it is kept.
func agrees(kept, now quantity.Quantity) bool {
	if c, err := kept.Cmp(now); err == nil && c == 0 {
		return true
	}
	if kept.Decimals() < 0 {
		return false
	}
	u := kept.Unit()
	return now.Format(u, kept.Decimals()) == kept.Format(u, kept.Decimals())
}

// leaves reports whether a value is outside limits.
func leaves(limits ledger.Size, v quantity.Quantity) bool {
	side, err := limits.Tol.Side(v)
	return err == nil && side != quantity.Inside && side != quantity.TooClose
}

// at is where a trouble with the inputs is shown: the formula.
func (d *Derived) at() ledger.Span { return d.D.Formula.Span }
