package study

import (
	"fmt"
	"math"

	"tenths/calc/freedom"
	"tenths/ledger"
)

// spot is a locator with its state of the day and where it was designed to be.
type spot struct {
	loc *ledger.Locator
	now ledger.Locator
	at  [3]axis
}

// readLocators fills in the rows, or says what cannot be read.
func (s *Set) readLocators(f *Freedom) (lacks string) {
	var spots []spot
	up, undirected := 0, 0
	for i := range f.Station.Locators {
		loc := &f.Station.Locators[i]
		p := spot{loc: loc, now: ledger.OnDay(*loc, s.AsOf)}
		n, given := direction(p.now.Pushes)
		if p.now.Pushes.Set() && !given {
			return fmt.Sprintf("locator %s pushes in no direction", loc.ID.S)
		}
		switch {
		case p.now.Type.S == "nest" && !given:
			return fmt.Sprintf("%s is a nest, which holds the part by its outline", loc.ID.S)
		case given && math.Abs(n[2]) > 1e-9:
			up++
		case p.now.Type.S == "rest" && !given:
			undirected++
		}
		var known bool
		if p.at, known = f.placeOf(p.now); !known {
			return fmt.Sprintf("locator %s has no position (at), nor has what it engages", loc.ID.S)
		}
		spots = append(spots, p)
	}
	// Three points make a seat. Fewer rests without a direction may be edge rests.
	f.InSpace = up+undirected >= 3 || up > 0
	for i, p := range spots {
		id := p.loc.ID.S
		n, given := direction(p.now.Pushes)
		switch p.now.Type.S {
		case "round pin":
			across, inSlot, ok := f.slotOf(p, spots, i)
			switch {
			case !ok:
				return fmt.Sprintf("locator %s goes into a slot, but not said is in which direction it holds; write pushes = [0, 1] or relieved_along", id)
			case inSlot:
				f.row(s, p, across, id, false)
			default:
				f.row(s, p, [3]float64{1, 0, 0}, id+" x", false)
				f.row(s, p, [3]float64{0, 1, 0}, id+" y", false)
			}
		case "relieved pin":
			axis, ok := reliefAxis(p, spots, i)
			if !ok {
				return fmt.Sprintf("locator %s is relieved, but %q gives no direction; write \"line to P1\" or an angle such as \"90 deg\"", id, p.now.Relief.S)
			}
			f.row(s, p, across(axis), id, false)
		case "slot":
			if !given {
				axis, ok := reliefAxis(p, spots, i)
				if !ok {
					return fmt.Sprintf("slot %s does not say in which direction it holds; write pushes = [0, 1]", id)
				}
				n = across(axis)
			}
			f.row(s, p, n, id, false)
		case "rest":
			if !given && up+undirected < 3 {
				return fmt.Sprintf("rest %s does not say which way it pushes; write pushes = [0, 1] for an edge rest, or [0, 0, 1] for one under the part", id)
			}
			if !given {
				n = [3]float64{0, 0, 1}
			}
			f.row(s, p, n, id, true)
		default: // a stop, a wall of a nest
			if !given {
				return fmt.Sprintf("%s %s does not say which way it pushes; write pushes = [1, 0]", p.now.Type.S, id)
			}
			f.row(s, p, n, id, true)
		}
	}
	return ""
}

// row adds a freedom that a locator takes.
func (f *Freedom) row(s *Set, p spot, n [3]float64, name string, oneWay bool) {
	if !oneWay { // it holds both ways: named by the axis that it points along
		for _, v := range n {
			if v < -1e-9 {
				n = [3]float64{0 - n[0], 0 - n[1], 0 - n[2]}
			}
			if math.Abs(v) > 1e-9 {
				break
			}
		}
	}
	r := LocatorRow{
		Locator: p.loc, Now: p.now, Name: name, OneWay: oneWay, Pin: p.now.Type.S == "round pin" || p.now.Type.S == "relieved pin",
		at: freedom.Locator{Normal: n},
	}
	for k, a := range p.at {
		r.at.At[k] = a.nominal
		t := max(math.Abs(a.lower), math.Abs(a.upper))
		r.Band += math.Abs(n[k]) * t
		r.Known = r.Known || n[k] != 0 && t > 0
	}
	if sv, ok := p.now.SurveyOn(s.AsOf); ok && math.Abs(n[2]) < 1e-9 {
		if off, ok := axes(sv.Off); ok {
			r.Surveyed, r.Band, r.Known = true, 0, false
			for k, a := range off {
				r.Proud += n[k] * a.nominal
				t := max(math.Abs(a.lower), math.Abs(a.upper))
				r.Band += math.Abs(n[k]) * t
				r.Known = r.Known || n[k] != 0 && t > 0
			}
			if sv.U.Set() { // the same in every direction
				r.Band, r.Known = sv.U.Nominal().Float(), true
			}
		}
	}
	f.Rows = append(f.Rows, r)
}

