package formula

import "math"

// jet is what a node can be over a box of its inputs, and what its slopes can be
// there: interval arithmetic beside forward differentiation (R. B. Kearfott,
// Rigorous Global Search, 1996, for the method). Where a slope jumps, at a fold of
// abs, min or max, the interval holds both sides.
type jet struct {
	v ival
	d []ival // by variable; nil for none
}

// jet evaluates a node over a box; false where it may have no value in it.
func (z *search) jet(n *node, box []ival) (jet, bool) {
	z.steps += 1 + len(box)
	switch {
	case n.name != "":
		return z.variable(z.of[n.name], box), true
	case n.fn == nil:
		return jet{v: z.constant(n)}, true
	case n.fn == ifFunction:
		return z.either(n, box)
	}
	var space [3]jet
	args := space[:0]
	for _, a := range n.args {
		x, ok := z.jet(a, box)
		if !ok {
			return jet{}, false
		}
		args = append(args, x)
	}
	y, ok := jetOf(n, args)
	return y, ok && !math.IsNaN(y.v.lo) && !math.IsNaN(y.v.hi) && !math.IsInf(y.v.lo, 0) && !math.IsInf(y.v.hi, 0)
}

func (z *search) variable(source int, box []ival) jet {
	i := z.place[source]
	if i < 0 {
		return jet{v: z.fixed[source]}
	}
	d := make([]ival, len(box))
	d[i] = ival{1, 1}
	return jet{v: box[i], d: d}
}

func (z *search) constant(n *node) ival {
	v, ok := z.constants[n]
	if !ok {
		v = span{n.value, n.value}.ival()
		z.constants[n] = v
	}
	return v
}

// either is an if over a box: one side where the condition is decided in it, else
// both, with no slope that would be known.
func (z *search) either(n *node, box []ival) (jet, bool) {
	t, ok := z.decide(n.args[0], box)
	switch {
	case !ok:
		return jet{}, false
	case t == yes:
		return z.jet(n.args[1], box)
	case t == no:
		return z.jet(n.args[2], box)
	}
	a, ok1 := z.jet(n.args[1], box)
	b, ok2 := z.jet(n.args[2], box)
	if !ok1 || !ok2 {
		return jet{}, false
	}
	y := jet{v: a.v.join(b.v), d: make([]ival, len(box))}
	stands, known := z.stands[n]
	if !known {
		stands = z.occurring(n)
		z.stands[n] = stands
	}
	for source, used := range stands {
		if i := z.place[source]; used && i >= 0 {
			y.d[i] = everything
		}
	}
	return y, true
}

func (z *search) decide(n *node, box []ival) (truth, bool) {
	if n.fn.holds != nil {
		d, ok := z.jet(n.difference(), box)
		return n.fn.holds(sign(d.v.lo), sign(d.v.hi)), ok
	}
	first, ok := z.decide(n.args[0], box)
	if !ok || n.settled(first) {
		return n.fn.joins(first, no), ok
	}
	second, ok := z.decide(n.args[1], box)
	return n.fn.joins(first, second), ok
}

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// chain is a value whose slope against each argument is given.
func chain(v ival, args []jet, slopes ...ival) jet {
	y := jet{v: v}
	for k, a := range args {
		if a.d == nil {
			continue
		}
		if y.d == nil {
			y.d = make([]ival, len(a.d))
		}
		for i, d := range a.d {
			if d != (ival{}) {
				y.d[i] = y.d[i].add(slopes[k].mul(d))
			}
		}
	}
	return y
}

// jetOf applies a function; false where it may have no value.
func jetOf(n *node, args []jet) (jet, bool) {
	x := args[0].v
	var b ival
	if len(args) > 1 {
		b = args[1].v
	}
	one := ival{1, 1}
	switch n.fn.name {
	case "+":
		return chain(x.add(b), args, one, one), true
	case "-":
		if len(args) == 1 {
			return chain(x.neg(), args, ival{-1, -1}), true
		}
		return chain(x.sub(b), args, one, ival{-1, -1}), true
	case "*":
		if same(n.args[0], n.args[1]) {
			return chain(x.square(), args[:1], x.add(x)), true
		}
		return chain(x.mul(b), args, b, x), true
	case "/":
		if b.holds(0) {
			return jet{}, false
		}
		q := x.over(b)
		return chain(q, args, one.over(b), q.over(b).neg()), true
	case "abs":
		return chain(x.abs(), args, slopeOfSign(x)), true
	case "min", "max":
		return jetChosen(n.fn.name == "max", args), true
	case "sqrt":
		if x.lo < 0 {
			return jet{}, false
		}
		r := x.root()
		return chain(r, args, over0(one, r.add(r))), true
	case "hypot":
		r := x.square().add(b.square()).root()
		return chain(r, args, cosineOf(x, r), cosineOf(b, r)), true
	case "pow":
		return jetPower(args, exponent(n.args[1].value))
	}
	return jetOfAngle(n.fn.name, args)
}

// same reports whether two nodes are one and the same value.
func same(a, b *node) bool {
	if a.name != b.name || a.fn != b.fn || len(a.args) != len(b.args) || a.fn == nil && a.name == "" {
		return false
	}
	for i := range a.args {
		if !same(a.args[i], b.args[i]) {
			return false
		}
	}
	return true
}

