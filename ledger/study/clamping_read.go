package study

import (
	"fmt"
	"math"

	"tenths/calc/clamp"
	"tenths/ledger"
)

// readClamps gives the clamps as contacts and their forces, N; forces is nil if
// one of them has none.
func readClamps(st *ledger.Station) (clamps []clamp.Contact, forces []float64, why string) {
	all := true
	for _, c := range st.Clamps {
		at, ok := axes(c.At)
		if !ok || !c.At.Z.Set() {
			return nil, nil, fmt.Sprintf("clamp %s has no place with three numbers (at)", c.ID.S)
		}
		n, given := direction(c.Pushes)
		switch {
		case c.Pushes.Set() && !given:
			return nil, nil, fmt.Sprintf("clamp %s pushes in no direction", c.ID.S)
		case !given:
			n = [3]float64{0, 0, -1}
		}
		mu := st.Friction
		if c.Friction.Set() {
			mu = c.Friction
		}
		k := clamp.Contact{At: [3]float64{at[0].nominal, at[1].nominal, axisOf(c.At.Z).nominal}, Normal: n}
		if mu.Set() {
			k.Mu = mu.Nominal().Float()
		}
		clamps = append(clamps, k)
		if !c.Force.Set() {
			all = false
			continue
		}
		// The least force counts, if it has a tolerance.
		forces = append(forces, rangeOf(c.Force).Min.Float())
	}
	if !all {
		forces = nil
	}
	return clamps, forces, ""
}

// readLoads gives the loads, N and mm, and of each which of the station's it is:
// one without a direction is tried in all directions along the seat.
func readLoads(st *ledger.Station) (loads []clamp.Load, of []int, why string) {
	for i, l := range st.Loads {
		at, ok := axes(l.At)
		n, given := direction(l.Pushes)
		upright := n[0] == 0 && n[1] == 0 && given
		switch {
		case l.Pushes.Set() && !given:
			return nil, nil, fmt.Sprintf("load %s pushes in no direction", l.ID.S)
		case !ok || !l.At.Z.Set() && !upright:
			return nil, nil, fmt.Sprintf("load %s has no place with three numbers (at); a force along the seat tips the part by its height", l.ID.S)
		case !l.Force.Set() && !l.Torque.Set():
			return nil, nil, fmt.Sprintf("load %s has no force", l.ID.S)
		case l.Torque.Set() && !given:
			return nil, nil, fmt.Sprintf("load %s has a torque, but no direction that it turns about (pushes)", l.ID.S)
		}
		var force, torque float64
		if l.Force.Set() {
			force = rangeOf(l.Force).Max.Float()
		}
		if l.Torque.Set() {
			torque = rangeOf(l.Torque).Max.Float()
		}
		place := [3]float64{at[0].nominal, at[1].nominal}
		if l.At.Z.Set() {
			place[2] = axisOf(l.At.Z).nominal
		}
		tries := [][3]float64{n}
		if !given {
			tries = nil
			for k := range directions {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / directions)
				tries = append(tries, [3]float64{cos, sin, 0})
			}
		}
		for _, d := range tries {
			one := clamp.Load{At: place}
			for a := range 3 {
				one.Force[a], one.Moment[a] = force*d[a], torque*d[a]
			}
			loads, of = append(loads, one), append(of, i)
		}
	}
	return loads, of, ""
}
