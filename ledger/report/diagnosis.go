package report

import (
	"fmt"
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger/study"
)

// DiagnosisSheet is what the readings of a seam say of its sources: the answer
// first, then what was read, the suspects, the cures, and what to measure next.
// Steps, shifts and sizes are lengths; a turn is written as the length that it
// makes over the pitch of the pins.
type DiagnosisSheet struct {
	Inspection     string `json:"inspection"`
	Title          string `json:"title"`
	On             string `json:"on"`
	File           string `json:"file"`
	Line           int    `json:"line"`
	Characteristic string `json:"characteristic"`
	// Answer names the source of the largest trait that is shown, or says that
	// none is; Do is the cure that brings most for the work and risk, and Spread
	// how what differs between assemblies weighs against what all share.
	Answer string             `json:"answer"`
	Do     string             `json:"do"`
	Spread string             `json:"spread"`
	Proud  DiagnosisSide      `json:"proud"`
	Other  DiagnosisSide      `json:"against"`
	Pieces int                `json:"assemblies"`
	Void   int                `json:"void"`
	Points []DiagnosisPoint   `json:"points"`
	Cannot string             `json:"cannot_separate"` // why shift, turn and size are not told apart; empty if they are
	Unread []string           `json:"points_not_read"`
	Traits []DiagnosisTrait   `json:"traits"`
	Same   quantity.Quantity  `json:"same_for_all"` // root mean square step that all assemblies share
	Varies quantity.Quantity  `json:"varies"`       // and what differs between them
	States []DiagnosisState   `json:"states"`       // the most probable first
	Cures  []DiagnosisCure    `json:"cures"`
	Rivals string             `json:"rivals"` // what Next would tell apart; empty if nothing is open
	Next   []DiagnosisMeasure `json:"next"`
	// Notes say what is odd about the readings, Assumed what was taken where the
	// records say nothing.
	Notes   []string `json:"notes"`
	Assumed []string `json:"assumed"`

	d *study.Diagnosis
}

// DiagnosisSide is where the outline of a part was finished.
type DiagnosisSide struct {
	Part     string `json:"part"`
	Station  string `json:"station"`
	FaceDown bool   `json:"face_down"`
}

// DiagnosisPoint is the mean reading at a point, and what the records alone make
// one expect there.
type DiagnosisPoint struct {
	Point   string            `json:"point"`
	Mean    quantity.Quantity `json:"mean"`
	Records quantity.Quantity `json:"by_the_records"`
}

// DiagnosisTrait is a shift, the turn or the size.
type DiagnosisTrait struct {
	Trait   string            `json:"trait"`
	Value   quantity.Quantity `json:"value"`
	Error   quantity.Quantity `json:"standard_error"` // 1 s
	Shown   bool              `json:"shown"`          // beyond two standard errors
	Records quantity.Quantity `json:"by_the_records"`
	// ShowsFrom is about how many assemblies would show it if it is real; 0 if it
	// is shown or that is not known.
	ShowsFrom int                `json:"shown_by_assemblies"`
	Suspects  []DiagnosisSuspect `json:"suspects"` // empty unless it is shown
	// NamedP is the probability that the main source is among the named.
	NamedP float64 `json:"named_probability"`
}

// DiagnosisSuspect is a source that may be the main one behind a trait.
type DiagnosisSuspect struct {
	Source      string            `json:"source"`
	How         string            `json:"how"` // as recorded, or what has changed
	Probability float64           `json:"probability"`
	Adds        quantity.Quantity `json:"adds"`
	SD          quantity.Quantity `json:"adds_sd"`
	Named       bool              `json:"named"`
	// Alike are named suspects that readings at these points can never tell from
	// it.
	Alike []string `json:"not_told_from"`
}

// DiagnosisState is a way in which things may stand: all as recorded, or one
// thing not.
type DiagnosisState struct {
	State       string  `json:"state"`
	Probability float64 `json:"probability"`
}

// DiagnosisCure is something that can be done.
type DiagnosisCure struct {
	Kind     string            `json:"kind"`
	Do       string            `json:"do"`
	Before   quantity.Quantity `json:"typical_step_now"`
	After    quantity.Quantity `json:"typical_step_after"`
	Hours    quantity.Quantity `json:"work"`
	Risk     string            `json:"risk"`
	Cautions string            `json:"cautions"`
}

// DiagnosisMeasure is a measurement or trial.
type DiagnosisMeasure struct {
	Do     string            `json:"do"`
	Before quantity.Quantity `json:"sd_now"`
	After  quantity.Quantity `json:"sd_after"`
	Tells  bool              `json:"settles_it"`
}

