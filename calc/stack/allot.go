package stack

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"

	"tenths/calc/formula"
	"tenths/calc/quantity"
)

// Method is how a tolerance is shared out.
type Method string

// The methods. Equal gives all inputs the same half-width. Scaled keeps the
// proportions of the tolerances that there are (proportional scaling, as in the
// Dimensioning and Tolerancing Handbook, ch. 9 and 14, from memory). BySize takes
// the tolerance unit of ISO 286-1 at the nominal size, so that every input is as hard
// to hold as the others. LeastCost makes the sum of the costs the least, where the
// cost of a tolerance t grows as 1/t (K. W. Chase, Minimum-cost tolerance
// allocation, 1999, from memory).
const (
	Equal     Method = "equal"
	Scaled    Method = "scaled"
	BySize    Method = "size"
	LeastCost Method = "cost"
)

// Methods lists them.
func Methods() []Method { return []Method{Equal, Scaled, BySize, LeastCost} }

// Allotment is a tolerance shared out over the inputs of a stack.
type Allotment struct {
	Method      Method
	Statistical bool // for the root sum square; else for the worst case
	// Room is ± what the limits leave about the middle of the inputs, on the
	// nearer side, and Off how far that middle lies from the middle of the limits
	// (zero Quantity with one limit only): moved there, it would leave more.
	Room, Off quantity.Quantity
	Items     []Item
	// Cost and CostBefore are the sums of the costs; 0 without.
	Cost, CostBefore float64
	// Result is the formula with the tolerances allotted, about the middle of those
	// before.
	Result *formula.Result
}

// Item is what one input gets.
type Item struct {
	Name   string
	Middle quantity.Quantity
	Before quantity.Quantity // half-width that it had
	// Half is the half-width that it gets, rounded down to Decimals of its unit.
	Half  quantity.Quantity
	Fixed bool
}

// share is an input that takes part in an allotment, with its weight and slope.
type share struct {
	item   *Item
	in     formula.Input
	slope  float64 // |s|
	before float64 // half-width, base units
	weight float64
}

// Allot finds half-widths with which the stack keeps its limits: k·weight for every
// input that is not fixed, with the largest k for which
//
//	worst case        sum |s|·t <= room
//	root sum square   sum (s·t)² <= room²
//
// Half-widths are rounded down. Where the formula is not linear the worst case is
// computed anew, and k made smaller until it is inside.
//
// Errors: those of Judge; a formula without slopes; an input that moves with a
// common source; weights that cannot be had (a tolerance for Scaled, a length for
// BySize, costs for LeastCost); middles outside the limits; fixed inputs that take
// all there is.
func Allot(s Stack, m Method, statistical bool) (*Allotment, error) {
	standing, err := Judge(s)
	if err != nil {
		return nil, err
	}
	r := standing.Result
	if r.NoSlope != nil {
		return nil, fmt.Errorf("a tolerance cannot be shared out without slopes: %w", r.NoSlope)
	}
	a := &Allotment{Method: m, Statistical: statistical}
	if err := a.room(s, r); err != nil {
		return nil, err
	}
	shares, err := a.shares(s, r)
	if err != nil {
		return nil, err
	}
	k, err := a.factor(shares)
	if err != nil {
		return nil, err
	}
	// Rounding down, or a bend of the formula, can only be met by less.
	for range 60 {
		inputs := a.give(s, shares, k)
		if a.Result, err = s.eval(inputs); err != nil {
			return nil, err
		}
		inside, err := a.keeps(s)
		if err != nil {
			return nil, err
		}
		if inside {
			a.costs(s, shares)
			return a, nil
		}
		k *= 0.99
	}
	return nil, errors.New("no tolerances were found with which the result keeps its limits: it bends too much about the middle of the inputs")
}

