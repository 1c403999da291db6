package weld

import (
	"math"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Hole is a blind hole to be filled, or several of one size.
type Hole struct {
	Diameter quantity.Quantity
	Depth    quantity.Quantity // of the full diameter
	Point    quantity.Quantity // angle of the drill point, 118 deg; left out: a flat bottom
	// Cap is the height of the reinforcement above the face, a spherical segment
	// over CapDiameter; left out: none. CapDiameter left out is Diameter.
	Cap, CapDiameter quantity.Quantity
	Count            int // 0 counts as 1
}

// Volume is the weld metal that holes take, in mm³ or in³.
type Volume struct {
	Cylinder, Tip, Cap quantity.Quantity // of all holes together
	Total              quantity.Quantity // with the allowance

	Notes    []string
	Cautions []Caution
}

// Fill computes the volume of weld metal for holes:
//
//	cylinder π·D²·h/4    drill point π·D³/(24·tan(s/2))
//	cap π·c·(3a²+c²)/6, a spherical segment of height c on radius a
//	total (all of them)·(1 + allowance)
//
// (solid geometry). The allowance is a plain number such as 10 % for metal that
// is machined away or lands beside the hole; left out it is 0.
func Fill(allowance quantity.Quantity, holes ...Hole) (Volume, error) {
	var s sums
	s.ZeroOr(allowance, "allowance", quantity.Number, "10 %, or leave it out")
	if len(holes) == 0 {
		s.Fail("no holes; type the diameter and depth of at least one")
	}
	var v Volume
	for _, h := range holes {
		s.hole(h)
		if s.Err != nil {
			return Volume{}, s.Err
		}
		v.fill(&s, h, check.UnitLike(holes[0].Diameter, "mm³", "in³"))
	}
	if s.Err != nil {
		return Volume{}, s.Err
	}
	v.Total = s.Add(s.Add(v.Cylinder, v.Tip), v.Cap)
	if !allowance.IsZeroValue() {
		v.Total = s.Add(v.Total, v.Total.Mul(allowance))
	}
	v.Notes, v.Cautions = hints(), Cautions()
	return v, s.Err
}

func (s *sums) hole(h Hole) {
	s.Positive(h.Diameter, "diameter of the hole", quantity.Length, "0.3125 in or 8 mm")
	s.Positive(h.Depth, "depth of the hole", quantity.Length, "0.75 in or 20 mm")
	s.Optional(h.Point, "angle of the drill point", quantity.Angle, "118 deg")
	s.ZeroOr(h.Cap, "height of the cap", quantity.Length, "0.06 in or 1.5 mm, or leave it out")
	s.Optional(h.CapDiameter, "diameter of the cap", quantity.Length, "0.4 in or 10 mm")
	if s.Err != nil {
		return
	}
	switch {
	case h.Count < 0 || h.Count > 100000:
		s.Fail("number of holes: %d; type a whole number from 1 on", h.Count)
	case !h.Point.IsZeroValue() && (h.Point.Float() < 30 || h.Point.Float() > 175):
		s.Fail("angle of the drill point: %s; type the full angle between 30 and 175 deg, such as 118 deg, or leave it out for a flat bottom", h.Point)
	case !h.CapDiameter.IsZeroValue() && h.CapDiameter.Rat().Cmp(h.Diameter.Rat()) < 0:
		s.Fail("diameter of the cap: %s is smaller than the %s hole; type at least the diameter of the hole", h.CapDiameter, h.Diameter)
	}
}

// fill adds the metal of one hole, times its count.
func (v *Volume) fill(s *sums, h Hole, u quantity.Unit) {
	count := big.NewRat(int64(max(1, h.Count)), 1)
	put := func(into *quantity.Quantity, q quantity.Quantity) {
		q = s.Keep(q.Scale(count).As(u))
		if into.IsZeroValue() {
			*into = q
			return
		}
		*into = s.Add(*into, q)
	}
	d2 := h.Diameter.Mul(h.Diameter)
	none := d2.Mul(h.Diameter).Scale(new(big.Rat))
	put(&v.Cylinder, check.Pi().Mul(d2).Mul(h.Depth).Scale(big.NewRat(1, 4)))
	tip := none
	if !h.Point.IsZeroValue() {
		tan := quantity.FromFloat(math.Tan(h.Point.Float()*math.Pi/360), quantity.One)
		tip = s.Div(check.Pi().Mul(d2).Mul(h.Diameter).Scale(big.NewRat(1, 24)), tan)
	}
	put(&v.Tip, tip)
	segment := none
	if h.Cap.Sign() > 0 {
		a := h.CapDiameter
		if a.IsZeroValue() {
			a = h.Diameter
		}
		round := s.Add(a.Mul(a).Scale(big.NewRat(3, 4)), h.Cap.Mul(h.Cap))
		segment = check.Pi().Mul(h.Cap).Mul(round).Scale(big.NewRat(1, 6))
	}
	put(&v.Cap, segment)
}
