package gauge

import (
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Allowance holds the values that the tables of the limit-gauge standard give
// for a size and grade. They are asked for and not carried here, because no
// table of them could be verified (ISO 1938-1, DIN 7162, IS 3455); take them
// from the edition that the gauges are made to.
type Allowance struct {
	Z quantity.Quantity // z, z1: from the GO limit of the part to the middle of the new GO gauge, inwards
	Y quantity.Quantity // y, y1: how far past the GO limit the GO gauge may wear; 0 from grade IT9 up
	H quantity.Quantity // H, H1: tolerance of the gauge itself, the whole width
	// Safety is alpha, alpha1, for sizes above 180 mm only: what the NOT GO and
	// worn GO limits keep back for the uncertainty of measuring the gauges.
	Safety quantity.Quantity
}

// LimitGauges are a GO and a NOT GO gauge by the ISO system.
type LimitGauges struct {
	Go     quantity.Toleranced // new
	GoWorn quantity.Quantity   // a GO gauge past this is withdrawn
	NotGo  quantity.Toleranced
}

// ISOLimitGauges sizes limit gauges by the formulas of the ISO system, with G
// the upper and K the lower limit of the part:
//
//	hole:  GO new = K + z ± H/2   worn = K - y + alpha     NOT GO = G - alpha ± H/2
//	shaft: GO new = G - z1 ± H1/2 worn = G + y1 - alpha1   NOT GO = K + alpha1 ± H1/2
//
// Up to and including 180 mm alpha is 0. Source: DIN 7162:1965 and IS 7876:1975
// (formulas seen; the worn limit of a shaft gauge above 180 mm is the mirror of
// the one for holes and was not seen). ISO 1938-1:2015 replaces them; its text
// was not seen. Unlike PairFor, NOT GO is centred on the limit and a worn GO may
// lie past it, so a part may be passed up to H/2 or y outside.
//
// Errors: a feature without both limits, no length, not above 0; a z, y, H that
// is missing or below 0, H of 0; a safety zone that the size does not have, or
// that is missing above 180 mm; values that leave no GO gauge between its worn
// limit and NOT GO.
func ISOLimitGauges(kind Kind, feature quantity.Toleranced, a Allowance) (LimitGauges, error) {
	if err := kind.check(); err != nil {
		return LimitGauges{}, err
	}
	if _, err := checkLimits(feature, kind.feature()); err != nil {
		return LimitGauges{}, err
	}
	for _, v := range []struct {
		name string
		q    quantity.Quantity
	}{{"z", a.Z}, {"y", a.Y}, {"H", a.H}} {
		if err := needLength(v.q, "the gauge value "+v.name, "2 um, from the table of the gauge standard"); err != nil {
			return LimitGauges{}, err
		}
		if v.q.Sign() < 0 || v.name == "H" && v.q.Sign() == 0 {
			return LimitGauges{}, fmt.Errorf("the gauge value %s = %s is not possible; take it from the table of the gauge standard", v.name, v.q)
		}
	}
	safety := quantity.New(new(big.Rat), quantity.Millimetre)
	large := feature.Nominal.Rat().Cmp(big.NewRat(180, 1)) > 0
	switch {
	case large:
		if err := needLength(a.Safety, "the safety zone (alpha)", "3 um; sizes above 180 mm have one"); err != nil {
			return LimitGauges{}, err
		}
		safety = a.Safety
		if safety.Sign() < 0 {
			return LimitGauges{}, fmt.Errorf("the safety zone %s is below 0", safety)
		}
	case a.Safety.Sign() != 0:
		return LimitGauges{}, fmt.Errorf("the safety zone %s does not belong to %s; only sizes above 180 mm have one", a.Safety, feature)
	}
	// One direction for both kinds: into the part's tolerance is +1 for a hole
	// from its low limit, and for a shaft -1 from its high limit.
	goLimit, notGoLimit, inwards := feature.Lower, feature.Upper, int64(1)
	if kind == Ring {
		goLimit, notGoLimit, inwards = feature.Upper, feature.Lower, -1
	}
	in := big.NewRat(inwards, 1)
	out := big.NewRat(-inwards, 1)
	half := a.H.Scale(big.NewRat(1, 2))
	goMiddle, err := goLimit.Add(a.Z.Scale(in))
	if err != nil {
		return LimitGauges{}, err
	}
	notGoMiddle, err := notGoLimit.Add(safety.Scale(out))
	if err != nil {
		return LimitGauges{}, err
	}
	var g LimitGauges
	if g.Go, err = around(goMiddle, half); err != nil {
		return LimitGauges{}, err
	}
	if g.NotGo, err = around(notGoMiddle, half); err != nil {
		return LimitGauges{}, err
	}
	if g.GoWorn, err = goLimit.Add(a.Y.Scale(out)); err != nil {
		return LimitGauges{}, err
	}
	if g.GoWorn, err = g.GoWorn.Add(safety.Scale(in)); err != nil {
		return LimitGauges{}, err
	}
	// Seen from the worn limit inwards: new GO, then NOT GO.
	order := []*big.Rat{g.GoWorn.Rat(), g.Go.Lower.Rat(), g.Go.Upper.Rat(), g.NotGo.Lower.Rat()}
	if kind == Ring {
		order = []*big.Rat{g.NotGo.Upper.Rat(), g.Go.Lower.Rat(), g.Go.Upper.Rat(), g.GoWorn.Rat()}
	}
	for i := 1; i < len(order); i++ {
		if order[i-1].Cmp(order[i]) > 0 {
			return LimitGauges{}, fmt.Errorf("z = %s, y = %s and H = %s leave no GO gauge between its worn limit %s and the NOT GO gauge for %s; check that they are the values of this size and grade",
				a.Z, a.Y, a.H, g.GoWorn, feature)
		}
	}
	return g, nil
}

// around is middle ± half.
func around(middle, half quantity.Quantity) (quantity.Toleranced, error) {
	lower, err := middle.Sub(half)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	upper, err := middle.Add(half)
	if err != nil {
		return quantity.Toleranced{}, err
	}
	return between(middle, lower, upper)
}