// room finds what the limits leave about the centre.
func (a *Allotment) room(s Stack, r *formula.Result) error {
	var sides []quantity.Quantity
	if s.Limits.HasLower() {
		q, err := r.Centre.Sub(s.Limits.Lower)
		if err != nil {
			return err
		}
		sides = append(sides, q)
	}
	if s.Limits.HasUpper() {
		q, err := s.Limits.Upper.Sub(r.Centre)
		if err != nil {
			return err
		}
		sides = append(sides, q)
	}
	for _, q := range sides {
		q, err := q.As(r.Value.Unit().Difference())
		if err != nil {
			return err
		}
		if a.Room.IsZeroValue() || q.Rat().Cmp(a.Room.Rat()) < 0 {
			a.Room = q
		}
	}
	if middle, ok := s.Limits.Middle(); ok {
		off, err := r.Centre.Sub(middle)
		if err != nil {
			return err
		}
		a.Off = off
	}
	if a.Room.Sign() <= 0 {
		return fmt.Errorf("with every input in the middle of its limits the result is %s, which is not inside %s: change a nominal size first", r.Centre, s.Limits)
	}
	return nil
}

// shares lists the inputs that take part, fixed ones with a weight of 0.
func (a *Allotment) shares(s Stack, r *formula.Result) ([]*share, error) {
	var out []*share
	free := 0
	for i, in := range s.Inputs {
		if in.Common.Source != "" {
			return nil, fmt.Errorf("%s moves with %s: a tolerance is shared out over inputs that vary on their own", in.Name, in.Common.Source)
		}
		c := contributor(r, in)
		if c == nil {
			continue // the same thing as an input before it
		}
		fixed := slices.Contains(s.Fixed, in.Name) || c.Sensitivity.Sign() == 0
		if c.HalfWidth.Sign() == 0 && (fixed || a.Method == Scaled || a.Method == LeastCost || in.Value.Nominal.Dim() != quantity.Length) {
			continue // a constant
		}
		middle, ok := in.Value.Middle()
		if !ok {
			middle = in.Value.Nominal
		}
		sh := &share{in: s.Inputs[i], slope: math.Abs(c.Sensitivity.Float()), before: c.HalfWidth.Float(),
			item: &Item{Name: in.Name, Middle: middle, Before: c.HalfWidth, Half: c.HalfWidth, Fixed: fixed}}
		if !fixed {
			free++
			var err error
			if sh.weight, err = a.weight(sh, s.Costs[in.Name]); err != nil {
				return nil, err
			}
		}
		out = append(out, sh)
	}
	if free == 0 {
		return nil, errors.New("no input is left over which a tolerance could be shared out: give the inputs tolerances, or fix fewer of them")
	}
	if a.Method == Equal {
		for _, sh := range out {
			if !sh.item.Fixed && sh.item.Middle.Dim() != out[0].item.Middle.Dim() {
				return nil, fmt.Errorf("%s and %s are not of one kind, so that no tolerance is equal for both", out[0].item.Name, sh.item.Name)
			}
		}
	}
	return out, nil
}

func contributor(r *formula.Result, in formula.Input) *formula.Contributor {
	for i, c := range r.Contributors {
		if c.Name == in.Name {
			return &r.Contributors[i]
		}
	}
	return nil
}

// weight is what the half-width of an input is in proportion to.
func (a *Allotment) weight(sh *share, cost float64) (float64, error) {
	switch a.Method {
	case Equal:
		return 1, nil
	case Scaled:
		return sh.before, nil
	case BySize:
		if sh.item.Middle.Dim() != quantity.Length {
			return 0, fmt.Errorf("%s is no length, and the tolerance unit of ISO 286-1 is one of sizes; fix it, or share out in another way", sh.item.Name)
		}
		d := math.Abs(sh.item.Middle.FloatIn(quantity.Millimetre))
		u, err := ToleranceUnit(d)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", sh.item.Name, err)
		}
		return u, nil
	case LeastCost:
		if cost == 0 {
			return 0, fmt.Errorf("%s has no cost; state what it costs to hold the tolerance it has", sh.item.Name)
		}
		// cost·before/t + λ·constraint is least where its derivative is zero.
		if a.Statistical {
			return math.Cbrt(cost * sh.before / (sh.slope * sh.slope)), nil
		}
		return math.Sqrt(cost * sh.before / sh.slope), nil
	}
	return 0, fmt.Errorf("%q is no way to share out a tolerance; ways are equal, scaled, size and cost", string(a.Method))
}

