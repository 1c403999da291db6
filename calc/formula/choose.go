package formula

import (
	"math/big"

	"tenths/calc/quantity"
)

func abs(a []quantity.Quantity) (quantity.Quantity, error) { return a[0].Abs(), nil }

func slopesAbs(a []quantity.Quantity, _ quantity.Quantity) ([]quantity.Quantity, error) {
	if a[0].Sign() == 0 {
		return nil, complain(-1, "", "abs has no slope at zero, which is the middle here")
	}
	return []quantity.Quantity{plain(int64(a[0].Sign()))}, nil
}

func reachAbs(a []span) (span, error) {
	s := a[0]
	switch {
	case s.lo.Sign() >= 0:
		return s, nil
	case s.hi.Sign() <= 0:
		return reachNeg(a)
	}
	zero := s.lo.Scale(new(big.Rat))
	return span{lo: zero, hi: hull(s.lo.Neg(), s.hi).hi}, nil
}

func linearAbs(a []dual) bool { return a[0].affine && !foldsAbs([]span{a[0].reach}) }

func foldsAbs(a []span) bool { return a[0].below().Sign() < 0 && a[0].above().Sign() > 0 }

func least(a []quantity.Quantity) (quantity.Quantity, error) { return chosen("min", a, -1) }

func greatest(a []quantity.Quantity) (quantity.Quantity, error) { return chosen("max", a, 1) }

// chosen is the least (side -1) or greatest (side 1) of its arguments, shown in
// the unit of the first. Its error bound covers the choice between inexact
// arguments that lie close together.
func chosen(name string, a []quantity.Quantity, side int) (quantity.Quantity, error) {
	if err := sameDim(name, a); err != nil {
		return quantity.Quantity{}, err
	}
	y := a[0]
	s := span{y, y}
	low, high := s.below(), s.above()
	for _, q := range a[1:] {
		if q.Rat().Cmp(y.Rat()) == side {
			y = q
		}
		s := span{q, q}
		if b := s.below(); b.Cmp(low) == side {
			low = b
		}
		if b := s.above(); b.Cmp(high) == side {
			high = b
		}
	}
	y, err := y.As(a[0].Unit())
	if err != nil {
		return y, complain(-1, "", "%v", err)
	}
	return covered(y, low, high), nil
}

// slopesChosen is 1 for the argument that was chosen.
func slopesChosen(a []quantity.Quantity, y quantity.Quantity) ([]quantity.Quantity, error) {
	out := make([]quantity.Quantity, len(a))
	found := false
	for i, q := range a {
		if q.Rat().Cmp(y.Rat()) != 0 {
			continue
		}
		if found {
			return nil, complain(-1, "", "two arguments are equal in the middle, so there is no one slope")
		}
		out[i], found = plain(1), true
	}
	return out, nil
}

func reachMin(a []span) (span, error) { return reachChosen(a, least) }

func reachMax(a []span) (span, error) { return reachChosen(a, greatest) }

func reachChosen(a []span, f func([]quantity.Quantity) (quantity.Quantity, error)) (span, error) {
	var lows, highs []quantity.Quantity
	for _, s := range a {
		lows, highs = append(lows, s.lo), append(highs, s.hi)
	}
	lo, err := f(lows)
	if err != nil {
		return span{}, err
	}
	hi, err := f(highs)
	return span{lo, hi}, err
}

func linearMin(a []dual) bool { return chosenLinear(a, below) }

func linearMax(a []dual) bool { return chosenLinear(a, above) }

func foldsMin(a []span) bool { return survivor(a, below) < 0 }

func foldsMax(a []span) bool { return survivor(a, above) < 0 }

func below(k, other span) bool { return k.above().Cmp(other.below()) <= 0 }

func above(k, other span) bool { return below(other, k) }

func chosenLinear(a []dual, beats func(k, other span) bool) bool {
	var ranges []span
	for _, d := range a {
		ranges = append(ranges, d.reach)
	}
	i := survivor(ranges, beats)
	return i >= 0 && a[i].affine
}

// survivor is the argument that is chosen over the whole range; -1 if there is no
// one.
func survivor(a []span, beats func(k, other span) bool) int {
	for i, k := range a {
		all := true
		for j, other := range a {
			all = all && (i == j || beats(k, other))
		}
		if all {
			return i
		}
	}
	return -1
}
