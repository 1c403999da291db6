package study

import (
	"slices"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Relocated is a characteristic whose two sides are made on different locating
// features, so that the errors of both sets are in it.
type Relocated struct {
	Rec  *ledger.Record         // the part or the assembly
	Char *ledger.Characteristic // nil for the position tolerances of features themselves
	Side CutSide
	// Other is the second side. It is nil where the side is measured from datum
	// features that its operation neither locates on nor makes; Datum names them.
	Other *CutSide
	Datum []string
	// Adds is what the records say that comes in by the change of locators.
	Adds []Added
}

// CutSide is the operation that makes features of a characteristic, and what it
// locates the part on.
type CutSide struct {
	Part, Plan *ledger.Record
	Op         *ledger.Operation
	Features   []string
	On         []string // faces left out
}

// Added is a tolerance or a clearance that a change of locators brings in.
type Added struct {
	What string
	Size quantity.Quantity
}

// Relocated lists, for the plans in force, the features that are measured from a
// datum which the operation that makes them neither locates on nor makes, and the
// pairs of features of one position, step, profile or tilt without a datum that
// are made on different features; and for steps that name their two parts
// (proud, against), parts whose outlines are finished on different ones.
//
// Faces do not count: a record seldom says what a part lies on. Left out is what an
// earlier operation of the same plan ties to the datum: locating features that were
// made from it, or together with it, and checked since. So are characteristics
// for which a derived value with limits takes the change of locators in.
func (s *Set) Relocated() []Relocated {
	var out []Relocated
	for _, rec := range s.L.Records {
		switch d := rec.Data.(type) {
		case *ledger.Plan:
			part := s.L.Record(d.Part.S)
			if _, open, live := s.PlanDay(rec); !live || !open || part == nil || part.Quiet() {
				continue
			}
			if g := s.PlanGraph(rec); g.Part != nil {
				out = append(out, g.relocated()...)
			}
		case *ledger.Part:
			if rec.Quiet() {
				continue
			}
			for i := range d.Characteristic {
				if r, ok := s.relocatedSeam(rec, &d.Characteristic[i]); ok {
					out = append(out, r)
				}
			}
		}
	}
	return out
}

// relocated looks at the characteristics and positions of the part in one plan.
func (g *PlanGraph) relocated() []Relocated {
	part := g.Part
	var out []Relocated
	for i := range part.Characteristic {
		ch := &part.Characteristic[i]
		switch {
		case ch.Datum != nil:
			out = append(out, g.fromDatum(ch, names(ch.Feature), names(ch.Datum))...)
		case slices.Contains([]string{"position", "step", "profile", "tilt"}, ch.Type.S):
			if r, ok := g.apart(ch); ok {
				out = append(out, r)
			}
		}
	}
	for i := range part.Features {
		f := &part.Features[i]
		if f.Position.Set() && f.Datum != nil && !placedBy(part, f) {
			out = append(out, g.fromDatum(nil, []string{f.ID.S}, names(f.Datum))...)
		}
	}
	return out
}

// fromDatum lists the features that are made away from their datum, operation by
// operation.
func (g *PlanGraph) fromDatum(ch *ledger.Characteristic, features, datum []string) []Relocated {
	var out []Relocated
	for _, f := range features {
		i := g.maker(f)
		if i < 0 || slices.Contains(datum, f) {
			continue
		}
		missing := g.untied(datum, i)
		if missing == nil || !g.elsewhere(datum, i) || g.transferred(missing, i) || g.shown(g.PartRec, i) {
			continue
		}
		k := slices.IndexFunc(out, func(r Relocated) bool { return r.Side.Op == g.Ops[i].Operation })
		if k < 0 {
			out, k = append(out, Relocated{Rec: g.PartRec, Char: ch, Side: g.side(i), Datum: missing, Adds: g.adds(i)}), len(out)
		}
		out[k].Side.Features = append(out[k].Side.Features, f)
	}
	return out
}

func (g *PlanGraph) side(i int) CutSide {
	out := CutSide{Part: g.PartRec, Plan: g.Rec, Op: g.Ops[i].Operation}
	for _, u := range g.Ops[i].On {
		if !g.isFace(u.Feature) {
			out.On = append(out.On, u.Feature)
		}
	}
	return out
}

// untied lists the features, faces left out, that operation i neither locates on
// nor makes.
func (g *PlanGraph) untied(features []string, i int) []string {
	var out []string
	for _, f := range features {
		if !g.isFace(f) && !g.locates(f, i) && !g.makes(f, i) {
			out = append(out, f)
		}
	}
	return out
}

func (g *PlanGraph) isFace(feature string) bool {
	f := featureNamed(g.Part, feature)
	return f != nil && f.Type.S == "face"
}

// elsewhere reports whether operation i locates on something beside the datum. One that
// names only some of its features, or only a face, may not say all.
func (g *PlanGraph) elsewhere(datum []string, i int) bool {
	return slices.ContainsFunc(g.Ops[i].On, func(u LocatedOn) bool { return !g.isFace(u.Feature) && !slices.Contains(datum, u.Feature) })
}

// transferred reports whether what operation i locates on was made from the datum, or
// with it, and checked up to then.
func (g *PlanGraph) transferred(datum []string, i int) bool {
	some := false
	for _, u := range g.Ops[i].On {
		if g.isFace(u.Feature) || slices.Contains(datum, u.Feature) {
			continue
		}
		made := g.maker(u.Feature)
		if made < 0 || made >= i || g.untied(datum, made) != nil || !g.checked(u.Feature, made, i) {
			return false
		}
		some = true
	}
	return some
}

// apart looks for two features of a characteristic that are made on different
// ones, neither of them on the other.
func (g *PlanGraph) apart(ch *ledger.Characteristic) (r Relocated, ok bool) {
	features := names(ch.Feature)
	for n, f := range features {
		i := g.maker(f)
		if i < 0 || g.side(i).On == nil {
			continue
		}
		for _, other := range features[n+1:] {
			k := g.maker(other)
			if k < 0 || k == i || g.side(k).On == nil || g.locates(f, k) || g.locates(other, i) {
				continue
			}
			one, two := g.side(i), g.side(k)
			if sameNames(one.On, two.On) || g.shown(g.PartRec, i) && g.shown(g.PartRec, k) {
				continue
			}
			one.Features, two.Features = []string{f}, []string{other}
			return Relocated{Rec: g.PartRec, Char: ch, Side: one, Other: &two, Adds: append(g.adds(i), g.adds(k)...)}, true
		}
	}
	return r, false
}

// sameNames reports whether two lists hold the same names in any order.
func sameNames(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}

// shown reports whether a derived value with limits, in the record or the plan,
// takes something of the station of operation i or of what it locates on.
func (g *PlanGraph) shown(rec *ledger.Record, i int) bool {
	paths := []string{}
	for _, u := range g.Ops[i].On {
		paths = append(paths, g.PartRec.ID()+"/"+u.Feature)
	}
	if r, st := g.Ops[i].Rec, g.Ops[i].Station; st != nil {
		paths = append(paths, r.ID()+"/"+st.ID.S)
	}
	for _, r := range []*ledger.Record{rec, g.Rec} {
		for _, d := range r.Common.Derived {
			if d.Limits.Set() && slices.ContainsFunc(d.Where, func(b ledger.Binding) bool {
				return slices.ContainsFunc(paths, func(p string) bool { return within(b.S, p) })
			}) {
				return true
			}
		}
	}
	return false
}

// adds lists the tolerances of what operation i locates on, and the largest clearance
// that it leaves there.
func (g *PlanGraph) adds(i int) []Added {
	var out []Added
	for _, u := range g.Ops[i].On {
		f := featureNamed(g.Part, u.Feature)
		if f == nil || g.isFace(u.Feature) {
			continue
		}
		if f.Position.Set() {
			out = append(out, Added{"position of " + u.Feature, f.Position.Nominal()})
		}
		if fit := g.fit(u.Feature, i); !fit.Max.IsZeroValue() && fit.Max.Sign() > 0 {
			out = append(out, Added{"clearance at " + u.Feature, fit.Max})
		}
	}
	return out
}

// relocatedSeam compares what the outlines of two parts are finished on.
func (s *Set) relocatedSeam(rec *ledger.Record, ch *ledger.Characteristic) (r Relocated, ok bool) {
	shown := true
	for k, ref := range []ledger.Ref{ch.Proud, ch.Against} {
		part, plan := s.L.Record(ref.S), s.planOn(ref.S, s.AsOf)
		if part == nil || plan == nil || part.Kind() != ledger.KindPart {
			return r, false
		}
		c := s.PlanGraph(plan)
		outline := outlineOf(c.Part)
		i := c.maker(outline)
		if outline == "" || i < 0 || c.side(i).On == nil {
			return r, false
		}
		shown = shown && c.shown(rec, i)
		side := c.side(i)
		side.Features = []string{outline}
		r.Adds = append(r.Adds, c.adds(i)...)
		if k == 0 {
			r.Side = side
		} else {
			r.Other = &side
		}
	}
	r.Rec, r.Char = rec, ch
	return r, !shown && !sameNames(r.Side.On, r.Other.On)
}
