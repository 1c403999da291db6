package formula

import (
	"math"
	"math/big"
)

// ival is a closed interval of numbers in base units that holds a value for
// certain: every operation rounds outwards, unless it is exact (R. E. Moore,
// Interval Analysis, 1966). An end may be infinite.
type ival struct{ lo, hi float64 }

var everything = ival{math.Inf(-1), math.Inf(1)}

func down(v float64) float64 { return math.Nextafter(v, math.Inf(-1)) }

func up(v float64) float64 { return math.Nextafter(v, math.Inf(1)) }

// loosened reaches further by a part of the value, for functions whose last bits
// are not sure, and by a little for those near zero.
func (a ival) loosened(by float64) ival {
	const part, least = 1.0 / (1 << 49), 1e-300
	return ival{a.lo - math.Abs(a.lo)*part - by - least, a.hi + math.Abs(a.hi)*part + by + least}
}

// between is the interval from low to high.
func between(low, high *big.Rat) ival {
	var a ival
	var exact bool
	if a.lo, exact = low.Float64(); !exact {
		a.lo = down(a.lo)
	}
	if a.hi, exact = high.Float64(); !exact {
		a.hi = up(a.hi)
	}
	return a
}

func (s span) ival() ival { return between(s.below(), s.above()) }

func (a ival) width() float64 { return a.hi - a.lo }

func (a ival) middle() float64 { return a.lo/2 + a.hi/2 }

func (a ival) point() bool { return a.lo == a.hi }

func (a ival) holds(v float64) bool { return a.lo <= v && v <= a.hi }

func (a ival) join(b ival) ival { return ival{min(a.lo, b.lo), max(a.hi, b.hi)} }

// meet is what both hold; both are known to hold the value.
func (a ival) meet(b ival) ival { return ival{max(a.lo, b.lo), min(a.hi, b.hi)} }

func (a ival) neg() ival { return ival{-a.hi, -a.lo} }

func (a ival) add(b ival) ival {
	lo, hi := a.lo+b.lo, a.hi+b.hi
	if rest(a.lo, b.lo, lo) {
		lo = down(lo)
	}
	if rest(a.hi, b.hi, hi) {
		hi = up(hi)
	}
	return ival{lo, hi}
}

// rest reports whether a sum left something out (D. E. Knuth, The Art of Computer
// Programming 2, 4.2.2: the error of a sum is a number itself).
func rest(a, b, sum float64) bool {
	c := sum - a
	return (a-(sum-c))+(b-c) != 0
}

func (a ival) sub(b ival) ival { return a.add(b.neg()) }

func (a ival) mul(b ival) ival {
	out := ival{math.Inf(1), math.Inf(-1)}
	for _, x := range [2]float64{a.lo, a.hi} {
		for _, y := range [2]float64{b.lo, b.hi} {
			lo, hi := product(x, y)
			out.lo, out.hi = min(out.lo, lo), max(out.hi, hi)
		}
	}
	return out
}

// product holds x·y; nothing times infinity is nothing, as ends of ranges go.
func product(x, y float64) (lo, hi float64) {
	if x == 0 || y == 0 {
		return 0, 0
	}
	p := x * y
	if math.Abs(p) > 1e-280 && !math.IsInf(p, 0) && math.FMA(x, y, -p) == 0 {
		return p, p
	}
	if math.IsInf(x, 0) || math.IsInf(y, 0) {
		return p, p
	}
	return down(p), up(p)
}

// square is a·a of one and the same a.
func (a ival) square() ival {
	m := a.abs()
	lo, _ := product(m.lo, m.lo)
	_, hi := product(m.hi, m.hi)
	return ival{max(0, lo), hi}
}

func (a ival) abs() ival {
	switch {
	case a.lo >= 0:
		return a
	case a.hi <= 0:
		return a.neg()
	}
	return ival{0, max(-a.lo, a.hi)}
}

// over is a/b for a b that does not hold zero.
func (a ival) over(b ival) ival {
	out := ival{math.Inf(1), math.Inf(-1)}
	for _, x := range [2]float64{a.lo, a.hi} {
		for _, y := range [2]float64{b.lo, b.hi} {
			q := x / y
			lo, hi := down(q), up(q)
			switch {
			case x == 0 || math.IsInf(y, 0):
				lo, hi = min(0, q), max(0, q)
				if math.IsNaN(q) { // infinity over infinity
					lo, hi = math.Inf(-1), math.Inf(1)
				}
			case math.Abs(q) > 1e-280 && !math.IsInf(q, 0) && math.FMA(q, y, -x) == 0 && math.Abs(x) > 1e-280:
				lo, hi = q, q
			}
			out.lo, out.hi = min(out.lo, lo), max(out.hi, hi)
		}
	}
	return out
}

// power is a to a whole power above zero.
func (a ival) power(n int64) ival {
	if n%2 == 0 {
		a = a.abs()
	}
	return ival{powerEnd(a.lo, n).lo, powerEnd(a.hi, n).hi}
}

func powerEnd(x float64, n int64) ival {
	y := ival{1, 1}
	for range n {
		y = y.mul(ival{x, x})
	}
	return y
}

// root is the square root of what is not below zero.
func (a ival) root() ival {
	lo, hi := math.Sqrt(a.lo), math.Sqrt(a.hi)
	if math.FMA(lo, lo, -a.lo) != 0 {
		lo = max(0, down(lo))
	}
	if !math.IsInf(hi, 0) && math.FMA(hi, hi, -a.hi) != 0 {
		hi = up(hi)
	}
	return ival{lo, hi}
}

// degree holds pi/180.
var degree = ival{down(math.Pi / 180), up(math.Pi / 180)}

// sine is that of an angle in degrees.
func (a ival) sine() ival {
	if !(a.width() < 360) {
		return ival{-1, 1}
	}
	// What the float64 of an angle in radians leaves out; it also covers a crest
	// that lies on an end.
	rounding := (max(math.Abs(a.lo), math.Abs(a.hi))*math.Pi/180 + 1) * 0x1p-49
	lo, hi := math.Sin(a.lo*math.Pi/180), math.Sin(a.hi*math.Pi/180)
	s := ival{min(lo, hi) - rounding, max(lo, hi) + rounding}
	if a.passes(90) {
		s.hi = 1
	}
	if a.passes(270) {
		s.lo = -1
	}
	return s.meet(ival{-1, 1})
}

func (a ival) cosine() ival { return a.add(ival{90, 90}).sine() }

// passes reports whether the interval holds deg plus whole turns.
func (a ival) passes(deg float64) bool {
	return math.Floor((a.lo-deg)/360) != math.Floor((a.hi-deg)/360)
}

// rising holds a rising function over the interval.
func (a ival) rising(f func(float64) float64) ival { return ival{f(a.lo), f(a.hi)}.loosened(0) }
