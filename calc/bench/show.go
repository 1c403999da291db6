package bench

import (
	"encoding/json"
	"math"
	"math/big"
	"strconv"
	"strings"

	"tenths/calc/quantity"
)

// places are the decimals that a computed length or angle deserves: about a
// tenth of what a good shop can measure.
var places = map[string]int{"in": 5, "mm": 4, "cm": 5, "m": 7, "thou": 2, "tenths": 1, "um": 1, "uin": 0, "deg": 3, "arcmin": 1, "arcsec": 0}

// counterparts are units of the two systems that stand for each other when the
// answer is asked for in the other system.
var counterparts = []struct{ metric, inch string }{
	{"mm", "in"}, {"N", "lbf"}, {"N/mm²", "lbf/in²"}, {"N·m", "lbf·in"}, {"mm/min", "in/min"}, {"mm³", "in³"}, {"mm²", "in²"},
}

// show gives a result in the unit of the answer. An exact value keeps its
// digits where they are few; others get what their unit deserves.
func (w *work) show(q quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() {
		return q
	}
	if u, ok := w.target(q); ok {
		q = w.keep(q.As(u))
	}
	return tidy(q)
}

// near is show for what rests on a measured or physical constant: the digits of
// its unit and no more, however exact the arithmetic.
func (w *work) near(q quantity.Quantity) quantity.Quantity {
	q = w.show(q)
	if n, ok := places[q.Unit().Name()]; ok && !q.IsZeroValue() {
		return shownWith(q, n)
	}
	return q
}

// padded is show with the zeros that say how finely a limit is known.
func (w *work) padded(q quantity.Quantity) quantity.Quantity {
	q = w.show(q)
	n, ok := places[q.Unit().Name()]
	if !ok || q.IsZeroValue() || q.Decimals() >= 0 {
		return q
	}
	if v, err := q.In(q.Unit()); err == nil {
		if d, ends := v.FloatPrec(); ends && d < n {
			return q.WithDecimals(n)
		}
	}
	return q
}

// target is the unit that a result goes to, if any.
func (w *work) target(q quantity.Quantity) (quantity.Unit, bool) {
	u := q.Unit()
	switch {
	case w.unit.IsZero() || u.Point():
		return u, false
	case q.Dim() == w.unit.Dim():
		return w.unit, true
	case w.unit.Dim() != quantity.Length || u.System() == "" || u.System() == w.unit.System():
		return u, false
	}
	for _, c := range counterparts {
		name := c.metric
		if w.unit.System() == quantity.Inch.System() {
			name = c.inch
		}
		if to, ok := quantity.LookupUnit(name); ok && to.Dim() == q.Dim() {
			return to, true
		}
	}
	return u, false
}

// tidy takes digits off a computed value that says more than it can know.
func tidy(q quantity.Quantity) quantity.Quantity {
	n, ok := places[q.Unit().Name()]
	if !ok || q.IsZeroValue() || q.Decimals() >= 0 || strings.Contains(q.String(), "/") {
		return q
	}
	if v, err := q.In(q.Unit()); err == nil && q.Exact() {
		if d, ends := v.FloatPrec(); ends && d <= n+2 {
			return q
		}
	}
	return shownWith(q, n)
}

// shownWith shows n decimals, and more where nothing would be left of a value
// that is not nothing.
func shownWith(q quantity.Quantity, n int) quantity.Quantity {
	for extra := range 6 {
		shown := q.WithDecimals(n + extra)
		if q.Sign() == 0 || strings.ContainsAny(shown.String(), "123456789") {
			return shown
		}
	}
	return q
}

// down is an upper bound of what may be made, rounded down to n decimals so
// that the number shown is still permitted.
func down(q quantity.Quantity, n int) quantity.Quantity {
	v, err := q.In(q.Unit())
	if err != nil {
		return q
	}
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil))
	v.Mul(v, scale)
	// A millionth of the last digit is binary rounding, not size.
	v.Add(v, big.NewRat(1, 1000000))
	floor := new(big.Int).Div(v.Num(), v.Denom()) // Euclidean: down for a positive denominator
	return quantity.New(new(big.Rat).Quo(new(big.Rat).SetInt(floor), scale), q.Unit()).WithDecimals(n)
}

// up is down for a lower bound.
func up(q quantity.Quantity, n int) quantity.Quantity { return down(q.Neg(), n).Neg() }

