package report

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/study"
)

// This file gathers what stands around a change: what else changed, the stations
// beside it, and whether the gain was kept.

func happenedOf(h study.Happening) Happened {
	return Happened{h.On.String(), slices.Clone(h.Paths), line(h.What), h.Near}
}

func elseOf(s *study.Set, rec *ledger.Record, ch *ledger.Change, w study.Window, evidence []*study.Evidence, opt PageOptions) ElseChanged {
	out := ElseChanged{From: day(w.From), To: day(w.To), Said: []string{}, Taken: takenOtherwise(evidence, opt.Private), Found: []Happened{}, Commits: []Commit{}}
	for _, t := range ch.AlsoChanged {
		if line(t.S) != "" {
			out.Said = append(out.Said, line(t.S))
		}
	}
	for _, near := range []bool{true, false} {
		for _, h := range w.Else {
			if h.Near == near {
				out.Found = append(out.Found, happenedOf(h))
			}
		}
	}
	if opt.Commits != nil && !w.From.IsZero() && !w.To.IsZero() {
		commits, err := opt.Commits(w.From, w.To)
		if err != nil {
			out.Git = line(err.Error())
		}
		out.Commits = commitsOf(s, rec, ch, w, commits)
	}
	return out
}

// takenOtherwise says how the readings before and after differ in what may act and
// need not: listed even when harmless.
func takenOtherwise(evidence []*study.Evidence, private bool) []string {
	out := []string{}
	add := func(name, before, after string) {
		text := fmt.Sprintf("%s %s before, %s after", name, before, after)
		if before != "" && after != "" && before != after && !contains(out, text) {
			out = append(out, text)
		}
	}
	for _, ev := range evidence {
		if ev.Before == nil || ev.After == nil {
			continue
		}
		b, a := ev.Before.In, ev.After.In
		add("lot", line(b.Lot.S), line(a.Lot.S))
		add("gauge", line(b.Gauge.S), line(a.Gauge.S))
		add("temperature of the part", textOf(nominal(b.Temperature)), textOf(nominal(a.Temperature)))
		if private {
			add("measured by", line(b.By.S), line(a.By.S))
		} else if b.By.Set() && a.By.Set() && b.By.S != a.By.S && !contains(out, "another person measured") {
			out = append(out, "another person measured")
		}
	}
	return out
}

// commitsOf keeps the commits that wrote more than the change and its readings.
func commitsOf(s *study.Set, rec *ledger.Record, ch *ledger.Change, w study.Window, commits []history.Commit) []Commit {
	own := map[string]bool{rec.ID(): true}
	refs := []ledger.Ref{ch.Before, ch.After, ch.Restored}
	for _, e := range ch.Also {
		refs = append(refs, e.Before, e.After)
	}
	for _, r := range refs {
		if r.Set() {
			own[r.S] = true
		}
	}
	at := map[string]string{} // id of the record of a file
	for _, r := range s.L.Records {
		if !r.IsEntry() {
			at[r.Path] = r.ID()
		}
	}
	out := []Commit{}
	for _, c := range commits {
		got := Commit{On: day(c.On), ID: c.ID[:min(len(c.ID), 10)], Subject: line(c.Subject), Records: []string{}}
		for _, path := range c.Paths {
			name := orWord(at[path], path)
			if own[at[path]] || contains(got.Records, line(name)) {
				continue
			}
			got.Records = append(got.Records, line(name))
			got.Near = got.Near || w.Near(name)
		}
		if len(got.Records) > 0 {
			out = append(out, got)
		}
	}
	return out
}

// lines lists what else changed, that which can matter first.
func (e ElseChanged) lines() []string {
	var out []string
	for _, s := range e.Said {
		out = append(out, s+" (written down with the change)")
	}
	for _, near := range []bool{true, false} {
		for _, h := range e.Found {
			if h.Near == near {
				out = append(out, h.words(!near))
			}
		}
	}
	for _, s := range e.Taken {
		out = append(out, s+" (of the readings)")
	}
	if len(e.Found) == 0 && e.From != "" && e.To != "" {
		words := "nothing else that the ledger knows of"
		if out == nil {
			words = "nothing that the ledger knows of"
		}
		out = append(out, words)
	}
	switch {
	case e.Git != "":
		out = append(out, "what git knows of these days is not listed: "+e.Git)
	case len(e.Commits) > 0:
		out = append(out, e.commitLines()...)
	}
	if out == nil {
		out = []string{"not known: the days of the readings, or of the change, are not written down"}
	}
	return out
}

func (h Happened) words(elsewhere bool) string {
	text := h.On + " " + strings.Join(h.Paths, ", ") + ": " + h.What
	if elsewhere {
		text += " (elsewhere in the shop)"
	}
	return text
}

const (
	mostCommits = 8 // that a page lists; the JSON holds all
	mostNamed   = 6 // records of one commit
)

// commitLines lists the commits, those that wrote what is near first.
func (e ElseChanged) commitLines() []string {
	var out []string
	for _, near := range []bool{true, false} {
		for _, c := range e.Commits {
			if c.Near != near {
				continue
			}
			names := c.Records
			more := ""
			if n := len(names) - mostNamed; n > 0 {
				names, more = names[:mostNamed], fmt.Sprintf(" and %d more", n)
			}
			text := fmt.Sprintf("%s commit %s %q wrote %s%s", c.On, c.ID, c.Subject, strings.Join(names, ", "), more)
			if !near {
				text += " (elsewhere in the shop)"
			}
			out = append(out, text)
		}
	}
	if n := len(out) - mostCommits; n > 0 {
		out = append(out[:mostCommits], fmt.Sprintf("%d more commits of these days", n))
	}
	return out
}

