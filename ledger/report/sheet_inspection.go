package report

import (
	"fmt"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// inspection tells what the gauge could prove, and each reading as a full
// value against the limits of that day.
func (b *sheetBuilder) inspection(in *ledger.Inspection) {
	if in.Entries != nil || in.Unsorted != nil {
		b.sets(in)
		return
	}
	s := b.section("gauge on the day")
	if g := b.s.Gauging(b.rec); g != nil {
		s.say("gauge", g.GaugeRec.ID()+" "+g.GaugeRec.Common.Title.S)
		s.say("standing", standing(g))
		s.sayQ("resolution", size(g.Gauge.Resolution), nominal(g.Gauge.Resolution))
		s.sayQ("U (k = 2)", size(g.Gauge.U), nominal(g.Gauge.U))
		s.sayQ("tolerance", textOf(g.Width), g.Width)
		if g.PerCount != nil {
			s.sayQ("tolerance over resolution", g.PerCount.FloatString(1), quantity.New(g.PerCount, quantity.One))
		}
		if g.Ratio != nil {
			s.sayQ("tolerance over twice U", g.Ratio.FloatString(1), quantity.New(g.Ratio, quantity.One))
		}
		if g.Attribute {
			s.say("kind", "says only inside or outside")
		}
	} else {
		s.say("standing", "no gauge or no day is named, so nothing is known of it")
	}
	if in.Count.Set() {
		c := b.section("count")
		c.say(orWord(line(in.Counts.S), "counted"), fmt.Sprintf("%d of %d", in.Count.Hit, in.Count.Of))
	}
	b.readings()
	b.boring()
}

// sets lists what a file of readings holds: its sets, each a record of its own,
// and the lines that were kept as typed.
func (b *sheetBuilder) sets(in *ledger.Inspection) {
	sets := b.section("sets")
	for _, rec := range b.s.L.Records {
		one, ok := rec.Data.(*ledger.Inspection)
		if !ok || rec.Path != b.rec.Path || !rec.IsEntry() {
			continue
		}
		pieces := ""
		if n := len(one.Rows()); n > 0 {
			pieces = fmt.Sprint(n)
		}
		sets.row(cell("id", rec.ID()), cell("characteristic", one.Characteristic.S), cell("pieces", pieces), cell("gauge", one.Gauge.S), cell("lot", one.Lot.S), cell("standing", one.State.S))
	}
	if in.Unsorted == nil {
		return
	}
	lines := b.section("lines kept as typed")
	for i := range in.Unsorted {
		u := &in.Unsorted[i]
		lines.row(cell("id", u.ID.S), cell("line", line(u.Line.S)), cell("became", orWord(line(u.Sorted.S), "waits to be sorted")))
	}
}

// boring tells how a hole goes on that is bored to size pass by pass.
func (b *sheetBuilder) boring() {
	job, err := b.s.Boring(b.rec)
	if job == nil && err == nil {
		return
	}
	s := b.section("boring to size")
	if err != nil {
		s.say("next", "cannot be computed: "+line(err.Error()))
		return
	}
	st := job.Step
	s.say("next", string(st.Decision))
	s.sayQ("change of radius", showQ(st.Change), st.Change)
	s.say("because", st.Why)
	s.say("hole now", st.Size.String())
	s.sayQ("most that cannot go over", showQ(st.Most), st.Most)
	if !st.After.Upper.IsZeroValue() || !st.After.Lower.IsZeroValue() {
		s.say("hole after it", st.After.String())
	}
	s.say("limits", job.Limits.String())
	for _, c := range st.Cautions {
		s.say("caution", c)
	}
}

// showQ is a computed length for people; empty for none.
func showQ(q quantity.Quantity) string {
	if q.IsZeroValue() {
		return ""
	}
	return study.Show(q)
}

func (b *sheetBuilder) readings() {
	checks := b.s.Checks(b.rec)
	if len(checks) == 0 {
		return
	}
	s := b.section("readings")
	for _, c := range checks {
		full := cellQ("full value", c.Full)
		if c.Problem != "" {
			full.Text = c.Problem
		}
		limits := ""
		if c.HasLimits {
			limits = c.Side.String()
		}
		state := c.Row.State.S
		if c.Row.Why.Set() {
			state += prefixed(": ", line(c.Row.Why.S))
		}
		row := []Fact{cell("piece", c.Row.Piece.S)}
		if c.Point != "" {
			row = append(row, cell("point", c.Point))
		}
		s.row(append(row, Fact{Name: "as written", Text: c.Written.Tol.String(), Value: c.Written.Nominal()}, full, cell("limits", limits), cell("proven", zoneWord(c)), cell("standing", state))...)
	}
}

// zoneWord says what a reading proves of the part (ISO 14253-1).
func zoneWord(c study.Checked) string {
	if c.Zone == study.Doubtful && c.Side == quantity.Inside {
		return "doubtful: nearer to the limit than U"
	}
	if c.Zone == study.Doubtful {
		return "doubtful: outside by less than U"
	}
	return string(c.Zone)
}

// change tells in short what the readings say.
func (b *sheetBuilder) change() {
	p, err := Improvement(b.s, b.rec, PageOptions{Private: true})
	if err != nil {
		return
	}
	s := b.section("what came out")
	s.say("verdict", p.Verdict)
	for _, a := range p.Also {
		s.say("and", a)
	}
	for _, e := range p.Evidence {
		if e.Prediction != nil {
			s.say("prediction", e.Title+": "+e.Prediction.Text)
		}
		if e.Measured.Comparable != "" {
			s.say("comparable", e.Title+": "+e.Measured.Comparable+", "+strings.Join(e.Measured.Because, "; "))
		}
	}
	s.say("re-check", p.Recheck.Text)
	if rows := p.Changed.pinRows(); rows != nil {
		t := b.section("pins")
		for _, r := range rows[1:] {
			var cells []Fact
			for i, c := range r {
				cells = append(cells, cell(rows[0][i], c))
			}
			t.row(cells...)
		}
	}
	e := b.section("what else changed in the window")
	for _, l := range p.ElseChanged.lines() {
		e.say("-", l)
	}
}

// derived lists the derived values of the record, computed anew.
func (b *sheetBuilder) derived() {
	list := b.rec.Common.Derived
	if len(list) == 0 {
		return
	}
	s := b.section("derived values")
	for i := range list {
		v, d := b.computed(&list[i])
		kept, range_ := size(list[i].Value), ""
		if d != nil && !d.Lower.IsZeroValue() && !d.Upper.IsZeroValue() {
			range_ = fmt.Sprintf("%s to %s", study.Show(d.Lower), study.Show(d.Upper))
		}
		odd := ""
		switch {
		case d == nil || d.Err != nil:
			odd = v.Text
		case v.Stale:
			odd = "stale: kept as " + kept
		case d.Outside:
			odd = "worst case leaves the limits"
		}
		text := v.Text
		if d != nil && d.Err != nil {
			text = kept
		}
		s.row(cell("name", list[i].Name.S), cell("formula", list[i].Formula.S), Fact{Name: "now", Text: text, Value: v.Value}, cell("worst case", range_), cell("limits", size(list[i].Limits)), cell("odd", odd))
	}
}

// computed is a derived value as it comes out now, or why it does not.
func (b *sheetBuilder) computed(d *ledger.Derived) (*Value, *study.Derived) {
	got := b.s.DerivedOf(d)
	switch {
	case got == nil:
		return &Value{Text: "not computed"}, nil
	case got.Err != nil:
		return &Value{Text: "not computed: " + line(got.Err.Error())}, got
	}
	text := got.Text
	if text == "" {
		text = got.Value.String()
	}
	return &Value{Value: got.Value, Lower: got.Lower, Upper: got.Upper, Text: text, Stale: got.Stale}, got
}

// derivedValue is the page of one derived value: its inputs and their shares.
func (b *sheetBuilder) derivedValue(d *ledger.Derived) {
	v, got := b.computed(d)
	b.sh.Value = v
	b.written("derived value", d)
	if got == nil {
		return
	}
	if len(got.Inputs) > 0 {
		s := b.section("inputs")
		for _, in := range got.Inputs {
			f := cell("value", size(in.Size))
			f.Value = nominal(in.Size)
			s.row(cell("name", in.Name), cell("path", in.Path), f)
		}
	}
	b.stack(got)
}

func percent(part float64) string { return fmt.Sprintf("%.0f %%", part*100) }

// concessions lists what is conceded in the record.
func (b *sheetBuilder) concessions() {
	list := b.rec.Common.Concessions
	if len(list) == 0 {
		return
	}
	s := b.section("concessions")
	for _, c := range list {
		until := orWord(c.Until.String(), "no end")
		if c.Until.Set() && c.Until.T.Before(b.s.AsOf) {
			until += ", past"
		}
		s.row(cell("rule", c.Rule.S), cell("reason", orWord(c.Reason.S, "none: does not count")), cell("until", until))
	}
}