// outward shows one end of an interval, rounded away from it by down or up.
func (w *work) outward(q quantity.Quantity, round func(quantity.Quantity, int) quantity.Quantity) Rough {
	if q.IsZeroValue() {
		return Rough{}
	}
	if u, ok := w.target(q); ok {
		q = w.keep(q.As(u))
	}
	r := Rough{Quantity: q, text: tidy(q).String()}
	if n, ok := places[q.Unit().Name()]; ok {
		r.text = round(q, n).String()
	}
	return r
}

// notAbove shows a value that may be commanded: as it is where its digits end, else
// rounded down.
func (w *work) notAbove(q quantity.Quantity) Rough {
	r := w.outward(q, down)
	if r.IsZeroValue() || !r.Exact() {
		return r
	}
	if shown := tidy(r.Quantity); shown.Decimals() < 0 || down(r.Quantity, shown.Decimals()).Rat().Cmp(r.Rat()) == 0 {
		r.text = shown.String()
	}
	return r
}

// signed shows a deviation with its sign.
func signed(q quantity.Quantity) string {
	if q.Sign() > 0 {
		return "+" + q.String()
	}
	return q.String()
}

// plus shows the second term of a sum: "+ 0.021 mm", "- 0.007 mm".
func plus(q quantity.Quantity) string {
	if q.Sign() < 0 {
		return "- " + q.Neg().String()
	}
	return "+ " + q.String()
}

// counted is a number of things in words.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// span shows an interval, or one number where both ends look alike.
func span(low, high interface{ String() string }) string {
	if low.String() == high.String() {
		return low.String()
	}
	return low.String() + " to " + high.String()
}

// Rough is a quantity that deserves only a few significant digits, because it
// rests on friction, strength, heat or probability. Its text is rounded to them;
// its value is not.
type Rough struct {
	quantity.Quantity
	digits int
	text   string // in place of the digits
}

// rough shows a result with the given significant digits in the unit of the
// answer.
func (w *work) rough(q quantity.Quantity, digits int) Rough {
	if u, ok := w.target(q); ok && !q.IsZeroValue() {
		q = w.keep(q.As(u))
	}
	return Rough{Quantity: q, digits: digits}
}

// String shows the significant digits.
func (r Rough) String() string {
	if r.text != "" {
		return r.text
	}
	if r.IsZeroValue() || r.Sign() == 0 {
		return r.Quantity.String()
	}
	u := r.Unit()
	v, err := r.In(u)
	if err != nil {
		return r.Quantity.String()
	}
	f, _ := new(big.Rat).Abs(v).Float64()
	n := r.digits - 1 - int(math.Floor(math.Log10(f)))
	// 99.96 with three digits is 100, not 100.0.
	if math.Round(f*math.Pow10(n)) >= math.Pow10(r.digits) {
		n--
	}
	if n >= 0 {
		return r.Format(u, n)
	}
	tens := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(-n)), nil))
	whole, ok := new(big.Rat).SetString(quantity.New(v.Quo(v, tens), quantity.One).Format(quantity.One, 0))
	if !ok {
		return r.Quantity.String()
	}
	return quantity.New(whole.Mul(whole, tens), u).Format(u, 0)
}

// keys are those of a quantity in JSON.
type keys struct {
	Value json.Number `json:"value"`
	Unit  string      `json:"unit"`
	Text  string      `json:"text"`
}

// MarshalJSON is that of a quantity, with the rounded text.
func (r Rough) MarshalJSON() ([]byte, error) {
	raw, err := json.Marshal(r.Quantity)
	if err != nil || r.IsZeroValue() {
		return raw, err
	}
	var k keys
	if err := json.Unmarshal(raw, &k); err != nil {
		return nil, err
	}
	k.Text = r.String()
	return json.Marshal(k)
}

// percent is a share of 0 to 1 in %, with two digits of it, or of what is
// missing to all.
func percent(share float64) Rough {
	u, _ := quantity.LookupUnit("%")
	r := Rough{Quantity: quantity.FromFloat(share*100, u), digits: 2}
	const edge = 1e-4
	switch rest := 1 - share; {
	case share > 0 && share < edge:
		r.text = "under 0.01 %"
	case rest > 0 && rest < edge:
		r.text = "over 99.99 %"
	case rest > 0 && rest < 0.1:
		r.digits = 1 + int(math.Ceil(-math.Log10(rest)))
	}
	return r
}
