package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var useUnlisted = &lint.Rule{
	Name:     "use-unlisted",
	Severity: lint.Warning,
	Title:    "a change to something that another product uses, which the change does not name",
	Page: lint.Page{
		What: "What a change touches is looked up where it is used: a tool, a gauge, a station or a fixture in the plans that are in force for other parts, a part or one of its features in a second assembly. " +
			"The parts of the characteristic, of the stations and of the plans that the change names are its own, and so is whatever its keys or its notes mention by id.",
		Why:    "A second product, or a spare for units that were sold, breaks without anybody having looked.",
		Source: "ISO 9001:2015 8.5.6 (control of changes, from memory): the consequences of a change are reviewed. That each place of use is named or excused: common practice.",
		Cure:   "Look at what the change does there and name the place: under touches, as a [[neighbour]] with what was found, or in the notes with why it is no matter.",
		Concede: "A plan that is superseded or ended, one that came into force after the work, and one for a single lot are no uses. A machine is left out, since all that is made runs on it; so is the only assembly that a part goes into. " +
			"A change that is only proposed, cancelled or taken back is left alone. Concede when the place cannot be named in the change itself.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			for _, u := range p.S.UnlistedUses(rec) {
				title := ""
				if t := u.Rec.Common.Title.S; t != "" {
					title = " (" + t + ")"
				}
				f := lint.Found{
					Message: fmt.Sprintf("%s alters %s, and %s goes into %s%s as well, which the change does not name", rec.ID(), u.Touched.S, u.What, u.Rec.ID(), title),
					Related: []lint.Place{{Rec: u.Rec, Span: u.At, Message: "uses " + u.What}},
				}
				name := u.Rec.ID()
				if _, ok := u.Rec.Data.(*ledger.Plan); ok {
					f.Message = fmt.Sprintf("%s alters %s, and plan %s%s uses %s for %s as well, in %s; the change names neither", rec.ID(), u.Touched.S, u.Rec.ID(), title, u.What, u.Part, listed(u.Ops))
					name += "/" + u.Ops[0]
				}
				f.Fix = fmt.Sprintf("look at what it does there and name it: under touches, or as a [[neighbour]] with what = %q and what was found", name)
				p.Report(rec, u.Touched.Span, f)
			}
		}
	},
}
