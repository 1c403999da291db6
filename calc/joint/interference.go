package joint

import (
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Interference is the least and the most interference of a shaft in a hole, on
// the diameter: smallest shaft minus largest hole, and largest shaft minus
// smallest hole (ISO 286-1, fits; below 0 is clearance). Exact, in the unit of
// the shaft. It is an error when a limit is missing or not a length above 0.
func Interference(hole, shaft quantity.Toleranced) (least, most quantity.Quantity, err error) {
	var s sums
	for _, part := range []struct {
		name string
		t    quantity.Toleranced
		eg   string
	}{{"hole", hole, "0.1875 +0.0005/-0 in or 8 mm H7"}, {"shaft", shaft, "0.1877 +0.0002/-0 in or 8 mm m6"}} {
		if !part.t.HasLower() || !part.t.HasUpper() {
			s.Fail("%s: %q lacks a limit; type both, such as %s", part.name, part.t.String(), part.eg)
		}
		s.Positive(part.t.Lower, "lower limit of the "+part.name, quantity.Length, part.eg)
		s.Positive(part.t.Upper, "upper limit of the "+part.name, quantity.Length, part.eg)
	}
	if s.Err != nil {
		return quantity.Quantity{}, quantity.Quantity{}, s.Err
	}
	return s.Sub(shaft.Lower, hole.Upper), s.Sub(shaft.Upper, hole.Lower), s.Err
}

// Flattened is the interference on the diameter that goes into flattening the
// two rough surfaces when they are pressed together, 0.2·(Rz of the shaft + Rz of
// the hole), exact, in the unit of the first. What remains makes the pressure.
// Rz is about 6·Ra for ground and turned surfaces (one source, tribology-abc.com;
// Rz and Ra as in ISO 21920-2).
func Flattened(rzShaft, rzHole quantity.Quantity) (quantity.Quantity, error) {
	var s sums
	s.Positive(rzShaft, "roughness Rz of the shaft", quantity.Length, "3 um or 120 uin")
	s.Positive(rzHole, "roughness Rz of the hole", quantity.Length, "3 um or 120 uin")
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	return s.Add(rzShaft, rzHole).Scale(big.NewRat(1, 5)), s.Err
}

// ShrinkageFactor is the factor C of handbook tables of shrinkage fits, where the
// allowance for each unit of diameter is T·(1+C)/E and T the stress in the hub:
//
//	C = (Ks - νs) / (Kh + νh)
//
// with Kh = (R²+1)/(R²-1) for R, hub outside over joint, and Ks the same of joint
// over shaft bore, 1 for a solid shaft (bore 0 or left out).
//
// T is the stress by the criterion of the largest strain, p·(Kh+νh), and NOT the
// hoop stress of Press: the two must not be compared. The table of Machinery's
// Handbook (31st ed., pp. 644-645) is met to 0.0006 with ν = 1/3 for
// steel and 1/4 for cast iron hubs, one modulus for both parts; that form was
// found from the table, whose text does not print it.
func ShrinkageFactor(joint, outside, bore, nuHub, nuShaft quantity.Quantity) (quantity.Quantity, error) {
	var s sums
	s.Positive(joint, "diameter of the joint", quantity.Length, egLength)
	s.Positive(outside, "outside of the hub", quantity.Length, "1.5 in or 40 mm")
	s.ZeroOr(bore, "bore of the shaft", quantity.Length, egLength+", or leave it out for a solid shaft")
	s.Positive(nuHub, "Poisson's ratio of the hub", quantity.Number, "1/3")
	s.Positive(nuShaft, "Poisson's ratio of the shaft", quantity.Number, "1/3")
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	if !below(joint, outside) {
		s.Fail("outside of the hub: %s leaves no metal round the %s joint; type the larger diameter", outside, joint)
	}
	if !bore.IsZeroValue() && !below(bore, joint) {
		s.Fail("bore of the shaft: %s is not inside the %s shaft; type the smaller diameter, or leave it out for a solid shaft", bore, joint)
	}
	one := plain(1, 1)
	g := s.stiffness(Fit{Diameter: joint, HubOutside: outside, ShaftBore: bore, Hub: Member{E: one, Nu: nuHub}, Shaft: Member{E: one, Nu: nuShaft}})
	return s.Div(g.shaft, g.hub), s.Err
}

// Allowance is the interference on the diameter d for the stress t of a
// shrinkage table, d·t·(1+c)/e, exact, in the unit of d.
func Allowance(d, t, c, e quantity.Quantity) (quantity.Quantity, error) {
	var s sums
	s.Positive(d, "diameter of the joint", quantity.Length, egLength)
	s.Positive(t, "stress in the hub", check.Stress, egStress)
	s.Positive(c, "shrinkage factor", quantity.Number, "0.333")
	s.Positive(e, "modulus of elasticity", check.Stress, egModulus)
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	a := d.Mul(s.Div(t, e)).Mul(s.Add(plain(1, 1), c))
	return s.Keep(a.As(d.Unit())), s.Err
}
