package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var drilledLocator = &lint.Rule{
	Name:     "drilled-locator",
	Severity: lint.Warning,
	Title:    "a hole that locates and was only drilled",
	Page: lint.Page{
		What: "How the hole under a locating pin was made (made_by of the locator), and how a hole of a part was made on which a station or an operation locates (made_by of the feature): drilled, with no reamer, boring or milling after the drill.",
		Why:  "A drill cuts large by thousandths and wanders from where it was started; reaming makes such a hole round but leaves it where it is.",
		Source: "Spread of drilled holes, +0.004/-0.001 in up to 1/8 in and +0.005/-0.001 in up to 1/4 in: drilled hole table AND10387 (as quoted by engineersedge.com); " +
			"locating holes bored, circle-milled, or bored and reamed: common practice.",
		Cure: "Bore or circle-mill the hole after drilling, or bore and then ream it; and write that into made_by.",
		Concede: "Nothing is reported where the hole was opened after the drill, where the locator was set by indicator, or where the hole that goes on it has limits more than 0.005 in apart. " +
			"Concede where the place of the pin was surveyed and does not move.",
	},
	Check: func(p *lint.Pass) {
		d := drilled{p: p, used: map[*ledger.Feature][]lint.Place{}, owner: map[*ledger.Feature]*ledger.Record{}}
		eachStation(p, func(rec *ledger.Record, st *ledger.Station, l *study.Locating) {
			for i := range st.Locators {
				loc := &st.Locators[i]
				f := d.feature(l.Part, loc.Engages.S)
				d.locator(rec, st, loc, f)
				if f != nil {
					d.use(l.Part, f, lint.Place{Rec: rec, Span: loc.Engages.Span, Message: fmt.Sprintf("%s of station %s of %s goes into it", loc.ID.S, st.ID.S, rec.ID())})
				}
			}
		})
		eachPlan(p, func(rec *ledger.Record, plan *ledger.Plan) {
			part := p.L.Record(plan.Part.S)
			for _, op := range plan.Operations {
				for _, name := range op.Locates {
					if f := d.feature(part, name.S); f != nil {
						d.use(part, f, lint.Place{Rec: rec, Span: name.Span, Message: fmt.Sprintf("%s of %s locates on it", op.ID.S, rec.ID())})
					}
				}
			}
		})
		d.features()
	},
}

type drilled struct {
	p     *lint.Pass
	used  map[*ledger.Feature][]lint.Place
	owner map[*ledger.Feature]*ledger.Record
	order []*ledger.Feature
}

func (d *drilled) feature(part *ledger.Record, name string) *ledger.Feature {
	if part == nil || name == "" {
		return nil
	}
	pt, ok := part.Data.(*ledger.Part)
	if !ok {
		return nil
	}
	for i := range pt.Features {
		if pt.Features[i].ID.S == name {
			return &pt.Features[i]
		}
	}
	return nil
}

func (d *drilled) use(part *ledger.Record, f *ledger.Feature, at lint.Place) {
	if d.used[f] == nil {
		d.order = append(d.order, f)
		d.owner[f] = part
	}
	d.used[f] = append(d.used[f], at)
}

// locator looks at the hole under a pin.
func (d *drilled) locator(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator, f *ledger.Feature) {
	now := ledger.OnDay(*loc, d.p.AsOf)
	if now.Type.S != "round pin" && now.Type.S != "relieved pin" || !study.OnlyDrilled(now.MadeBy.S) || study.SetByIndicator(now.MadeBy.S, now.HeldBy.S) {
		return
	}
	if f != nil && study.CoarseHole(ledger.OnDay(*f, d.p.AsOf)) {
		return
	}
	d.p.Report(rec, now.MadeBy.Span, lint.Found{
		Message: fmt.Sprintf("the hole under %s of station %s of %s was only drilled: the pin stands where the drill wandered to", loc.ID.S, st.ID.S, rec.ID()),
		Fix:     "bore or circle-mill the hole, or bore it, ream it and fit a sleeve; then survey the pin",
	})
}

// features looks at the holes of parts that something locates on.
func (d *drilled) features() {
	for _, f := range d.order {
		now := ledger.OnDay(*f, d.p.AsOf)
		if !study.OnlyDrilled(now.MadeBy.S) || study.CoarseHole(now) || !slices.Contains([]string{"", "hole", "bore", "slot"}, now.Type.S) {
			continue
		}
		size := ""
		if now.Size.Set() {
			size = " (" + now.Size.Tol.String() + ")"
		}
		d.p.Report(d.owner[f], now.MadeBy.Span, lint.Found{
			Message: fmt.Sprintf("%s of %s%s locates the part and is only drilled: its size spreads by about 0.005 in (0.13 mm) and its place wanders", f.ID.S, d.owner[f].ID(), size),
			Fix:     "bore or circle-mill it after drilling, or bore it and ream it to size; and write that into made_by",
			Related: d.used[f],
		})
	}
}
