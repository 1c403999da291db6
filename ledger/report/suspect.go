package report

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// SuspectSheet is the look-back over a gauge that was found out, or might be:
// the answer first, then every reading, then what rests on them.
type SuspectSheet struct {
	AsOf   string `json:"as_of"`
	Gauge  string `json:"gauge"`
	Title  string `json:"title"`
	State  string `json:"state"`
	File   string `json:"file"`
	Line   int    `json:"line"`
	Answer string `json:"answer"`
	Tally  Tally  `json:"tally"`
	// GaugeReadings counts the readings of other gauges that were compared with
	// this one, directly or over others.
	GaugeReadings int    `json:"gauge_readings"`
	Found         *Found `json:"found"` // null if no check found it out
	LastGood      string `json:"last_good"`
	// Readings after this day, up to and with To, are in doubt; those after To up
	// to Until are in Later. After is empty if no good check is known.
	After       string            `json:"after"`
	To          string            `json:"to"`
	Until       string            `json:"until"`
	Uncertainty quantity.Quantity `json:"uncertainty"`
	Groups      []SuspectGroup    `json:"groups"`
	Later       []SuspectGroup    `json:"later"`
	Undated     []SuspectPlace    `json:"undated"`
	Gauges      []RestingGauge    `json:"gauges"`
	Changes     []RestingUse      `json:"changes"`
	Surveys     []RestingSurvey   `json:"surveys"`
	Derived     []RestingValue    `json:"derived"`
	// Limits says what the answer takes for granted.
	Limits   []string `json:"limits"`
	lookBack string   // the answer about the gauge's own readings
}

// Tally counts readings by what became of them.
type Tally struct {
	Readings     int `json:"readings"`
	Cleared      int `json:"cleared"`
	Doubtful     int `json:"doubtful"`
	Outside      int `json:"outside"`
	Resting      int `json:"rests_on_it"`
	Unclassified int `json:"not_classified"`
	Void         int `json:"void"`
	SetUp        int `json:"set_up"`
	Reference    int `json:"reference"`
}

// Found is the check that found the gauge out. Error is null if it was not
// written down as it was found.
type Found struct {
	On     string            `json:"on"`
	Result string            `json:"result"`
	Error  quantity.Quantity `json:"error"`
	At     quantity.Quantity `json:"at"`
	AsLeft quantity.Quantity `json:"as_left"`
	Curve  []ErrorAt         `json:"curve"`
	// LookBack is what the record says was found; empty if nothing is written down.
	LookBack string `json:"look_back"`
	File     string `json:"file"`
	Line     int    `json:"line"`
}

// ErrorAt is the error at one size.
type ErrorAt struct {
	At    quantity.Quantity `json:"at"`
	Error quantity.Quantity `json:"error"`
}

// SuspectGroup is the readings of one characteristic.
type SuspectGroup struct {
	Characteristic string           `json:"characteristic"` // empty: none is named
	Title          string           `json:"title"`
	Decided        bool             `json:"decided"` // parts were accepted by them
	Answer         string           `json:"answer"`
	Tally          Tally            `json:"tally"`
	Lots           []SuspectLot     `json:"lots"`
	Readings       []SuspectReading `json:"readings"`
}

// SuspectLot counts the readings of a lot; pieces without one have no name.
type SuspectLot struct {
	Lot    string `json:"lot"`
	Answer string `json:"answer"`
	Tally  Tally  `json:"tally"`
}

// SuspectReading is one reading. A quantity that is not known is null: the
// lower or upper limit that there is not, the corrected value without an error.
type SuspectReading struct {
	On         string            `json:"on"`
	Inspection string            `json:"inspection"`
	Lot        string            `json:"lot"`
	Piece      string            `json:"piece"`
	Point      string            `json:"point"`
	Read       quantity.Quantity `json:"read"`
	AsRead     string            `json:"as_read"` // what it proved before the error was known; empty without limits
	Error      quantity.Quantity `json:"error"`
	Corrected  quantity.Quantity `json:"corrected"`
	Lower      quantity.Quantity `json:"lower"`
	Upper      quantity.Quantity `json:"upper"`
	// Margin is how far the corrected value lies inside the nearest limit.
	Margin   quantity.Quantity `json:"margin"`
	Standing string            `json:"standing"`
	Why      string            `json:"why"`
	File     string            `json:"file"`
	Line     int               `json:"line"`
	limits   string
}

// SuspectPlace is a record with its place.
type SuspectPlace struct {
	Record   string `json:"record"`
	Title    string `json:"title"`
	Readings int    `json:"readings"`
	File     string `json:"file"`
	Line     int    `json:"line"`
}