// ToleranceUnit is the standard tolerance factor of ISO 286-1 for a size in mm, in
// um: 0.45·D^(1/3) + 0.001·D up to 500 mm, 0.004·D + 2.1 up to 3150 mm. The standard
// takes the geometric mean of a range of sizes, this the size itself, so that it does
// not jump; a size under 1 mm counts as 1 mm.
func ToleranceUnit(d float64) (float64, error) {
	switch {
	case d <= 500:
		d = max(d, 1)
		return 0.45*math.Cbrt(d) + 0.001*d, nil
	case d <= 3150:
		return 0.004*d + 2.1, nil
	}
	return 0, fmt.Errorf("%g mm is beyond the 3150 mm of ISO 286-1", d)
}

// factor is the largest k by the slopes.
func (a *Allotment) factor(shares []*share) (float64, error) {
	room, fixed, free := a.Room.Float(), 0.0, 0.0
	for _, sh := range shares {
		f, w := sh.slope*sh.before, sh.slope*sh.weight
		if a.Statistical {
			f, w = f*f, w*w
		}
		if sh.item.Fixed {
			fixed += f
		} else {
			free += w
		}
	}
	if a.Statistical {
		room *= room
	}
	if fixed >= room {
		left := ""
		if !a.Statistical {
			left = "; even the root sum square may have room"
		}
		return 0, fmt.Errorf("the fixed inputs alone take all of the ±%s that there is%s", a.Room, left)
	}
	k := (room - fixed) / free
	if a.Statistical {
		k = math.Sqrt(k)
	}
	return k, nil
}

// decimals are those to which a half-width is rounded down.
var decimals = map[string]int{"in": 5, "mm": 4, "thou": 2, "tenths": 1, "um": 1, "deg": 3}

// give rounds the half-widths down, notes them and puts them into the inputs.
func (a *Allotment) give(s Stack, shares []*share, k float64) []formula.Input {
	a.Items = nil
	out := slices.Clone(s.Inputs)
	for _, sh := range shares {
		item := *sh.item
		if !item.Fixed {
			item.Half = roundedDown(k*sh.weight, item.Middle.Unit().Difference())
		}
		a.Items = append(a.Items, item)
		for i, in := range out {
			if in.Name != item.Name && (in.Source == "" || in.Source != sh.in.Source) {
				continue
			}
			if half := item.Half; half.Sign() != 0 {
				low, _ := item.Middle.Sub(half) // of one kind
				high, _ := item.Middle.Add(half)
				out[i].Value = quantity.Toleranced{Nominal: item.Middle, Lower: low, Upper: high}
			}
		}
	}
	return out
}

// keeps reports whether the result is inside the limits, by the worst case or the
// root sum square.
func (a *Allotment) keeps(s Stack) (bool, error) {
	low, high := a.Result.WorstLower, a.Result.WorstUpper
	if a.Statistical {
		var err error
		if low, err = a.Result.Centre.Sub(a.Result.RSS); err != nil {
			return false, err
		}
		if high, err = a.Result.Centre.Add(a.Result.RSS); err != nil {
			return false, err
		}
	}
	side, err := s.side(low, high)
	return side == quantity.Inside || side == quantity.TooClose, err
}

// costs sums up what the tolerances cost before and after.
func (a *Allotment) costs(s Stack, shares []*share) {
	for i, sh := range shares {
		cost, half := s.Costs[sh.item.Name], a.Items[i].Half.Float()
		if cost == 0 || half == 0 {
			continue
		}
		a.CostBefore += cost
		a.Cost += cost * sh.before / half
	}
}

// roundedDown is a length in base units as a half-width of its unit.
func roundedDown(v float64, u quantity.Unit) quantity.Quantity {
	q, err := quantity.New(new(big.Rat).SetFloat64(v), quantity.BaseUnit(u.Dim())).As(u)
	n, known := decimals[u.Name()]
	if err != nil || !known {
		return q
	}
	in, err := q.In(u)
	if err != nil {
		return q
	}
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil))
	// A billionth of the last digit is binary rounding, and no size.
	in.Add(in.Mul(in, scale), big.NewRat(1, 1_000_000_000))
	floor := new(big.Int).Div(in.Num(), in.Denom())
	if floor.Sign() == 0 {
		return q // less than the last digit
	}
	return quantity.New(new(big.Rat).Quo(new(big.Rat).SetInt(floor), scale), u).WithDecimals(n)
}
