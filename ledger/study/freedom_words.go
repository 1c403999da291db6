package study

import (
	"fmt"
	"math"

	"tenths/calc/freedom"
)

// motion says a motion in plain words.
func (f *Freedom) motion(m freedom.Motion) string {
	if m.Kind == freedom.Shift {
		if f.InSpace && math.Abs(m.Along[2]) > 1-1e-9 {
			return "lift off the seat"
		}
		return "shift along " + axisName(m.Along)
	}
	through := f.pointName(m.Through)
	flat := !f.InSpace || math.Abs(m.Along[2]) > 1-1e-9
	switch {
	case m.Kind == freedom.Screw:
		return fmt.Sprintf("turn about %s through %s and move along it", axisName(m.Along), through)
	case flat:
		return "turn about " + through
	case math.Abs(m.Along[2]) < 1e-9:
		return "tilt about " + axisName(m.Along)
	}
	return fmt.Sprintf("turn about %s through %s", axisName(m.Along), through)
}

// pointName is the pin that stands at a point, or its place.
func (f *Freedom) pointName(p [3]float64) string {
	for _, r := range f.Rows {
		if d := minus(r.at.At, p); r.Pin && math.Hypot(d[0], d[1]) < 1e-6 {
			return r.Locator.ID.S
		}
	}
	return fmt.Sprintf("the point %s, %s", Show(lengthIn(p[0], f.Unit)), Show(lengthIn(p[1], f.Unit)))
}

// axisName is a direction in words: x, y, z, or its angle from x.
func axisName(d [3]float64) string {
	for k, name := range []string{"x", "y", "z"} {
		if math.Abs(d[k]) > 1-1e-9 {
			return name
		}
	}
	if math.Abs(d[2]) < 1e-9 {
		a := math.Mod(math.Atan2(d[1], d[0])*180/math.Pi+360, 180)
		return Degrees(a) + " from x"
	}
	return fmt.Sprintf("the direction %.2g, %.2g, %.2g", d[0], d[1], d[2])
}

// TurnsOnly reports whether the motion turns the part about an axis out of the
// seat, which an edge rest or a relieved pin would stop.
func (m FreeMotion) TurnsOnly() bool {
	return m.m.Kind == freedom.Turn && (m.m.Along == [3]float64{} || math.Abs(m.m.Along[2]) > 1-1e-9)
}

// Lifts reports whether the motion tilts or lifts the part off what holds it up.
func (m FreeMotion) Lifts() bool {
	if m.m.Kind == freedom.Shift {
		return math.Abs(m.m.Along[2]) > 1e-9
	}
	return !m.TurnsOnly()
}