// DiagnosisOf lays out a diagnosis.
func DiagnosisOf(d *study.Diagnosis) *DiagnosisSheet {
	rec := d.Rec
	sh := &DiagnosisSheet{
		Inspection: line(rec.ID()), Title: line(rec.Common.Title.S), On: day(d.Day), File: rec.Path, Line: lineOf(rec, rec.Common.ID.Span),
		Characteristic: line(d.Seam.Rec.ID() + "/" + d.Seam.Char.ID.S),
		Proud:          diagnosisSide(d.Seam.Proud), Other: diagnosisSide(d.Seam.Other),
		Pieces: d.Pieces, Void: d.Void, Cannot: line(d.Cannot), Unread: lines(d.Unread), Same: d.Steps(d.Same), Varies: d.Steps(d.Varies),
		Points: []DiagnosisPoint{}, Traits: []DiagnosisTrait{}, States: []DiagnosisState{}, Cures: []DiagnosisCure{}, Next: []DiagnosisMeasure{},
		Notes: []string{}, Assumed: lines(d.Assumed), d: d,
	}
	for i, p := range d.Points {
		sh.Points = append(sh.Points, DiagnosisPoint{line(p.ID), d.Mean(i), d.Steps(d.Expected(p.ID))})
	}
	for _, t := range d.Traits {
		sh.Traits = append(sh.Traits, diagnosisTrait(d, t))
	}
	sh.states()
	for _, c := range d.Cures {
		hour, _ := quantity.LookupUnit("h")
		sh.Cures = append(sh.Cures, DiagnosisCure{string(c.Kind), line(c.Do), d.Steps(c.Before), d.Steps(c.After), study.Rounded(quantity.FromFloat(c.Hours, hour), 1), c.Risk, c.Cautions})
	}
	if t, a, b := d.Rivals(); t != nil {
		sh.Rivals = line(fmt.Sprintf("%s or %s, for the %s", sh.named(a), sh.named(b), t.Name))
	}
	for _, l := range d.Next {
		sh.Next = append(sh.Next, DiagnosisMeasure{line(l.Do), d.Steps(l.Before), d.Steps(l.After), l.Tells})
	}
	sh.notes()
	sh.Answer, sh.Do, sh.Spread = line(sh.answer()), line(sh.do()), sh.spread()
	return sh
}

// lines makes each text fit for one line.
func lines(texts []string) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = line(t)
	}
	return out
}

func diagnosisSide(s study.SeamSide) DiagnosisSide {
	return DiagnosisSide{line(s.Part.ID()), line(s.Path()), s.FaceDown}
}

func diagnosisTrait(d *study.Diagnosis, t study.SeamTrait) DiagnosisTrait {
	out := DiagnosisTrait{Trait: line(t.Name), Value: d.Steps(t.Value), Error: d.Steps(t.Error), Shown: t.Shown, Records: d.Steps(t.Records),
		ShowsFrom: d.ShowsFrom(t), Suspects: []DiagnosisSuspect{}, NamedP: twoPlaces(t.NamedP)}
	for i, sp := range t.Suspects {
		if i >= t.Named && sp.Probability < 0.01 {
			break
		}
		src := d.Sources[sp.Source]
		one := DiagnosisSuspect{Source: line(src.Name), How: "as recorded", Probability: twoPlaces(sp.Probability), Adds: d.Steps(sp.Adds), SD: d.Steps(sp.SD), Named: i < t.Named, Alike: []string{}}
		if src.ChangedP >= 0.5 {
			one.How = line(src.Changed)
		} else if src.Pin != nil && !src.Pin.Known {
			one.How = "never surveyed"
		}
		for _, k := range sp.Alike {
			one.Alike = append(one.Alike, line(d.Sources[k].Name))
		}
		out.Suspects = append(out.Suspects, one)
	}
	return out
}

// states says how probable it is that something is no longer as recorded.
func (sh *DiagnosisSheet) states() {
	sh.States = append(sh.States, DiagnosisState{"everything is as the records say", twoPlaces(sh.d.Answer.AsRecorded)})
	for _, s := range sh.d.Sources {
		if s.Changed == "" || s.ChangedP < 0.02 {
			continue
		}
		what := s.Name + " " + s.Changed
		if s.Kind == study.FromLoose {
			what = s.Changed
		}
		at := len(sh.States)
		for at > 0 && sh.States[at-1].Probability < s.ChangedP {
			at--
		}
		sh.States = append(sh.States[:at], append([]DiagnosisState{{line(what), twoPlaces(s.ChangedP)}}, sh.States[at:]...)...)
	}
}