// placeOf is the designed position of a locator, or of the feature it engages.
func (f *Freedom) placeOf(now ledger.Locator) (out [3]axis, known bool) {
	at := now.At
	if feature := f.engaged(now); !at.Set() && feature != nil {
		// The tolerance of a feature is the part's, not the locator's.
		if hole, ok := axes(feature.At); ok {
			return [3]axis{{nominal: hole[0].nominal}, {nominal: hole[1].nominal}}, true
		}
	}
	flat, known := axes(at)
	out[0], out[1] = flat[0], flat[1]
	if at.Z.Set() {
		out[2] = axisOf(at.Z)
	}
	return out, known
}

// engaged is the feature of the part that a locator touches, nil if none is known.
func (f *Freedom) engaged(now ledger.Locator) *ledger.Feature {
	if f.Part == nil || !now.Engages.Set() {
		return nil
	}
	p, ok := f.Part.Data.(*ledger.Part)
	if !ok {
		return nil
	}
	for i := range p.Features {
		if p.Features[i].ID.S == now.Engages.S {
			return &p.Features[i]
		}
	}
	return nil
}

// slotOf tells whether a pin goes into a slot of the part, and square to what it
// then holds. ok is false if that is not known.
func (f *Freedom) slotOf(p spot, spots []spot, i int) (n [3]float64, inSlot, ok bool) {
	feature := f.engaged(p.now)
	if feature == nil || feature.Type.S != "slot" {
		return n, false, true
	}
	if n, given := direction(p.now.Pushes); given {
		return n, true, true
	}
	axis, ok := reliefAxis(p, spots, i)
	return across(axis), true, ok
}

// reliefAxis is the angle, rad from x, along which a pin gives way by its
// relieved_along. Without a name it is the line to the other pin, or among more
// than two to the only round one.
func reliefAxis(p spot, spots []spot, i int) (float64, bool) {
	r, ok := readRelief(p.now.Relief.S)
	if !ok || r.angled {
		return r.turn, ok
	}
	var pins, round []spot
	for k, o := range spots {
		switch {
		case k == i:
		case r.to != "" && o.loc.ID.S == r.to:
			pins = append(pins, o)
		case r.to == "" && o.now.Type.S == "round pin":
			pins, round = append(pins, o), append(round, o)
		case r.to == "" && o.now.Type.S == "relieved pin":
			pins = append(pins, o)
		}
	}
	if len(pins) > 1 {
		pins = round
	}
	if len(pins) != 1 {
		return 0, false
	}
	x, y := pins[0].at[0].nominal-p.at[0].nominal, pins[0].at[1].nominal-p.at[1].nominal
	return math.Atan2(y, x) + r.turn, x != 0 || y != 0
}

// across is the unit vector square to an angle in the plane, rad.
func across(a float64) [3]float64 {
	s, c := math.Sincos(a)
	return tidied([3]float64{-s, c, 0})
}

// direction reads a direction as a unit vector; ok is false without one.
func direction(p ledger.Pair) (n [3]float64, ok bool) {
	if !p.Set() {
		return n, false
	}
	n[0], n[1] = p.X.Nominal().Float(), p.Y.Nominal().Float()
	if p.Z.Set() {
		n[2] = p.Z.Nominal().Float()
	}
	l := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
	if l == 0 || math.IsInf(l, 0) {
		return n, false
	}
	return tidied([3]float64{n[0] / l, n[1] / l, n[2] / l}), true
}

// tidied takes away what an angle only rounds to.
func tidied(n [3]float64) [3]float64 {
	for k := range n {
		if math.Abs(n[k]) < 1e-12 {
			n[k] = 0
		}
	}
	return n
}