// stationsOf lists the stations of the fixtures that the change was made on, with
// the surveys since and what the record says of a re-check.
func stationsOf(s *study.Set, rec *ledger.Record, ch *ledger.Change) []Station {
	out := []Station{}
	for _, r := range s.Resurveys(rec) {
		st := Station{Path: line(r.Path), Touched: r.Touched, Surveyed: day(r.On), Last: day(r.Last), Moved: r.Moved, Said: []string{}}
		for _, n := range ch.Neighbours {
			if n.What.S == r.Path || strings.HasPrefix(n.What.S, r.Path+"/") {
				st.Said = append(st.Said, strings.TrimSpace(n.On.String()+" "+line(orWord(n.Result.S, "no result written down"))))
			}
		}
		switch {
		case st.Surveyed != "":
			st.Text = st.Surveyed
		case r.Next != nil:
			st.Text = "not before " + r.Next.ID() + " of " + r.Next.Data.(*ledger.Change).Done.String()
		default:
			st.Text = "not yet"
		}
		if st.Surveyed == "" && st.Last != "" {
			st.Text += "; last " + st.Last
		}
		out = append(out, st)
	}
	return out
}

// stationRows is the table of the stations, head first; nil if there are none.
func (p *Page) stationRows() [][]string {
	if len(p.Stations) == 0 {
		return nil
	}
	rows := [][]string{{"station", "pins surveyed after the work", "largest move found", "re-check as written down"}}
	for _, st := range p.Stations {
		name := st.Path
		if st.Touched {
			name += " (touched)"
		}
		moved := textOf(st.Moved)
		switch {
		case st.Moved.IsZeroValue() && st.Surveyed != "" && !st.Touched:
			moved = "no earlier survey"
		case !st.Moved.IsZeroValue() && st.Moved.Sign() == 0:
			moved = "none"
		}
		rows = append(rows, []string{name, st.Text, moved, strings.Join(st.Said, "; ")})
	}
	return rows
}

func (p *Page) sideLines() []string {
	out := []string{"side effects: " + orWord(p.SideEffects, "none written down")}
	for _, n := range p.Neighbours {
		inTable := slices.ContainsFunc(p.Stations, func(st Station) bool { return n.What == st.Path || strings.HasPrefix(n.What, st.Path+"/") })
		if !inTable {
			out = append(out, fmt.Sprintf("%s re-checked%s: %s", n.What, spaced(n.On), orWord(n.Result, "no result written down")))
		}
	}
	if len(p.Neighbours) == 0 {
		out = append(out, "neighbours: no re-check written down")
	}
	return out
}

func spaced(s string) string {
	if s == "" {
		return ""
	}
	return " " + s
}

func recheckOf(s *study.Set, rec *ledger.Record, ch *ledger.Change) Recheck {
	r := Recheck{Due: ch.Due.String(), By: ch.Rechecked.S}
	again := s.Recheck(rec)
	switch {
	case again != nil:
		r.Text = fmt.Sprintf("measured again %s, %s", again.Group.In.On, line(again.Rec.ID()))
		r.Kept = keptWords(s.Evidence(rec)[0], again)
	case ch.Rechecked.Set():
		r.Text = "checked again: " + line(ch.Rechecked.S)
	case ch.State.S == "rolled back" || ch.State.S == "cancelled":
		r.Text = "none, it was undone"
	case !ch.Due.Set():
		r.Text = "no day is set"
	case ch.Due.T.Before(s.AsOf):
		r.Text = "was due " + ch.Due.String() + " and is not done"
	default:
		r.Text = "due " + ch.Due.String()
	}
	return r
}

// keptWords says whether the later readings are those after the change.
func keptWords(ev *study.Evidence, r *study.Recheck) string {
	if r.Other != "" {
		return "it measured " + line(r.Other) + ", which says nothing of this change"
	}
	text := fmt.Sprintf("%d %s", r.N, plural(r.N, "piece"))
	if r.PassFail {
		return strings.TrimSuffix(text+" with limit gauges, which give no sizes to compare: "+r.Group.In.Result.S, ": ")
	}
	switch {
	case ev.PerPoint || r.C.After.N == 0:
	case ev.Claim == "spread":
		text += fmt.Sprintf(", s %s%s against %s after the change", number(ev.Shown(r.Spread.After.SD)), unitWord(ev.Unit.Name()), number(ev.Shown(r.Spread.Before.SD)))
	default:
		text += fmt.Sprintf(", mean %s%s against %s after the change", number(ev.Shown(r.C.After.Mean)), unitWord(ev.Unit.Name()), number(ev.Shown(r.C.Before.Mean)))
	}
	switch r.Effect {
	case study.Worse:
		text += ": the gain is not kept"
		if r.Lost != nil {
			text += " at " + strings.Join(r.Lost, ", ")
		}
	case study.Better:
		text += ": better still"
	case study.NotShown:
		text += ": no loss is shown"
	default:
		text += ": " + string(r.Effect)
	}
	if r.HasNext {
		text += fmt.Sprintf("; %d of %d lie where a next part was to be expected (%s … %s)", r.Inside, r.N, number(ev.Shown(r.Low)), number(ev.Shown(r.High)))
	}
	if limits, _, n := ev.Outside(r.Group); n > 0 && countOutside(ev.Limits, 0) != nil {
		text += fmt.Sprintf("; %d of %d outside the limits", limits, n)
	}
	return text
}
