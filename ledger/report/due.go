package report

import (
	"fmt"
	"io"
	"sort"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// DueItem is one thing that falls due.
type DueItem struct {
	// On is the day; empty for what is due by its state, such as a gauge that
	// was never checked or a tool over its life.
	On     string `json:"on"`
	Days   int    `json:"days"` // until then; negative: so many days late; 0 without a day
	Kind   string `json:"kind"` // calibration, survey, re-check, concession, tool
	Record string `json:"record"`
	Title  string `json:"title"`
	What   string `json:"what"`
	// Standing is overdue, never, failed, due, over or near.
	Standing string `json:"standing"`
	File     string `json:"file"`
	Line     int    `json:"line"`
	at       time.Time
}

// nearLife is the share of a tool's life, in per cent, from which it is listed
// (common practice: time to order the next one).
const nearLife = 80

// Due lists what falls due within so many days of the day asked for, and all
// that is late: calibrations of gauges, surveys of pins, re-checks of changes, concessions that
// end, tools near or over their life, or near the part from which their drift can
// take a part over a limit. It is sorted by day; what has no day is
// due now and stands between the late and the coming.
func Due(s *study.Set, within int) []DueItem {
	d := dueFinder{s: s, last: s.AsOf.AddDate(0, 0, within)}
	for _, rec := range s.L.Records {
		if rec.Quiet() || rec.Data == nil {
			continue
		}
		switch r := rec.Data.(type) {
		case *ledger.Gauge:
			d.gauge(rec, r)
		case *ledger.Change:
			d.change(rec, r)
		case *ledger.Tool:
			d.tool(rec, r)
		case *ledger.Fixture:
			d.fixture(rec, r)
		}
		for i := range rec.Common.Concessions {
			d.concession(rec, &rec.Common.Concessions[i])
		}
	}
	sort.SliceStable(d.out, func(i, j int) bool {
		a, b := d.out[i], d.out[j]
		switch {
		case !a.at.Equal(b.at):
			return a.at.Before(b.at)
		case a.Kind != b.Kind:
			return a.Kind < b.Kind
		}
		return a.Record < b.Record
	})
	return d.out
}

type dueFinder struct {
	s    *study.Set
	last time.Time
	out  []DueItem
}

// add notes an item; on is zero for what has no day.
func (d *dueFinder) add(rec *ledger.Record, at ledger.Span, on time.Time, kind, standing, what string, args ...any) {
	if !on.IsZero() && on.After(d.last) {
		return
	}
	if !at.Set() {
		at = rec.Whole()
	}
	item := DueItem{
		On: day(on), Kind: kind, Record: rec.ID(), Title: line(rec.Common.Title.S), What: line(fmt.Sprintf(what, args...)),
		Standing: standing, File: rec.Path, Line: ledger.PositionOf(rec.Src, at.Start).Line, at: on,
	}
	if on.IsZero() {
		item.at = d.s.AsOf
	} else {
		item.Days = int(on.Sub(d.s.AsOf).Hours() / 24)
	}
	d.out = append(d.out, item)
}

// late says overdue for a day that is over, else due.
func (d *dueFinder) late(on time.Time) string {
	if on.Before(d.s.AsOf) {
		return "overdue"
	}
	return "due"
}

func (d *dueFinder) gauge(rec *ledger.Record, g *ledger.Gauge) {
	switch g.State.S {
	case "reference only", "out of service", "consumed", "failed":
		return
	}
	standing, last, due := d.s.StandingOn(g, d.s.AsOf)
	switch standing {
	case study.NeverChecked:
		d.add(rec, g.ID.Span, time.Time{}, "calibration", "never", "was never checked")
	case study.Failed:
		d.add(rec, last.On.Span, time.Time{}, "calibration", "failed", "failed its check of %s and was not adjusted", last.On)
	case study.Valid, study.Overdue:
		d.add(rec, last.Span, due, "calibration", d.late(due), "last checked %s", last.On)
	}
}

func (d *dueFinder) change(rec *ledger.Record, ch *ledger.Change) {
	if !ch.Due.Set() || ch.Rechecked.Set() || ch.State.S == "cancelled" || ch.State.S == "rolled back" {
		return
	}
	d.add(rec, ch.Due.Span, ch.Due.T, "re-check", d.late(ch.Due.T), "measure again: %s", orWord(ch.Characteristic.S, "its effect"))
}

func (d *dueFinder) concession(rec *ledger.Record, c *ledger.Concession) {
	if c.Until.Set() {
		d.add(rec, c.Until.Span, c.Until.T, "concession", d.late(c.Until.T), "%s is conceded until then", c.Rule.S)
	}
}

// fixture lists the stations whose pins are to be surveyed.
func (d *dueFinder) fixture(rec *ledger.Record, fx *ledger.Fixture) {
	for i := range fx.Stations {
		st := &fx.Stations[i]
		last, due, wanted := d.s.SurveyDue(fx, st)
		switch {
		case !wanted:
		case last.IsZero():
			d.add(rec, st.Span, time.Time{}, "survey", "never", "station %s: the pins were never surveyed as they stand", st.ID.S)
		default:
			d.add(rec, st.Span, due, "survey", d.late(due), "station %s: pins last surveyed %s", st.ID.S, day(last))
		}
	}
}

func (d *dueFinder) tool(rec *ledger.Record, t *ledger.Tool) {
	if t.Role.S != "finishing" && t.Role.S != "new" && t.Role.S != "" || t.State.S == "withdrawn" {
		return
	}
	if !t.Count.Set() {
		return
	}
	count := t.Count.Nominal()
	parts, ends := 0.0, ""
	if now := ledger.OnDay(*t, d.s.AsOf); now.Life.Set() && now.Life.Nominal().Sign() > 0 {
		parts, ends = now.Life.Nominal().Float(), "has cut "+count.String()+" of a life of "+now.Life.Nominal().String()
	}
	// What it cuts may run to a limit before the life ends, or where none is set.
	for _, drift := range d.s.ToolDrifts(rec) {
		if n, bound, ok := drift.SafeParts(); ok && (ends == "" || float64(n) < parts) {
			f := drift.Series
			parts, ends = float64(n), fmt.Sprintf("has cut %s; after part %d a single part can be beyond the %s of %s/%s, by its drift in %s",
				count, n, bound.Name, f.CharRec.ID(), f.Char.ID.S, drift.Lives[len(drift.Lives)-1].Rec.ID())
		}
	}
	switch done := count.Float(); {
	case ends == "":
	case done >= parts:
		d.add(rec, t.Count.Span, time.Time{}, "tool", "over", "%s", ends)
	case done*100 >= nearLife*parts:
		d.add(rec, t.Count.Span, time.Time{}, "tool", "near", "%s", ends)
	}
}

// dueList is the JSON of the due list.
type dueList struct {
	AsOf   string    `json:"as_of"`
	Within int       `json:"within_days"`
	Due    []DueItem `json:"due"`
}

// WriteDueJSON prints the list as one JSON document.
func WriteDueJSON(w io.Writer, s *study.Set, within int, items []DueItem) error {
	if items == nil {
		items = []DueItem{}
	}
	return WriteJSON(w, dueList{day(s.AsOf), within, items})
}

// WriteDueText prints the list for a person, one line an item with its place.
func WriteDueText(w io.Writer, s *study.Set, within int, items []DueItem) error {
	var b strings.Builder
	if len(items) == 0 {
		fmt.Fprintf(&b, "Nothing falls due within %d days of %s.\n", within, day(s.AsOf))
	}
	var rows [][]string
	for _, it := range items {
		rows = append(rows, []string{orWord(it.On, "now"), it.howSoon(), it.Kind, it.Record, line(it.Title) + ": " + it.What, fmt.Sprintf("%s:%d", line(it.File), it.Line)})
	}
	writeColumns(&b, "", rows)
	_, err := io.WriteString(w, b.String())
	return err
}

func (it DueItem) howSoon() string {
	switch {
	case it.On == "" || it.Days == 0 && it.Standing == "due":
		if it.On != "" {
			return "today"
		}
		return it.Standing
	case it.Days < 0:
		return fmt.Sprintf("%d %s late", -it.Days, plural(-it.Days, "day"))
	}
	return fmt.Sprintf("in %d %s", it.Days, plural(it.Days, "day"))
}
