package study

import (
	"slices"

	"tenths/ledger"
)

// NoDatum is something of a part whose place, direction or step is specified,
// while nothing says what it is measured from.
type NoDatum struct {
	Rec *ledger.Record
	// Char is the characteristic; nil where features have a position tolerance
	// without a datum and no characteristic has one for them.
	Char     *ledger.Characteristic
	Features []*ledger.Feature
}

// needsDatum are the types of characteristics that have no meaning without a
// datum: location, orientation, run-out and steps (ISO 1101, ISO 5459). Sizes,
// forms and what is felt, counted or weighed need none; nor does a profile,
// which may stand for a form alone, or a taper, which may be that of a bore.
var needsDatum = []string{"position", "step", "runout", "tilt"}

// NoDatums lists what lacks a datum, part by part in the order of its text. A
// characteristic without one is at rest if all the features that it belongs to
// have their own, and a feature if a characteristic of its place has one.
func (s *Set) NoDatums() []NoDatum {
	var out []NoDatum
	for _, rec := range s.L.Records {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || rec.Quiet() || p.State.S == "superseded" || p.State.S == "withdrawn" {
			continue
		}
		var loose []*ledger.Feature
		for i := range p.Features {
			f := &p.Features[i]
			if f.Position.Set() && f.Datum == nil && !placedBy(p, f) {
				loose = append(loose, f)
			}
		}
		if loose != nil {
			out = append(out, NoDatum{Rec: rec, Features: loose})
		}
		for i := range p.Characteristic {
			c := &p.Characteristic[i]
			if slices.Contains(needsDatum, c.Type.S) && c.Datum == nil && !datumOfFeatures(p, c) {
				out = append(out, NoDatum{Rec: rec, Char: c})
			}
		}
	}
	return out
}

// placedBy reports whether a characteristic of the place of a feature says what
// it is measured from.
func placedBy(p *ledger.Part, f *ledger.Feature) bool {
	return slices.ContainsFunc(p.Characteristic, func(c ledger.Characteristic) bool {
		return c.Type.S == "position" && c.Datum != nil && slices.ContainsFunc(c.Feature, func(t ledger.Text) bool { return t.S == f.ID.S })
	})
}

// datumOfFeatures reports whether all features of a characteristic have a datum.
func datumOfFeatures(p *ledger.Part, c *ledger.Characteristic) bool {
	for _, name := range c.Feature {
		if f := featureNamed(p, name.S); f == nil || f.Datum == nil {
			return false
		}
	}
	return c.Feature != nil
}
