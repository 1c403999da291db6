package formula

import (
	"go/token"
	"math"
)

// Float is the formula as a function of plain numbers, for simulations that
// evaluate it a million times: the values of Names in their order, and the result,
// in the base units of their dimensions. Dimensions are not checked; Eval does
// that. Where the formula has no value the result is NaN or infinite.
func (e *Expr) Float() func(x []float64) float64 {
	place := make(map[string]int, len(e.names))
	for i, name := range e.names {
		place[name] = i
	}
	return e.root.float(place)
}

func (n *node) float(place map[string]int) func(x []float64) float64 {
	switch {
	case n.name != "":
		i := place[n.name]
		return func(x []float64) float64 { return x[i] }
	case n.fn == nil:
		v := toFloat(n.value.Rat())
		return func([]float64) float64 { return v }
	case n.fn == ifFunction:
		holds, a, b := n.args[0].floatTest(place), n.args[1].float(place), n.args[2].float(place)
		return func(x []float64) float64 {
			if holds(x) {
				return a(x)
			}
			return b(x)
		}
	}
	args := make([]func([]float64) float64, len(n.args))
	for i, a := range n.args {
		args[i] = a.float(place)
	}
	if len(args) == 1 {
		f, a := ofOne[n.fn.name], args[0]
		return func(x []float64) float64 { return f(a(x)) }
	}
	f := ofTwo[n.fn.name]
	return func(x []float64) float64 {
		v := args[0](x)
		for _, a := range args[1:] { // min and max take any number
			v = f(v, a(x))
		}
		return v
	}
}

// floatTest is a condition as a function of plain numbers.
func (n *node) floatTest(place map[string]int) func(x []float64) bool {
	if n.fn.holds != nil {
		d := n.difference().float(place)
		return func(x []float64) bool {
			s := sign(d(x))
			return n.fn.holds(s, s) == yes
		}
	}
	first := n.args[0].floatTest(place)
	if n.fn == not {
		return func(x []float64) bool { return !first(x) }
	}
	second := n.args[1].floatTest(place)
	if n.fn == operators[token.LAND] {
		return func(x []float64) bool { return first(x) && second(x) }
	}
	return func(x []float64) bool { return first(x) || second(x) }
}

var ofOne = map[string]func(float64) float64{
	"-": func(a float64) float64 { return -a }, "abs": math.Abs, "sqrt": math.Sqrt,
	"sin": takesDegrees(math.Sin), "cos": takesDegrees(math.Cos), "tan": takesDegrees(math.Tan),
	"asin": givesDegrees(math.Asin), "acos": givesDegrees(math.Acos), "atan": givesDegrees(math.Atan),
}

var ofTwo = map[string]func(a, b float64) float64{
	"+": func(a, b float64) float64 { return a + b }, "-": func(a, b float64) float64 { return a - b },
	"*": func(a, b float64) float64 { return a * b }, "/": func(a, b float64) float64 { return a / b },
	"min": math.Min, "max": math.Max, "hypot": math.Hypot, "pow": math.Pow,
	"atan2": func(a, b float64) float64 { return inDegrees(math.Atan2(a, b)) },
}

// The base unit of angles is the degree.
func takesDegrees(f func(float64) float64) func(float64) float64 {
	return func(a float64) float64 { return f(a * math.Pi / 180) }
}

func givesDegrees(f func(float64) float64) func(float64) float64 {
	return func(a float64) float64 { return inDegrees(f(a)) }
}
