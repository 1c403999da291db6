package rules

import (
	"fmt"

	"tenths/ledger"
	"tenths/lint"
)

var blindSeat = &lint.Rule{
	Name:     "blind-seat",
	Severity: lint.Note,
	Title:    "a locator pressed or glued into a blind hole without a way out",
	Page: lint.Page{
		What: "A locator whose seat has a bottom (seat_end = \"blind\"), which is held by press, shrink or adhesive, and of which neither a vent nor a thread to pull it by is noted.",
		Why:  "Air, oil or adhesive shut in below the pin pumps it up or spoils the bond, and later it comes out only by force.",
		Formula: "Air: p = 1.013 bar · h/(h - e), absolute, for a hole of depth h of which e is filled by the pin. Liquid does not give way: the whole pressing force over the area of the pin comes to stand behind it. " +
			"An 8 mm pin 16 mm deep in a hole of 20 mm shuts air in to 5.07 bar, which pushes with 20 N only; with oil below it 5 kN of pressing make 99.5 MPa.",
		Source:  "Boyle's law for the air; vent, knock-out hole or pull thread: common practice. Dowels with a pull thread: ISO 8735 (from memory).",
		Cure:    "A flat or groove along the pin, a knock-out hole through the bottom that is smaller than the pin, or a pin with a thread to pull it by; and write vent or pull_thread. Wipe the hole dry, and leave room below the pin.",
		Concede: "Nothing is reported where the pin is everywhere more than 0.001 in (0.025 mm) loose in its seat: air and liquid come up beside it. For a porous or cross-drilled bottom write vent.",
	},
	Check: func(p *lint.Pass) {
		eachLocator(p, func(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) {
			in, ok := p.S.ShutIn(rec, loc)
			if !ok {
				return
			}
			how, what := "pressed", "air or oil shut in below it can lift it"
			switch {
			case in.Holding.Adhesive:
				how, what = "glued", "air and adhesive shut in below it lift it and spoil the bond"
			case in.Holding.Shrink:
				how = "shrunk"
			}
			p.Report(rec, in.Now.SeatEnd.Span, lint.Found{
				Message: fmt.Sprintf("%s is %s into a blind hole, with no vent and no thread to pull it by: %s, and it comes out only by force", locatorIs(rec, st, loc), how, what),
				Fix:     "a flat or groove on the pin, a knock-out hole smaller than the pin, or a pin with a pull thread; and write vent or pull_thread",
				Related: []lint.Place{{Rec: rec, Span: firstSet(in.Now.HeldBy.Span, in.Now.Adhesive.Span), Message: "how it is held"}},
			})
		})
	},
}
