package study

import (
	"math"

	"tenths/ledger"
)

// PointShift is how the locators of a station move a point of the part, along a
// direction. The looseness in clearances comes on top.
type PointShift struct {
	Path  string // the point, such as A-01/KC-1/K4, or a feature
	Along string // direction in words: "its normal", "x"
	// Factors are how far the point moves along for every unit that a locator
	// stands proud along its own direction, row by row.
	Factors []float64
	// Shift is how far, mm, the locators put the point along, as surveyed; a
	// surface that is cut there comes out short by as much.
	Shift float64
	// Worst is by how much more, mm, all locators at the ends of their bands can
	// move it, Usual the root of the sum of squares.
	Worst, Usual float64
}

// ShiftOf gives how the locators move a point of the part, mm, in a direction.
//
// Errors: freedom.ErrFree if the part can still move there.
func (f *Freedom) ShiftOf(at, dir [3]float64) (PointShift, error) {
	a, err := f.f.Influence(minus(at, f.mid), dir)
	if err != nil {
		return PointShift{}, err
	}
	proud, bands := make([]float64, len(f.Rows)), make([]float64, len(f.Rows))
	for i, r := range f.Rows {
		proud[i], bands[i] = r.Proud, r.Band
	}
	out := PointShift{Factors: a}
	if out.Shift, err = a.Along(proud); err != nil {
		return out, err
	}
	if out.Worst, err = a.Worst(bands); err != nil {
		return out, err
	}
	out.Usual, err = a.RootSumSquare(bands)
	return out, err
}

// ShiftsAt gives the shifts of every key point of the part that the locators
// decide; without one, of the feature farthest from the first pin, in x and y.
func (s *Set) ShiftsAt(f *Freedom) []PointShift {
	if f.Skip != "" {
		return nil
	}
	var out []PointShift
	add := func(path, along string, at, dir [2]float64) {
		p, err := f.ShiftOf([3]float64{at[0], at[1], f.mid[2]}, [3]float64{dir[0], dir[1], 0})
		if err == nil {
			p.Path, p.Along = path, along
			out = append(out, p)
		}
	}
	points := s.keyPoints(f.Part)
	for _, p := range points {
		add(p.path, "its normal", p.at, p.normal)
	}
	if len(points) > 0 || f.Part == nil {
		return out
	}
	part, ok := f.Part.Data.(*ledger.Part)
	if !ok {
		return out
	}
	from, far := f.centre(), 0.0
	var end [2]float64
	path := ""
	for i := range part.Features {
		if at, ok := axes(part.Features[i].At); ok {
			if d := math.Hypot(at[0].nominal-from[0], at[1].nominal-from[1]); d > far {
				end, far, path = [2]float64{at[0].nominal, at[1].nominal}, d, f.Part.ID()+"/"+part.Features[i].ID.S
			}
		}
	}
	if path != "" {
		add(path, "x", end, [2]float64{1, 0})
		add(path, "y", end, [2]float64{0, 1})
	}
	return out
}

// keyPoint is a point of a characteristic with its normal, in mm.
type keyPoint struct {
	path       string
	at, normal [2]float64
}

// keyPoints lists the points with a normal of the characteristics that are
// measured on a part, or on an assembly of it.
func (s *Set) keyPoints(part *ledger.Record) []keyPoint {
	if part == nil {
		return nil
	}
	var out []keyPoint
	for _, rec := range s.L.Records {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || rec != part && !madeOf(p, part.ID()) || rec.Quiet() {
			continue
		}
		for _, c := range p.Characteristic {
			for _, pt := range c.Points {
				at, ok1 := axes(pt.At)
				n, ok2 := axes(pt.Normal)
				if ok1 && ok2 {
					out = append(out, keyPoint{rec.ID() + "/" + c.ID.S + "/" + pt.ID.S, [2]float64{at[0].nominal, at[1].nominal}, [2]float64{n[0].nominal, n[1].nominal}})
				}
			}
		}
	}
	return out
}
