package report

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Improvement builds the before and after page of a change. The error is for a
// record that is no change.
func Improvement(s *study.Set, rec *ledger.Record, opt PageOptions) (*Page, error) {
	ch, ok := rec.Data.(*ledger.Change)
	if !ok {
		return nil, fmt.Errorf("%s is a %s; a before and after page is made of a change, such as CH-01", rec.ID(), orWord(string(rec.Kind()), "record that cannot be read"))
	}
	p := &Page{
		AsOf: day(s.AsOf), Shop: line(s.L.Config.Shop.S), Change: rec.ID(), Title: line(rec.Common.Title.S), State: s.StateOn(ch),
		Dates: Dates{Opened: by(s, ch.Opened), Done: by(s, ch.Done), RolledBack: by(s, ch.RolledBack)}, Goal: line(ch.Goal.S),
		Private: opt.Private, SideEffects: line(ch.Side.S), RollBack: line(ch.RollBack.S), Lesson: line(ch.Lesson.S),
		Also: []string{}, Evidence: []Evidence{}, Neighbours: []Neighbour{}, Stations: []Station{}, Photos: []Photo{},
	}
	if opt.Private {
		p.Complaint = line(ch.Complaint.S)
		p.Cost = &Cost{Hours: size(ch.Hours), Cost: line(ch.Cost.S), Scrapped: size(ch.Scrapped), Cycle: size(ch.Cycle)}
	}
	evidence := s.Evidence(rec)
	for i, ev := range evidence {
		e := evidenceOf(s, ev, opt.Private)
		e.Prediction = predictionOf(ev, ch, i)
		e.foretell(s, rec, i)
		p.Evidence = append(p.Evidence, e)
		if ev.Before != nil && p.Dates.Before == "" {
			p.Dates.Before = ev.Before.In.On.String()
		}
		if ev.After != nil && p.Dates.After == "" {
			p.Dates.After = ev.After.In.On.String()
		}
	}
	p.Where = whereOf(evidence)
	window := s.Window(rec)
	p.Changed = changedOf(s, rec, ch, window)
	p.ElseChanged = elseOf(s, rec, ch, window, evidence, opt)
	p.Stations = stationsOf(s, rec, ch)
	for _, n := range ch.Neighbours {
		p.Neighbours = append(p.Neighbours, Neighbour{line(n.What.S), n.On.String(), line(n.Result.S)})
	}
	p.verdicts(s, ch, evidence)
	p.Recheck = recheckOf(s, rec, ch)
	p.Photos = photos(s.L, rec, opt.Images)
	return p, nil
}

