package freedom

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// Kind is the kind of a motion.
type Kind int

const (
	Shift Kind = iota // along a direction
	Turn              // about an axis
	Screw             // about an axis and along it
)

// String returns "shift", "turn" or "screw".
func (k Kind) String() string {
	switch k {
	case Shift:
		return "shift"
	case Turn:
		return "turn"
	case Screw:
		return "screw"
	}
	return fmt.Sprintf("unknown kind %d", int(k))
}

// Motion is a small motion that no locator stops, to first order.
type Motion struct {
	Kind    Kind
	Along   [3]float64 // unit vector: the direction of a shift, or the axis
	Through [3]float64 // the point of the axis nearest the centre, mm
	// Lead is how far, mm, a screw moves along its axis in a full turn.
	Lead float64

	plane bool
}

// String says the motion in words: "shift along X", "turn about Z through the
// origin". Lengths are in mm.
func (m Motion) String() string {
	if m.Kind == Shift {
		return "shift along " + direction(m.Along, m.plane)
	}
	through := "the origin"
	if m.Through != [3]float64{} {
		through = tuple(m.Through, m.plane) + " mm"
	}
	if m.plane {
		return "turn about " + through
	}
	s := fmt.Sprintf("%v about %s through %s", m.Kind, direction(m.Along, m.plane), through)
	if m.Kind == Screw {
		s += fmt.Sprintf(", %s mm a turn", number(m.Lead))
	}
	return s
}

func direction(d [3]float64, plane bool) string {
	for i, name := range []string{"X", "Y", "Z"} {
		if math.Abs(d[i]) > 1-1e-12 {
			return name
		}
	}
	return "the direction " + tuple(d, plane)
}

func tuple(p [3]float64, plane bool) string {
	n := 3
	if plane {
		n = 2
	}
	var s []string
	for _, x := range p[:n] {
		s = append(s, number(x))
	}
	return "(" + strings.Join(s, ", ") + ")"
}

func number(x float64) string { return fmt.Sprintf("%.4g", x) }

// motions names the null vectors of the rows. The six plain ones come first:
// shift along X, Y, Z, turn about X, Y, Z through the centre. What is left is
// reduced to rows with as many zeros as can be, turns before shifts, so that
// neither the order of the locators nor the whims of a decomposition show.
func (f *Freedom) motions(centre [3]float64) []Motion {
	missing := f.Dim - f.Rank
	if missing == 0 {
		return nil
	}
	var v mat.Dense
	f.svd.VTo(&v)
	null := make([][6]float64, missing)
	for i := range null {
		null[i] = f.full(mat.Col(nil, f.Rank+i, &v))
	}
	var out []Motion
	var known [][6]float64 // orthonormal, in scaled components
	for i := range 6 {
		var t [6]float64
		t[i] = 1
		if i >= 3 {
			w := [3]float64{t[3], t[4], t[5]}
			d := cross(centre, w)
			copy(t[:3], d[:])
			for j := 3; j < 6; j++ {
				t[j] *= f.scale
			}
		}
		if f.plane && i >= 2 && i <= 4 {
			continue
		}
		n := normalized(t)
		if norm6(without(n, null)) > 1e-8 {
			continue
		}
		// Not a mixture of those before.
		if rest := without(n, known); norm6(rest) > 1e-8 {
			known = append(known, normalized(rest))
			out = append(out, f.motion(t, centre))
		}
	}
	var rest [][6]float64
	for _, n := range null {
		rest = append(rest, without(n, known))
	}
	for _, t := range reduce(rest, missing-len(out)) {
		out = append(out, f.motion(t, centre))
	}
	return out
}

// motion describes a twist in scaled components.
func (f *Freedom) motion(t [6]float64, centre [3]float64) Motion {
	v := [3]float64{t[0], t[1], t[2]}
	w := scaled([3]float64{t[3], t[4], t[5]}, 1/f.scale)
	m := Motion{plane: f.plane}
	size := norm(w)
	if size*f.scale <= 1e-9*norm(v) {
		m.Along = tidy(scaled(v, 1/norm(v)), 1)
		return m
	}
	m.Kind = Turn
	// The velocity at the centre, then the point that only moves along the axis.
	at := add(v, cross(w, centre))
	m.Through = tidy(add(centre, scaled(cross(w, at), 1/(size*size))), f.scale)
	m.Along = scaled(w, 1/size)
	if lead := 2 * math.Pi * dot(m.Along, at) / size; math.Abs(lead) > 1e-8*f.scale {
		m.Kind, m.Lead = Screw, lead
	}
	m.Along = tidy(m.Along, 1)
	return m
}

// tidy takes away what is only rounding.
func tidy(p [3]float64, size float64) [3]float64 {
	for i := range p {
		if math.Abs(p[i]) <= 1e-9*size {
			p[i] = 0
		}
	}
	return p
}

// reduce brings rows to echelon form with the turning components first and
// returns the first n. Each is scaled so that its leading component is one.
func reduce(rows [][6]float64, n int) [][6]float64 {
	done := 0
	for _, c := range []int{3, 4, 5, 0, 1, 2} {
		best := done
		for i := done; i < len(rows); i++ {
			if math.Abs(rows[i][c]) > math.Abs(rows[best][c]) {
				best = i
			}
		}
		if done == n {
			break
		}
		if math.Abs(rows[best][c]) <= 1e-8 {
			continue
		}
		rows[done], rows[best] = rows[best], rows[done]
		lead := rows[done][c]
		for j := range 6 {
			rows[done][j] /= lead
		}
		for i := range rows {
			if k := rows[i][c]; i != done && k != 0 {
				for j := range 6 {
					rows[i][j] -= k * rows[done][j]
				}
			}
		}
		done++
	}
	return rows[:done]
}

func without(v [6]float64, span [][6]float64) [6]float64 {
	for range 2 { // twice, for the rounding of the first time
		for _, s := range span {
			var d float64
			for i := range v {
				d += v[i] * s[i]
			}
			for i := range v {
				v[i] -= d * s[i]
			}
		}
	}
	return v
}

func normalized(v [6]float64) [6]float64 {
	l := norm6(v)
	for i := range v {
		v[i] /= l
	}
	return v
}

func norm6(v [6]float64) float64 {
	var s float64
	for _, x := range v {
		s += x * x
	}
	return math.Sqrt(s)
}