// RestingGauge is a gauge that was compared with one in doubt.
type RestingGauge struct {
	Gauge       string   `json:"gauge"`
	Title       string   `json:"title"`
	Against     string   `json:"against"`
	On          string   `json:"on"` // day of the calibration; empty: on the day of the readings
	Level       int      `json:"level"`
	Readings    int      `json:"readings"`
	Inspections []string `json:"inspections"`
	File        string   `json:"file"`
	Line        int      `json:"line"`
}

// RestingUse is a change that takes readings in doubt.
type RestingUse struct {
	Change     string `json:"change"`
	Title      string `json:"title"`
	State      string `json:"state"`
	Key        string `json:"key"`
	Inspection string `json:"inspection"`
	Gauge      string `json:"gauge"`
	// Noted is set if the inspection says that it is in doubt; Cancels if the
	// other side of the comparison came from the same gauge and is in doubt too.
	Noted   bool   `json:"noted"`
	Cancels bool   `json:"cancels"`
	Note    string `json:"note"`
	File    string `json:"file"`
	Line    int    `json:"line"`
}

// RestingSurvey is a locator surveyed with a gauge in doubt.
type RestingSurvey struct {
	Locator string `json:"locator"`
	On      string `json:"on"`
	Gauge   string `json:"gauge"`
	File    string `json:"file"`
	Line    int    `json:"line"`
}

// RestingValue is a derived value that takes a value in doubt.
type RestingValue struct {
	Path  string            `json:"path"`
	Takes string            `json:"takes"`
	Value quantity.Quantity `json:"value"`
	File  string            `json:"file"`
	Line  int               `json:"line"`
}

// SuspectOf lays out a look-back.
func SuspectOf(s *study.Set, sp *study.Suspect) *SuspectSheet {
	rec := sp.GaugeRec
	sh := &SuspectSheet{
		AsOf: day(s.AsOf), Gauge: line(rec.ID()), Title: line(rec.Common.Title.S), State: rec.State(), File: rec.Path, Line: lineOf(rec, rec.Common.ID.Span),
		Answer: sp.Tally().String(), Tally: Tally(sp.Tally()), After: day(sp.From), To: day(sp.To), Until: day(sp.Until), Uncertainty: nominal(sp.Gauge.U),
		Groups: groupsOf(sp.Groups), Later: groupsOf(sp.Later), Undated: []SuspectPlace{}, Gauges: []RestingGauge{}, Changes: []RestingUse{}, Surveys: []RestingSurvey{}, Derived: []RestingValue{},
		Limits: suspectLimits(sp),
	}
	if c := sp.Failed; c != nil {
		sh.Found = &Found{On: c.On.String(), Result: c.Result.S, Error: sp.Error, At: nominal(c.At), AsLeft: nominal(c.AsLeft), Curve: []ErrorAt{}, LookBack: line(c.LookBack.S), File: rec.Path, Line: lineOf(rec, c.On.Span)}
		for _, p := range sp.Curve {
			sh.Found.Curve = append(sh.Found.Curve, ErrorAt(p))
		}
	}
	if sp.Good != nil {
		sh.LastGood = sp.Good.On.String()
	}
	for _, r := range sp.Undated {
		n := 0
		for _, c := range s.Checks(r) {
			if c.Row.Live() {
				n++
			}
		}
		sh.Undated = append(sh.Undated, SuspectPlace{Record: line(r.ID()), Title: line(r.Common.Title.S), Readings: n, File: r.Path, Line: lineOf(r, r.Common.ID.Span)})
	}
	sh.resting(sp)
	if t := sp.TallyLater(); t.Readings > 0 {
		sh.Answer += "; after it was found out " + t.String()
	}
	sh.lookBack = sh.Answer
	if n := sh.GaugeReadings; n > 0 {
		sh.Answer += fmt.Sprintf("; %d %s of gauges that were compared with it", n, plural(n, "reading"))
	}
	return sh
}

// lineOf is the line of a place in a record, its first line if the place is
// not known.
func lineOf(rec *ledger.Record, at ledger.Span) int {
	if !at.Set() {
		at = rec.Whole()
	}
	return ledger.PositionOf(rec.Src, at.Start).Line
}

func groupsOf(list []*study.SuspectGroup) []SuspectGroup {
	out := []SuspectGroup{}
	for _, g := range list {
		sg := SuspectGroup{Characteristic: line(g.Path), Decided: g.Decided, Answer: g.Tally.String(), Tally: Tally(g.Tally), Lots: []SuspectLot{}, Readings: []SuspectReading{}}
		if g.Char != nil {
			sg.Title = line(g.Char.Title.S)
		}
		for _, l := range g.Lots {
			sg.Lots = append(sg.Lots, SuspectLot{Lot: line(l.Lot), Answer: l.Tally.String(), Tally: Tally(l.Tally)})
		}
		for _, r := range g.Readings {
			sg.Readings = append(sg.Readings, readingOf(r))
		}
		out = append(out, sg)
	}
	return out
}

