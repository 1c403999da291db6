package study

import (
	"math"

	"tenths/calc/quantity"
	"tenths/calc/seam"
	"tenths/ledger"
)

// Opposite is a seam whose two outlines are finished opposite ways up on the same
// features, so that a sideways error of the pins adds up in the step instead of
// cancelling.
type Opposite struct {
	Rec  *ledger.Record
	Char *ledger.Characteristic // as written
	Seam *Seam
	// Surveyed is set if all pins of both stations were surveyed as they stand. What
	// follows is known only then.
	Surveyed bool
	// Point is where the step from the pins is largest as the parts lie; Lies is
	// that step, Same what it would be there if both lay the same way up.
	Point      string
	Lies, Same quantity.Quantity
	// Across is how far the first pin stands off sideways, as seen from the work
	// offset, of the proud part and of the other.
	Across [2]quantity.Quantity
}

// Opposites lists the seams of the ledger (proud, against) that are cut so, one
// for each pair of stations. Left out are those where the records do not tell
// which face is up, on which stations the parts are finished or where the pins
// are, those that locate on different features, those whose pins stand off
// sideways by less than the uncertainty of their surveys, and those where the
// surveyed errors happen to be no worse this way.
func (s *Set) Opposites() []Opposite {
	var out []Opposite
	seen := map[[2]*ledger.Station]bool{}
	for _, rec := range s.L.Records {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || rec.Quiet() {
			continue
		}
		for i := range p.Characteristic {
			c := &p.Characteristic[i]
			if !c.Proud.Set() || !c.Against.Set() {
				continue
			}
			sm, err := s.Seam(rec.ID()+"/"+c.ID.S, s.AsOf)
			if err != nil || sm.Proud.FaceDown == sm.Other.FaceDown || !sm.sameFeatures() || s.idle(sm.Proud.Fixture) || s.idle(sm.Other.Fixture) {
				continue
			}
			pair := [2]*ledger.Station{sm.Proud.Station, sm.Other.Station}
			if o := (Opposite{Rec: rec, Char: c, Seam: sm}); !seen[pair] && o.compare() {
				seen[pair] = true
				out = append(out, o)
			}
		}
	}
	return out
}

// idle reports whether nobody works on a fixture: a draft, or one out of use.
func (s *Set) idle(rec *ledger.Record) bool { return rec.Quiet() || s.Gone(rec) }

// sameFeatures reports whether both parts are told to lie one way or the other, and locate
// on features of the same names.
func (o *Seam) sameFeatures() bool {
	for _, side := range []*SeamSide{&o.Proud, &o.Other} {
		if _, told := faceDown(side.Station.Face.S); !told {
			return false
		}
	}
	a, b := o.Proud.Pins, o.Other.Pins
	return a[0].Feature.ID.S == b[0].Feature.ID.S && a[1].Feature.ID.S == b[1].Feature.ID.S
}

// compare fills in what the surveys say; it reports whether that is worth a word.
func (o *Opposite) compare() bool {
	sides := [2]*SeamSide{&o.Seam.Proud, &o.Seam.Other}
	stations := [2]seam.Station{o.Seam.Problem.Proud, o.Seam.Problem.Other}
	o.Surveyed = true
	below := true
	for i, side := range sides {
		st := &stations[i]
		st.Size = 0
		lx, ly := st.Second.X-st.First.X, st.Second.Y-st.First.Y
		length := math.Hypot(lx, ly)
		for k, pin := range []seam.Pin{st.First, st.Second} {
			o.Surveyed = o.Surveyed && side.Pins[k].Known
			across := (lx*pin.Error[1] - ly*pin.Error[0]) / length
			below = below && math.Abs(across) < math.Max(pin.Band[0], pin.Band[1])-nothing
			if k == 0 {
				o.Across[i] = lengthIn(across, o.Seam.Unit)
			}
		}
	}
	if !o.Surveyed {
		return true
	}
	turned := stations
	turned[0].FaceDown = turned[1].FaceDown
	lies, err1 := steps(o.Seam.At(), seam.Seam{Proud: stations[0], Other: stations[1]})
	same, err2 := steps(o.Seam.At(), seam.Seam{Proud: turned[0], Other: turned[1]})
	if err1 != nil || err2 != nil || below {
		return false
	}
	worst, k := largest(lies)
	if least, _ := largest(same); worst <= least+nothing {
		return false
	}
	o.Point, o.Lies, o.Same = o.Seam.Points[k].ID, lengthIn(lies[k], o.Seam.Unit), lengthIn(same[k], o.Seam.Unit)
	return true
}

// nothing is a length in mm below what any shop can tell: it stands for the
// rounding of floating point.
const nothing = 1e-9

// largest is the largest value without its sign, and where it stands.
func largest(v []float64) (most float64, at int) {
	for i, x := range v {
		if math.Abs(x) > most {
			most, at = math.Abs(x), i
		}
	}
	return most, at
}