// notes says what is odd about the readings.
func (sh *DiagnosisSheet) notes() {
	d := sh.d
	add := func(format string, args ...any) { sh.Notes = append(sh.Notes, line(fmt.Sprintf(format, args...))) }
	if d.Void > 0 {
		add("%d %s void or superseded and left out", d.Void, verb(d.Void, "assembly is", "assemblies are"))
	}
	if g := d.Gauge; g != nil {
		switch g.Standing {
		case study.Overdue, study.NeverChecked, study.Failed, study.OutOfService:
			if g.Rescue == nil && !g.CheckedSameDay {
				add("%s was not shown to be good on that day: tenths lint says why", g.GaugeRec.ID())
			}
		}
	}
	if d.Form > 0 {
		add("%s of the mean steps is no shift, turn or size, most of it at %s: look for a burr, or a clamp that springs the part", textOf(d.Steps(d.Form)), d.FormAt)
	}
	if d.NoiseSeen {
		add("single readings scatter by %s (1 s) about the pattern, more than their gauge explains: tip, burrs, dirt", textOf(d.Steps(d.Noise)))
	}
	if d.SizeVaries > 0 {
		add("the size differs by %s (1 s) from assembly to assembly, more than gauge and wear explain", textOf(d.Steps(d.SizeVaries)))
	}
}

func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// twoPlaces are what a probability deserves that was counted from draws.
func twoPlaces(p float64) float64 { return math.Round(100*p) / 100 }

// named is a suspect in words.
func (sh *DiagnosisSheet) named(s study.SeamSuspect) string {
	src := sh.d.Sources[s.Source]
	if src.ChangedP < 0.5 || src.Changed == "" {
		return src.Name
	}
	if src.Kind == study.FromLoose {
		return src.Name + " (" + src.Changed + ")"
	}
	return src.Name + ", which " + src.Changed
}

// sure is a probability in words that claim no more than the odds that it began
// with: in steps of 5 %, finer near none and near all.
func sure(p float64) string {
	switch {
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	case p < 0.05 || p > 0.95:
		return percent(p)
	}
	return percent(math.Round(p*20) / 20)
}

// answer names the source of the largest trait.
func (sh *DiagnosisSheet) answer() string {
	t := sh.d.Main
	if t == nil {
		what := "No shift, turn or size"
		if sh.Cannot != "" {
			what = "No step"
		}
		return what + " is beyond twice its own error: no source is named."
	}
	var names []string
	for _, s := range t.Suspects[:t.Named] {
		names = append(names, sh.named(s))
	}
	head := fmt.Sprintf("%s of %s, ", upper(t.Name), sh.d.Steps(t.Value))
	switch {
	case len(names) == 1:
		return head + fmt.Sprintf("most of it from %s (%s).%s", names[0], sure(t.NamedP), sh.also(t))
	case len(t.Suspects[0].Alike) >= len(names)-1:
		return head + fmt.Sprintf("most of it from one of %s (together %s): these points cannot tell which.", strings.Join(names, ", "), sure(t.NamedP))
	}
	return head + fmt.Sprintf("most of it from one of %s (together %s), the most probable first.", strings.Join(names, ", "), sure(t.NamedP))
}

// also names the other traits that have the same source first.
func (sh *DiagnosisSheet) also(main *study.SeamTrait) string {
	var names []string
	for i := range sh.d.Traits {
		t := &sh.d.Traits[i]
		if t != main && t.Shown && t.Suspects[0].Source == main.Suspects[0].Source {
			names = append(names, fmt.Sprintf("%s (%s)", t.Name, number(sh.d.Steps(t.Value))))
		}
	}
	if names == nil {
		return ""
	}
	return " It also leads in " + strings.Join(names, " and ") + "."
}

// do is the first cure.
func (sh *DiagnosisSheet) do() string {
	if sh.d.GoodEnough {
		return fmt.Sprintf("Nothing needs to be done: about 95 of 100 steps lie inside %s.", sh.d.Bounds().Tol)
	}
	if len(sh.Cures) == 0 {
		return "Nothing that the records know of would make the step smaller."
	}
	c := sh.Cures[0]
	return fmt.Sprintf("%s. That takes the typical step from %s to %s. Risk: %s.", upper(c.Do), number(c.Before), c.After, c.Risk)
}

// spread says how what differs between assemblies weighs.
func (sh *DiagnosisSheet) spread() string {
	same, varies := sh.d.Same, sh.d.Varies
	text := fmt.Sprintf("All assemblies share a step of %s; they differ among each other by %s (root mean square)", number(sh.Same), sh.Varies)
	switch {
	case varies > 1.5*same:
		return text + ". The spread is the larger part: the fit of the holes counts for more than any position."
	case varies > same/1.5:
		return text + ". The spread matters as much as the position: look at the fit of the holes too."
	}
	return text + "."
}
