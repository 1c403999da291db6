package clamp

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/quantity"
)

// Pull is what clamps that press straight down on a seat are to hold. Force, Up
// and Torque may be left out, but not all of them.
type Pull struct {
	Force  quantity.Quantity // along the seat
	Up     quantity.Quantity // away from the seat
	Torque quantity.Quantity // about an axis out of the seat
	Radius quantity.Quantity // at which the seat carries the torque
	Seat   quantity.Quantity // coefficient of friction between part and seat
	Clamp  quantity.Quantity // between part and clamp; left out: the clamp carries nothing along the seat
	Safety quantity.Quantity // factor on force, pull and torque, 1 or more
}

// Needs is the force with which all clamps together have to press.
type Needs struct {
	Slide quantity.Quantity // against force and pull
	Lift  quantity.Quantity // against the pull alone
	Turn  quantity.Quantity // against the torque
	Total quantity.Quantity
}

// Needed is the force of all clamps together by the formulas of fixture
// handbooks (common practice), exact:
//
//	slide  W = k (F + mu1 U)/(mu1 + mu2)
//	lift   W = k U
//	turn   W = k M/(mu1 r), and k U more if there is no force
//
// with force F, pull U, torque M, safety k, friction mu1 at the seat and mu2 at the clamp. What is needed
// against sliding and against turning is added, which is more than a force and a
// torque that act together ask for; lifting needs no less than its own. Tipping is
// not looked at; Hold does.
//
// Errors: nothing to hold, a value that is missing or not above zero, a safety
// below 1.
func (p Pull) Needed() (Needs, error) {
	var n Needs
	one := quantity.One
	if p.Force.IsZeroValue() && p.Up.IsZeroValue() && p.Torque.IsZeroValue() {
		return n, errors.New("there is nothing to hold: a force along the seat, a pull away from it, or a torque")
	}
	if p.Safety.IsZeroValue() || p.Safety.FloatIn(one) < 1 {
		return n, fmt.Errorf("safety %s: state a factor, 1 for none; 2 or more is common practice", p.Safety)
	}
	if p.Seat.IsZeroValue() || p.Seat.Sign() <= 0 {
		return n, errors.New("the friction at the seat must be above zero")
	}
	if !p.Torque.IsZeroValue() && (p.Radius.IsZeroValue() || p.Radius.Sign() <= 0) {
		return n, errors.New("a torque needs the radius at which the seat carries it")
	}
	both := p.Seat
	var err error
	if !p.Clamp.IsZeroValue() {
		if both, err = both.Add(p.Clamp); err != nil {
			return n, err
		}
	}
	add := func(a, b quantity.Quantity) quantity.Quantity {
		switch {
		case a.IsZeroValue():
			return b
		case b.IsZeroValue() || err != nil:
			return a
		}
		var sum quantity.Quantity
		sum, err = a.Add(b)
		return sum
	}
	div := func(a, b quantity.Quantity) quantity.Quantity {
		if err != nil {
			return a
		}
		var out quantity.Quantity
		out, err = a.Div(b)
		return out
	}
	if !p.Up.IsZeroValue() {
		n.Lift = p.Up.Mul(p.Safety)
	}
	if !p.Force.IsZeroValue() {
		along := p.Force
		if !p.Up.IsZeroValue() {
			along = add(along, p.Up.Mul(p.Seat))
		}
		n.Slide = div(along.Mul(p.Safety), both)
	}
	if !p.Torque.IsZeroValue() {
		n.Turn = div(p.Torque.Mul(p.Safety), p.Seat.Mul(p.Radius))
		if p.Force.IsZeroValue() && !p.Up.IsZeroValue() {
			// The pull takes from what presses on the seat.
			n.Turn = add(n.Turn, n.Lift)
		}
	}
	n.Total = add(n.Slide, n.Turn)
	if n.Total.IsZeroValue() || !n.Lift.IsZeroValue() && n.Total.Rat().Cmp(n.Lift.Rat()) < 0 {
		n.Total = n.Lift
	}
	return n, err
}

// BoltForce is the tension of a bolt that is tightened with a torque, T/(K d),
// with the nut factor K: about 0.2 dry and 0.15 oiled (common practice; the same
// bolt tightened with the same torque scatters by a quarter and more).
func BoltForce(torque, diameter, nutFactor quantity.Quantity) (quantity.Quantity, error) {
	return torque.Div(nutFactor.Mul(diameter))
}

// StrapForce is what a strap clamp presses on the work with, bolt·b/(a + b): the
// bolt stands at a from the work and at b from the heel.
func StrapForce(bolt, toWork, toHeel quantity.Quantity) (quantity.Quantity, error) {
	span, err := toWork.Add(toHeel)
	if err != nil {
		return bolt, err
	}
	return bolt.Mul(toHeel).Div(span)
}

// CutForce is the force of a single edge, depth of cut times feed a revolution
// times the specific cutting force of the material.
func CutForce(depth, feed, specific quantity.Quantity) quantity.Quantity {
	return depth.Mul(feed).Mul(specific)
}

// DrillTorque is the torque of a drill, feed a revolution·d²·specific cutting
// force/8.
func DrillTorque(diameter, feed, specific quantity.Quantity) quantity.Quantity {
	return feed.Mul(diameter).Mul(diameter).Mul(specific).Scale(big.NewRat(1, 8))
}