// by is a day that had come by the day asked for.
func by(s *study.Set, d ledger.Date) string {
	if d.Set() && d.T.After(s.AsOf) {
		return ""
	}
	return d.String()
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func whereOf(evidence []*study.Evidence) string {
	for _, ev := range evidence {
		if ev.Char != nil {
			return fmt.Sprintf("%s (%s/%s), %s", line(ev.Char.Title.S), ev.CharRec.ID(), ev.Char.ID.S, line(ev.CharRec.Common.Title.S))
		}
	}
	return ""
}

// verdicts writes the first sentence and what must be said beside it.
func (p *Page) verdicts(s *study.Set, ch *ledger.Change, evidence []*study.Evidence) {
	if p.Goal != "" {
		p.Also = append(p.Also, "Goal of the change: "+strings.TrimSuffix(p.Goal, ".")+".")
	}
	if p.State != ch.State.S && ch.Done.Set() && ch.Done.T.After(s.AsOf) {
		p.Also = append(p.Also, fmt.Sprintf("The record says %s, done %s; on %s, the day of this page, that is still to come.", ch.State.S, ch.Done, p.AsOf))
	}
	if len(p.Evidence) == 0 {
		p.Verdict = "Nothing was measured before and after this change, so readings say nothing about it."
		if ch.Criterion.Set() {
			p.Also = append(p.Also, "It is judged by: "+line(ch.Criterion.S)+".")
		}
		return
	}
	p.Verdict = p.Evidence[0].Verdict
	if ch.Criterion.Set() && evidence[0].Before == nil && evidence[0].After == nil {
		p.Verdict = fmt.Sprintf("%s: no readings before and after; judged by: %s.", p.Evidence[0].Title, strings.TrimSuffix(line(ch.Criterion.S), "."))
		p.Evidence[0].Takes = "" // no readings are asked for
	} else if p.Evidence[0].Takes != "" {
		p.Also = append(p.Also, p.Evidence[0].Takes)
	}
	for _, e := range p.Evidence[1:] {
		p.Also = append(p.Also, joinSentences(e.Verdict, e.Takes, e.Note))
	}
	main := evidence[0]
	switch {
	case main.Before == nil && main.After == nil:
	case p.State == "verified effective" && main.Effect != study.Better && ch.Criterion.Set():
		p.Also = append(p.Also, "The record says verified effective by another criterion: "+line(ch.Criterion.S)+".")
	case p.State == "verified effective" && main.Effect != study.Better:
		p.Also = append(p.Also, "The record says verified effective; these readings alone do not show it.")
	case main.Effect == study.Worse && p.State != "harmful" && p.State != "rolled back":
		p.Also = append(p.Also, fmt.Sprintf("The record says %s; the readings show that it got worse.", p.State))
	case main.Effect == study.Better && slices.Contains([]string{"inconclusive", "not effective", "harmful"}, p.State):
		p.Also = append(p.Also, fmt.Sprintf("The record says %s; the readings show that it got better.", p.State))
	}
	p.Also = append(p.Also, orderWords(s, ch)...)
	var worse []string
	for _, pt := range p.Evidence[0].Points {
		if pt.Worse && !main.PerPoint { // else the verdict names it
			worse = append(worse, fmt.Sprintf("%s (%s → %s%s)", pt.Point, number(pt.Before), number(pt.After), unitWord(p.Evidence[0].Unit)))
		}
	}
	if worse != nil {
		p.Also = append(p.Also, "Got worse: "+strings.Join(worse, ", ")+".")
	}
	others := len(p.ElseChanged.Said)
	for _, h := range p.ElseChanged.Found {
		if h.Near && strings.HasPrefix(h.What, "another change") {
			others++
		}
	}
	if others > 0 && !ch.Several.Set() {
		p.Also = append(p.Also, fmt.Sprintf("Between the readings %d other %s changed as well; what came out may not be due to this change alone.", others, plural(others, "thing")))
	}
}

// orderWords says what is wrong with the days of the readings.
func orderWords(s *study.Set, ch *ledger.Change) []string {
	var out []string
	add := func(text string) {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	pairs := [][2]ledger.Ref{{ch.Before, ch.After}}
	for _, e := range ch.Also {
		pairs = append(pairs, [2]ledger.Ref{e.Before, e.After})
	}
	for _, pair := range pairs {
		o := s.OrderOf(ch.Done, pair[0], pair[1])
		if o.BeforeLate {
			add(fmt.Sprintf("The readings before, %s, were taken on %s, after the work was done on %s.", o.Before.ID(), o.On, ch.Done))
		}
		if o.AfterEarly {
			add(fmt.Sprintf("The readings after, %s, were taken on %s, before the work was done on %s.", o.After.ID(), o.Then, ch.Done))
		}
		if o.Swapped {
			add(fmt.Sprintf("The readings before, %s, were taken on %s, later than those after, %s on %s.", o.Before.ID(), o.On, o.After.ID(), o.Then))
		}
	}
	return out
}

// joinSentences puts the ones that are there in a row, each ended by a stop.
func joinSentences(parts ...string) string {
	var out []string
	for _, s := range parts {
		s = upper(strings.TrimSpace(line(s)))
		if s == "" {
			continue
		}
		if !strings.HasSuffix(s, ".") {
			s += "."
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func changedOf(s *study.Set, rec *ledger.Record, ch *ledger.Change, window study.Window) Changed {
	c := Changed{Factor: line(ch.Factor.S), Several: line(ch.Several.S), Touches: []string{}, Pins: []Pin{}, Found: []Happened{}}
	if ch.Cause.Text.Set() {
		c.Cause = line(ch.Cause.Text.S)
		if ch.Cause.Standing.Set() {
			c.Cause += " (" + ch.Cause.Standing.S + ")"
		}
	}
	for _, t := range ch.Touches {
		c.Touches = append(c.Touches, line(t.S))
	}
	for _, p := range s.PinChanges(rec) {
		if !ch.Done.By(s.AsOf) {
			break // what the record says of them is still to come
		}
		if p.NoEarlier && !namesPin(ch, p.Path) {
			continue // the work was on something else of the fixture
		}
		pin := Pin{p.Path, pinState(p.Before), pinState(p.After), p.NoEarlier}
		if p.NoEarlier {
			pin.Before = PinState{On: day(p.Before.Day)}
		}
		c.Pins = append(c.Pins, pin)
	}
	for _, h := range window.Touched {
		h.Paths = slices.DeleteFunc(slices.Clone(h.Paths), func(path string) bool {
			return slices.ContainsFunc(c.Pins, func(p Pin) bool { return p.Path == path }) // the table of pins says it
		})
		if len(h.Paths) > 0 {
			c.Found = append(c.Found, happenedOf(h))
		}
	}
	return c
}

// namesPin reports whether a change says that it alters a pin or its station, and
// not only the fixture.
func namesPin(ch *ledger.Change, path string) bool {
	return slices.ContainsFunc(ch.Touches, func(t ledger.Ref) bool {
		return t.S == path || strings.Contains(t.S, "/") && strings.HasPrefix(path, t.S+"/")
	})
}

func pinState(p study.PinOn) PinState {
	out := PinState{
		On: day(p.Day), Type: p.Now.Type.S, Size: size(p.Now.Size), Land: size(p.Now.Land),
		Relief: line(p.Now.Relief.S), MadeBy: line(p.Now.MadeBy.S), HeldBy: line(p.Now.HeldBy.S),
	}
	if p.Now.Type.S != "relieved pin" {
		out.Land, out.Relief = "", ""
	}
	if sv := p.Survey; sv != nil {
		out.Surveyed = sv.On.String()
		out.OffX, out.OffY = nominal(sv.Off.X), nominal(sv.Off.Y)
		if sv.Size.Set() {
			out.Size = size(sv.Size)
		}
	}
	return out
}

func predictionOf(ev *study.Evidence, ch *ledger.Change, i int) *Prediction {
	if !ev.Primary {
		if ch.Characteristic.Set() || ch.Before.Set() || ch.After.Set() {
			i--
		}
		if i < 0 || i >= len(ch.Also) || !ch.Also[i].Predicted.Set() {
			return nil
		}
		words := line(ch.Also[i].Predicted.S)
		return &Prediction{Predicted: words, Text: "predicted: " + words}
	}
	p := ev.Predicted()
	if p == nil {
		return nil
	}
	show := func(v, low, high float64, interval bool) string {
		text := func(v float64) string {
			if p.Ratio {
				return fmt.Sprintf("%.2f", v)
			}
			return number(ev.Shown(v))
		}
		out := text(v)
		if interval {
			out += " (" + text(low) + " … " + text(high) + ")"
		}
		if p.Ratio {
			return out + " of the spread before"
		}
		return out + unitWord(ev.Unit.Name())
	}
	out := &Prediction{On: p.On.String(), Agreement: string(p.Agreement), Predicted: show(p.Value, p.Low, p.High, p.HasInterval)}
	out.Text = "predicted " + out.Predicted
	if out.On != "" {
		out.Text += " on " + out.On
	}
	if p.Agreement == study.Unmeasured || p.Agreement == study.ByPoint {
		out.Text += "; " + out.Agreement
		return out
	}
	out.Found = show(p.Found, p.FoundLow, p.FoundHigh, true)
	out.Text += "; found " + out.Found + ": " + out.Agreement
	if p.Agreement == study.Contradict {
		out.Text += ", so something is not understood yet"
	}
	if ev.After != nil && p.On.Set() && ev.After.In.On.Set() && !p.On.T.Before(ev.After.Day()) {
		out.Text += "; it was not written before the readings"
	}
	return out
}

// unitWord is a space and the unit, or nothing for a plain number.
func unitWord(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}
