package study

import (
	"cmp"
	"math/big"
	"slices"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// EarlyWork is a step of a change that heats, wets with solvent or machines a
// glued locator before its adhesive has cured.
type EarlyWork struct {
	Rec    *ledger.Record // the change
	Change *ledger.Change
	N      int // number of the step, from 1
	Step   *ledger.Step
	What   string // welding, heat, solvent, machining
	Joints []Joint
}

// Joint is a glued locator that a step comes too early for.
type Joint struct {
	Rec     *ledger.Record
	Station *ledger.Station
	Locator *ledger.Locator
	Now     ledger.Locator
	// Glued is the day of the step that glued it, or, where none is recorded, the
	// first day of its present state; then Since is set.
	Glued time.Time
	Since bool
	Cure  quantity.Quantity // longest time that the adhesive needs
	// Elapsed is the time that it had by the days of the record: eight hours on
	// the day of the gluing, and 24 hours for each day after it.
	Elapsed quantity.Quantity
}

// workday is how long a joint has at most on the day on which it is glued, as far
// as a record of days can tell.
var workday = big.NewRat(8, 1)

// EarlyWork lists the steps of changes, up to the day asked for, that come within
// the cure time of an adhesive: welding, heat, solvent and machining on the
// locator, its station or its fixture; on another locator of the station, welding
// and heat only.
//
// The cure begins with the last step that glues the locator, and the steps
// written below it in the same change come after it, on the same day too. Where
// no such step is recorded it begins with the present state of the locator, and
// only work on a later day counts, since the holes are bored before the pins are
// glued.
func (s *Set) EarlyWork() []EarlyWork {
	steps := s.datedSteps()
	if steps == nil {
		return nil
	}
	var out []EarlyWork
	for _, rec := range s.L.Records {
		fx, ok := rec.Data.(*ledger.Fixture)
		if !ok || rec.Quiet() || s.Gone(rec) {
			continue
		}
		for i := range fx.Stations {
			st := &fx.Stations[i]
			for k := range st.Locators {
				out = s.earlyOn(out, steps, rec, st, &st.Locators[k])
			}
		}
	}
	slices.SortStableFunc(out, func(a, b EarlyWork) int {
		return cmp.Or(cmp.Compare(a.Rec.Path, b.Rec.Path), cmp.Compare(a.N, b.N))
	})
	return out
}

// datedStep is a step of a change with its day and what it is done to.
type datedStep struct {
	EarlyWork
	day   time.Time
	glues bool
	on    []ledger.Target
}

// datedSteps lists the steps that were carried out by the day asked for, have a
// known day, and glue or can spoil a joint.
func (s *Set) datedSteps() []datedStep {
	var out []datedStep
	for _, rec := range s.L.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if !ok || rec.Quiet() || ch.State.S == "cancelled" {
			continue
		}
		for i := range ch.Steps {
			step := &ch.Steps[i]
			if step.Day.About || !step.Day.By(s.AsOf) {
				continue
			}
			work := WorkOf(step.Does.S, step.Title.S, step.Where.S)
			d := datedStep{EarlyWork: EarlyWork{Rec: rec, Change: ch, N: i + 1, Step: step}, day: step.Day.T, glues: work.Is(Adhesive)}
			switch {
			case work.Is(Welding):
				d.What = "welding"
			case work.Is(Flame):
				d.What = "heat"
			case work.Is(Solvent):
				d.What = "solvent"
			case work.Is(Grinding), Machines(step.Does.S):
				d.What = "machining"
			}
			if d.What == "" && !d.glues {
				continue
			}
			refs := []ledger.Ref{step.On}
			if !step.On.Set() {
				refs = ch.Touches
			}
			for _, r := range refs {
				if t, err := s.L.Find(r.S); err == nil {
					d.on = append(d.on, t)
				}
			}
			if d.on != nil {
				out = append(out, d)
			}
		}
	}
	return out
}