func readingOf(r study.SuspectReading) SuspectReading {
	at := r.Written.Span
	if !at.Set() {
		at = r.Row.Span
	}
	out := SuspectReading{
		On: r.In.On.String(), Inspection: line(r.Rec.ID()), Lot: line(r.Lot), Piece: line(r.Row.Piece.S), Point: line(r.Point), Read: r.Full, AsRead: string(r.Zone),
		Error: r.Error, Corrected: r.Corrected, Margin: r.Margin, Standing: string(r.Standing), Why: line(r.Why), File: r.Rec.Path, Line: lineOf(r.Rec, at),
	}
	if r.Limits != nil {
		out.Lower, out.Upper, out.limits = r.Limits.Lower, r.Limits.Upper, r.Limits.String()
	}
	return out
}

func (sh *SuspectSheet) resting(sp *study.Suspect) {
	for _, g := range sp.Gauges {
		out := RestingGauge{Gauge: line(g.Rec.ID()), Title: line(g.Rec.Common.Title.S), Against: line(g.Against.ID()), Level: g.Level, Readings: g.Readings, Inspections: []string{}, File: g.Rec.Path, Line: lineOf(g.Rec, g.Rec.Common.ID.Span)}
		if g.Check != nil {
			out.On, out.Line = g.Check.On.String(), lineOf(g.Rec, g.Check.Against.Span)
		}
		for _, rec := range g.Inspections {
			out.Inspections = append(out.Inspections, line(rec.ID()))
		}
		sh.Gauges = append(sh.Gauges, out)
		sh.GaugeReadings += g.Readings
	}
	for _, c := range sp.Changes {
		for _, u := range c.Uses {
			sh.Changes = append(sh.Changes, RestingUse{
				Change: line(c.Rec.ID()), Title: line(c.Rec.Common.Title.S), State: c.Change.State.S, Key: u.Key, Inspection: line(u.Inspection.ID()), Gauge: line(u.Through.ID()),
				Noted: u.Noted, Cancels: u.Cancels, Note: useNote(u, sp), File: c.Rec.Path, Line: lineOf(c.Rec, u.At),
			})
		}
	}
	for _, v := range sp.Surveys {
		sh.Surveys = append(sh.Surveys, RestingSurvey{Locator: line(v.Path), On: v.Survey.On.String(), Gauge: line(v.Through.ID()), File: v.Rec.Path, Line: lineOf(v.Rec, v.Survey.Gauge.Span)})
	}
	for _, v := range sp.Derived {
		sh.Derived = append(sh.Derived, RestingValue{Path: line(v.Derived.Path()), Takes: line(v.Path), Value: v.Derived.Value, File: v.Derived.Rec.Path, Line: lineOf(v.Derived.Rec, v.Derived.D.Name.Span)})
	}
}

// useNote says what the verdict of a change has to carry.
func useNote(u study.ChangeUse, sp *study.Suspect) string {
	note := "the verdict must carry the note: "
	switch id := line(u.Inspection.ID()); {
	case sp.Failed == nil:
		note = "the verdict would rest on it"
	case u.Noted:
		note += id + " says so already"
	default:
		note += "write doubt = in " + id
	}
	if u.Cancels {
		note += "; both sides are from " + line(u.Through.ID()) + ": a steady error cancels in the difference, not against the limits"
	}
	return note
}

// suspectLimits says what a look-back takes for granted, and what it cannot tell.
func suspectLimits(sp *study.Suspect) []string {
	var out []string
	switch {
	case sp.Failed == nil:
		return []string{"the error is not known, so no reading is cleared or condemned"}
	case sp.Error.IsZeroValue():
		return []string{"the error as found was not written down, so no reading is cleared or condemned"}
	case sp.Curve != nil:
		out = append(out, "the error is taken on straight lines between the sizes of the check, and as at the last size beyond them")
	default:
		at := ""
		if sp.Failed.At.Set() {
			at = ", as found at " + sp.Failed.At.Nominal().String()
		}
		out = append(out, "error assumed constant over size"+at+", unless a curve is known: a check at several sizes on one day gives one")
	}
	out = append(out, "the error is taken as there on every day of the window; nobody knows on which day the gauge went out")
	if sp.Gauge.U.Set() {
		out = append(out, fmt.Sprintf("judged by ISO 14253-1 with U = %s of the gauge; what the check itself did not know is not added", sp.Gauge.U.Nominal()))
	}
	return out
}