func slopeOfSign(x ival) ival {
	switch {
	case x.lo >= 0:
		return ival{1, 1}
	case x.hi <= 0:
		return ival{-1, -1}
	}
	return ival{-1, 1}
}

// over0 is a/b of values that are not below zero, infinite where b can be zero.
func over0(a, b ival) ival {
	if b.lo > 0 {
		return a.over(b)
	}
	lo := 0.0
	if b.hi > 0 && !math.IsInf(b.hi, 0) {
		lo = max(0, down(a.lo/b.hi))
	}
	return ival{lo, math.Inf(1)}
}

// cosineOf is a/r of a side and the hypotenuse.
func cosineOf(a, r ival) ival {
	if r.lo <= 0 {
		return ival{-1, 1}
	}
	return a.over(r).meet(ival{-1, 1})
}

// jetChosen folds min and max from the left.
func jetChosen(largest bool, args []jet) jet {
	y := args[0]
	for _, a := range args[1:] {
		first, second := y, a // y is chosen where the first lies before the second
		if largest {
			first, second = a, y
		}
		switch {
		case first.v.hi <= second.v.lo:
		case second.v.hi <= first.v.lo:
			y = a
		default:
			v := ival{min(y.v.lo, a.v.lo), min(y.v.hi, a.v.hi)}
			if largest {
				v = ival{max(y.v.lo, a.v.lo), max(y.v.hi, a.v.hi)}
			}
			y = jet{v: v, d: joinSlopes(y.d, a.d)}
		}
	}
	return y
}

func joinSlopes(a, b []ival) []ival {
	if a == nil && b == nil {
		return nil
	}
	out := make([]ival, max(len(a), len(b)))
	for i := range out {
		var x, y ival
		if a != nil {
			x = a[i]
		}
		if b != nil {
			y = b[i]
		}
		out[i] = x.join(y)
	}
	return out
}

func jetPower(args []jet, n int64) (jet, bool) {
	x := args[0].v
	if n < 0 && x.holds(0) {
		return jet{}, false
	}
	one := ival{1, 1}
	power := func(n int64) ival {
		if n < 0 {
			return one.over(x.power(-n))
		}
		return x.power(n)
	}
	k := ival{float64(n), float64(n)}
	if n == 0 {
		return jet{v: one}, true
	}
	return chain(power(n), args[:1], k.mul(power(n-1))), true
}

// jetOfAngle applies the functions of angles.
func jetOfAngle(name string, args []jet) (jet, bool) {
	x := args[0].v
	one, turn := ival{1, 1}, ival{1, 1}.over(degree)
	switch name {
	case "sin":
		return chain(x.sine(), args, x.cosine().mul(degree)), true
	case "cos":
		return chain(x.cosine(), args, x.sine().neg().mul(degree)), true
	case "tan":
		// A little further out, so that rounding cannot hide the place where it
		// is infinite.
		w := x.loosened(1e-9)
		if !(w.width() < 180) || math.Floor((w.lo-90)/180) != math.Floor((w.hi-90)/180) {
			return jet{}, false
		}
		rounding := func(v, side float64) float64 {
			return v + side*(1+v*v)*(math.Abs(x.lo)+math.Abs(x.hi)+1)*0x1p-50
		}
		t := ival{rounding(math.Tan(x.lo*math.Pi/180), -1), rounding(math.Tan(x.hi*math.Pi/180), 1)}
		return chain(t, args, one.add(t.square()).mul(degree)), true
	case "asin", "acos":
		if x.lo < -1 || x.hi > 1 {
			return jet{}, false
		}
		slope := over0(turn, one.sub(x.square()).meet(ival{0, 1}).root())
		y := x.rising(func(v float64) float64 { return inDegrees(math.Atan2(v, math.Sqrt((1-v)*(1+v)))) })
		if name == "acos" {
			y, slope = ival{90, 90}.sub(y), slope.neg()
		}
		return chain(y, args, slope), true
	case "atan":
		y := x.rising(func(v float64) float64 { return inDegrees(math.Atan(v)) })
		return chain(y, args, turn.over(one.add(x.square()))), true
	}
	return jetDirection(args)
}

// jetDirection is atan2.
func jetDirection(args []jet) (jet, bool) {
	y, x := args[0].v, args[1].v
	if y.holds(0) && x.holds(0) || y.lo < 0 && y.hi >= 0 && x.lo < 0 {
		return jet{}, false
	}
	out := ival{math.Inf(1), math.Inf(-1)}
	for _, a := range [2]float64{y.lo, y.hi} {
		for _, b := range [2]float64{x.lo, x.hi} {
			v := inDegrees(math.Atan2(a, b))
			out = out.join(ival{v, v})
		}
	}
	r2 := x.square().add(y.square())
	if r2.lo <= 0 {
		return jet{}, false
	}
	turn := ival{1, 1}.over(degree)
	return chain(out.loosened(0), args, x.over(r2).mul(turn), y.over(r2).neg().mul(turn)), true
}
