package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var setupBehind = &lint.Rule{
	Name:     "setup-behind",
	Severity: lint.Warning,
	Title:    "an offset, a sheet or a program from before the fixture, part or program became what it is",
	Page: lint.Page{
		What: "The last day on which the offset of a station was found (offset_set), or for its pins shifted (shift), is compared with what came later: another height of the seat, pins that a survey finds elsewhere or that were made anew. " +
			"In the plans in force, the revision that a plan or an operation was written for (part_rev, fixture_rev) is compared with that of the part and of the fixture, and a program with the latest revision that another plan in force names.",
		Why:     "New pins with the old path are worse than either: the whole batch is cut to a place that is no longer there.",
		Formula: "A pin has moved if sqrt(dx² + dy²) between its surveys is more than the uncertainty of the later one, a seat if its height differs by more than 0.0001 in.",
		Source:  "Sheet, program and offset no older than part, fixture and pins: common practice; revisions after ISO 10007. Without a stated uncertainty a survey counts as good to 0.0001 in (common practice).",
		Cure:    "Find the offset anew and write the day under offset_set; bring the sheet or the program up to date, and then the revision that it names.",
		Concede: "Paint, a label and whatever else leaves the path as it was: write path_kept = true where the fixture says until when the old revision held (was); pins and seats that have not moved are left alone, and so is a station or a plan that does not say when its offset was found or what it was written for. Concede where the change was taken into the program.",
	},
	Check: func(p *lint.Pass) {
		behind := p.S.BehindOffsets()
		for i, b := range behind {
			if b.SeatTo != nil && !sameSeat(behind[:i], b) {
				reportSeatBehind(p, behind[i:])
			}
			if b.Pins != nil || b.New != nil {
				reportPinsBehind(p, b)
			}
		}
		for _, b := range p.S.BehindSheets() {
			reportSheetBehind(p, b)
		}
	},
}

// sameSeat reports whether a station before this one speaks of the same change of
// the seat.
func sameSeat(before []study.BehindOffset, b study.BehindOffset) bool {
	for _, o := range before {
		if o.SeatTo == b.SeatTo && o.SeatFrom == b.SeatFrom {
			return true
		}
	}
	return false
}

// reportSeatBehind speaks of all stations that the same change of the seat left
// behind; the first of the list is one.
func reportSeatBehind(p *lint.Pass, list []study.BehindOffset) {
	first := list[0]
	var names, days []string
	found := lint.Found{Numbers: []lint.Number{{Name: "seat_then", Q: first.SeatFrom.Height.Nominal()}, {Name: "seat_now", Q: first.SeatTo.Height.Nominal()}}}
	for _, b := range list {
		if !sameSeat([]study.BehindOffset{b}, first) {
			continue
		}
		names, days = append(names, b.Station.ID.S), append(days, b.Set.String())
		if len(names) > 1 && len(names) <= shownPlaces {
			found.Related = append(found.Related, lint.Place{Rec: b.Rec, Span: b.Set.Span, Message: "offset of station " + b.Station.ID.S})
		}
	}
	found.Related = append(found.Related, lint.Place{Rec: first.Rec, Span: first.SeatTo.Height.Span, Message: "the seat as it is"})
	way := "lower"
	if first.Lower.Sign() < 0 {
		way = "higher"
	}
	found.Message = fmt.Sprintf("the seat of %s is %s %s since %s (%s, then %s), and the %s of %s %s %s found before that, on %s",
		first.Rec.ID(), first.Lower.Abs(), way, first.SeatTo.On, first.SeatFrom.Height.Tol, first.SeatTo.Height.Tol,
		plural(len(names), "offset", "offsets"), plural(len(names), "station", "stations"), listed(names), plural(len(names), "was", "were"), listed(days))
	found.Fix = "find Z of " + listed(names) + " anew before the next part and write the day under offset_set; look also at pin heights, tool reach and programs that count from the seat"
	p.Report(first.Rec, first.Set.Span, found)
}

func reportPinsBehind(p *lint.Pass, b study.BehindOffset) {
	found := lint.Found{Fix: "find the offset of station " + b.Station.ID.S + " anew from its pins and write the day under offset_set"}
	var what []string
	for _, m := range b.Pins {
		what = append(what, fmt.Sprintf("%s has moved by %s", m.Locator.ID.S, movedBy(m.Moved)))
		found.Related = append(found.Related, lint.Place{Rec: b.Rec, Span: m.To.Off.Span, Message: m.Locator.ID.S + " as it was found last"})
		found.Numbers = append(found.Numbers, lint.Number{Name: m.Locator.ID.S + "_dx", Q: m.X}, lint.Number{Name: m.Locator.ID.S + "_dy", Q: m.Y})
	}
	for _, n := range b.New {
		text := fmt.Sprintf("%s was made anew on %s", n.Locator.ID.S, n.On)
		if !n.Surveyed {
			text += " and not surveyed"
		}
		what = append(what, text)
		found.Related = append(found.Related, lint.Place{Rec: b.Rec, Span: n.On.Span, Message: n.Locator.ID.S + " as it was until then"})
	}
	found.Message = fmt.Sprintf("the offset of station %s of %s was found on %s, and since then %s", b.Station.ID.S, b.Rec.ID(), b.SetToPins, strings.Join(what, "; "))
	p.Report(b.Rec, b.SetToPins.Span, found)
}

func reportSheetBehind(p *lint.Pass, b study.BehindSheet) {
	who := "plan " + b.Plan.ID()
	if b.Op != nil {
		who = b.Op.ID.S + " of " + who
	}
	name, is := b.Of+" "+b.Name, "is at"
	do := "compare what changed, bring offset, program and sheet up to it, then write the new revision here"
	if b.Of == "program" {
		is, do = "is named at", "name the later revision if it is the one that runs; or end this plan with until or state = \"superseded\""
	}
	message := fmt.Sprintf("%s was written for revision %s of %s, which %s %s", who, b.Old, name, is, b.New)
	if b.Of == "program" {
		message += " by " + planIs(b.Rec)
	}
	p.Report(b.Plan, b.At, lint.Found{Message: message, Fix: do,
		Related: []lint.Place{{Rec: b.Rec, Span: b.NewAt, Message: "revision " + b.New}}})
}

// planIs names a plan with its revision, which may share its id.
func planIs(rec *ledger.Record) string {
	if rec.Common.Rev.Set() {
		return rec.ID() + " rev " + rec.Common.Rev.S
	}
	return rec.ID()
}