// reaches reports whether the step is done to the locator: to itself, its station
// or its fixture, or, with heat, to another locator of the station.
func (d *datedStep) reaches(rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) bool {
	for _, t := range d.on {
		switch n := t.Node.(type) {
		case *ledger.Fixture:
			if t.Rec == rec {
				return true
			}
		case *ledger.Station:
			if n == st {
				return true
			}
		case *ledger.Locator:
			if n == loc || t.Owner == st && (d.What == "welding" || d.What == "heat") {
				return true
			}
		}
	}
	return false
}

// earlyOn adds the steps that come too early for one locator.
func (s *Set) earlyOn(out []EarlyWork, steps []datedStep, rec *ledger.Record, st *ledger.Station, loc *ledger.Locator) []EarlyWork {
	now := ledger.OnDay(*loc, s.AsOf)
	if !now.CureDays.Set() || AdhesiveOf(now) == NoAdhesive || !asToday(loc, s.AsOf) {
		return out
	}
	start := loc.Start(s.AsOf)
	var glued *datedStep
	for i := range steps {
		d := &steps[i]
		// Pins are glued some days before the change is done and their state ends.
		of := !d.day.Before(start) || d.Change.Done.Set() && d.Change.Done.T.Equal(start)
		if d.glues && of && d.reaches(rec, st, loc) && (glued == nil || !d.day.Before(glued.day)) {
			glued = d
		}
	}
	if glued != nil {
		start = glued.day
	}
	if start.IsZero() {
		return out
	}
	hours, _ := quantity.LookupUnit("h")
	j := Joint{Rec: rec, Station: st, Locator: loc, Now: now, Glued: start, Since: glued == nil, Cure: rangeOf(now.CureDays).Max}
	for i := range steps {
		d := &steps[i]
		if d.What == "" || d == glued || d.day.Before(start) || !d.reaches(rec, st, loc) {
			continue
		}
		days := int64(d.day.Sub(start) / (24 * time.Hour))
		j.Elapsed = quantity.New(new(big.Rat).Mul(big.NewRat(24, 1), big.NewRat(days, 1)), hours)
		if days == 0 {
			if glued == nil || d.Change != glued.Change || d.N < glued.N {
				continue
			}
			j.Elapsed = quantity.New(workday, hours)
		}
		if j.Elapsed.Rat().Cmp(j.Cure.Rat()) >= 0 {
			continue
		}
		out = addJoint(out, d.EarlyWork, j)
	}
	return out
}

// addJoint adds a joint to the step that spoils it.
func addJoint(out []EarlyWork, e EarlyWork, j Joint) []EarlyWork {
	for i := range out {
		if out[i].Step == e.Step {
			out[i].Joints = append(out[i].Joints, j)
			return out
		}
	}
	e.Joints = []Joint{j}
	return append(out, e)
}

// machining holds the plain forms of words for cutting, and the stems of the
// others.
var (
	cutting      = []string{"bore", "mill", "skim", "drill", "ream", "face", "turn", "cut", "machine", "tap", "hone", "lap", "re-bore", "rebore"}
	cuttingStems = []string{"boring", "bored", "milling", "milled", "skimm", "drilling", "drilled", "reaming", "reamed", "facing", "faced", "turning", "turned", "cutting", "machining", "machined", "tapping", "tapped", "honing", "honed", "lapping", "lapped"}
	looks        = []string{"gauge", "gage", "measur", "check", "survey", "inspect", "indicat", "photo", "clean", "wip"}
)

// Machines reports whether the words of a step say that metal is cut. A plain
// word counts as work at the beginning of a clause and at its end behind a word
// that says how ("helical bore"); "gauge the bore" is no work.
func Machines(does string) bool {
	for _, c := range clauses(does) {
		if slices.ContainsFunc(c, func(w string) bool { return hasStem(w, looks...) }) {
			continue
		}
		for i, w := range c {
			prev := c.at(i - 1)
			if says(clause{prev}, "the", "a", "an", "each", "both", "of", "on", "in", "no", "not", "before", "after", "without", "already") {
				continue
			}
			if slices.Contains(cutting, lastPart(w)) && (i == 0 || i == len(c)-1 && i < 3) || hasStem(w, cuttingStems...) {
				return true
			}
		}
	}
	return false
}
