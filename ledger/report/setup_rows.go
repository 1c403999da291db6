package report

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

// locators lists what locates the part at the station, as it stands on the day.
func (b *setupBuilder) locators(op *study.PlanOp) [][]Fact {
	var out [][]Fact
	for i := range op.Station.Locators {
		now := ledger.OnDay(op.Station.Locators[i], b.s.AsOf)
		used, stands, surveyed := size(now.Size), "", ""
		sv, ok := now.SurveyOn(b.s.AsOf)
		switch {
		case ok:
			surveyed = sv.On.String()
			if sv.Off.Set() {
				stands = sv.Off.X.Tol.String() + ", " + sv.Off.Y.Tol.String()
			}
			if sv.Size.Set() {
				used = size(sv.Size)
			}
		case strings.HasSuffix(now.Type.S, "pin"):
			surveyed = "never as it stands"
		}
		kind := now.Type.S
		if now.Land.Set() {
			kind += ", land " + size(now.Land) + prefixed(", relieved along ", now.Relief.S)
		}
		out = append(out, []Fact{cell("locator", now.ID.S), cell("type", line(kind)), cell("in", now.Engages.S), cell("size", used), cell("height", size(now.Height)), cell("off x, y", stands), cell("last survey", surveyed)})
	}
	return dropEmpty(joinAlike(out))
}

func (b *setupBuilder) clamps(st *ledger.Station) [][]Fact {
	var out [][]Fact
	for _, c := range st.Clamps {
		at := ""
		if c.At.Set() {
			at = c.At.X.Tol.String() + ", " + c.At.Y.Tol.String()
		}
		out = append(out, []Fact{cell("clamp", c.ID.S), cell("what", line(c.Title.S)), cell("at x, y", at), cell("force", size(c.Force))})
	}
	return dropEmpty(out)
}

// dropEmpty leaves out the columns in which nothing stands.
func dropEmpty(rows [][]Fact) [][]Fact {
	if len(rows) == 0 {
		return rows
	}
	keep := make([]bool, len(rows[0]))
	for _, r := range rows {
		for k, c := range r {
			keep[k] = keep[k] || c.Text != ""
		}
	}
	out := make([][]Fact, len(rows))
	for n, r := range rows {
		for k, c := range r {
			if keep[k] {
				c.Text = line(c.Text)
				out[n] = append(out[n], c)
			}
		}
	}
	return out
}

// tools lists the tools of an operation with their life in this batch.
func (b *setupBuilder) tools(op *study.PlanOp) [][]Fact {
	var out [][]Fact
	for _, ref := range op.Tools {
		row := []Fact{cell("tool", ref.S), cell("what", ""), cell("diameter", ""), cell("role", ""), cell("offsets", ""), cell("stick-out", ""), cell("cut so far", ""), cell("in this batch", "")}
		for k := range b.runs {
			r := &b.runs[k]
			if r.Rec.ID() != ref.S {
				continue
			}
			row[1].Text, row[2].Text, row[3].Text = r.Rec.Common.Title.S, size(r.Now.Diameter), toolRole(&r.Now)
			row[4].Text, row[5].Text, row[6].Text = r.Now.Offset.S, size(r.Now.StickOut), lifeWords(r)
			row[7].Text = b.toolNote(r, op)
		}
		if b.s.L.Record(ref.S) == nil {
			row[1].Text = "not in the ledger"
		}
		out = append(out, row)
	}
	return dropEmpty(out)
}

// toolRole says what a tool may do and where it comes from.
func toolRole(t *ledger.Tool) string {
	role := t.Role.S
	if t.From.Set() {
		role += ", was " + t.From.S
	}
	return role
}

// toolNote says when a cutter is to be changed in this operation, and where its wear
// takes the part.
func (b *setupBuilder) toolNote(r *study.ToolRun, op *study.PlanOp) string {
	if r.Pieces == 0 || r.Count < 0 {
		return ""
	}
	var out []string
	here := 0
	for _, c := range r.Changes {
		if c.Op != op {
			continue
		}
		if here++; here <= 3 {
			out = append(out, fmt.Sprintf("change before part %d", c.Before))
		}
	}
	if here > 3 {
		out = append(out, fmt.Sprintf("%d changes in all", here))
	}
	if here == 0 && r.Life >= 0 {
		out = append(out, fmt.Sprintf("%d left; lasts for %d", max(0, r.Life-r.Count), r.Pieces))
	}
	if op.Cut.S == "finish" {
		for _, d := range r.Drifts {
			if d.Far {
				continue
			}
			f := d.Series
			out = append(out, fmt.Sprintf("%s at part %d of a cutter: %s ±%s by its drift", f.Char.ID.S, r.Most, seriesValue(f, d.At), f.Shown(d.Within)))
		}
	}
	if op.WearComp.Set() {
		out = append(out, "wear offset: "+op.WearComp.S)
	}
	return strings.Join(out, "; ")
}

// gaugeRefs are the gauges of an operation, then those of the characteristics that it
// checks.
func (b *setupBuilder) gaugeRefs(op *study.PlanOp) []string {
	list := refNames(op.Gauges)
	for _, c := range op.Checks {
		if ch := b.g.Characteristic(c.S); ch != nil {
			list = withNew(list, ch.Gauge.S)
		}
	}
	return list
}

func (b *setupBuilder) gauges(op *study.PlanOp) [][]Fact {
	var out [][]Fact
	for _, id := range b.gaugeRefs(op) {
		row := []Fact{cell("gauge", id), cell("what", "not in the ledger"), cell("sizes or step", ""), cell("on the day", "")}
		if rec := b.s.L.Record(id); rec != nil {
			row[1].Text = rec.Common.Title.S
			if ga, ok := rec.Data.(*ledger.Gauge); ok {
				st, last, due := b.s.StandingOn(ga, b.s.AsOf)
				row[3].Text = standing(&study.Gauging{Standing: st, Last: last, Due: due, Gauge: ga})
				switch {
				case ga.Go.Set() && ga.NotGo.Set():
					row[2].Text = "GO " + size(ga.Go) + ", NOT GO " + size(ga.NotGo)
				case ga.Resolution.Set():
					row[2].Text = size(ga.Resolution) + prefixed(", U ", size(ga.U))
				}
			}
		}
		out = append(out, row)
	}
	return dropEmpty(out)
}

// checks lists what is checked with its limits on the day, in the unit of the shop.
func (b *setupBuilder) checks(op *study.PlanOp) [][]Fact {
	var out [][]Fact
	for _, c := range op.Checks {
		row := []Fact{cell("check", c.S), cell("what", ""), cell("at least", ""), cell("at most", ""), cell("goal", ""), cell("gauge", ""), cell("how", "")}
		if ch := b.g.Characteristic(c.S); ch != nil {
			now := ledger.OnDay(*ch, b.s.AsOf)
			row[1].Text, row[4].Text, row[5].Text, row[6].Text = now.Title.S, size(now.Goal), now.Gauge.S, now.Method.S
			b.limits(row, now.Limits)
			if len(now.Points) > 0 {
				var points []string
				for _, p := range now.Points {
					points = append(points, p.ID.S)
				}
				row[1].Text += " at " + listed(points)
			}
			out = append(out, row)
			continue
		}
		if f := b.feature(c.S); f != nil {
			now := ledger.OnDay(*f, b.s.AsOf)
			row[1].Text = now.Title.S
			b.limits(row, now.Size)
			if now.Position.Set() {
				row[6].Text = "position within " + b.inShopUnit(now.Position.Nominal()) + prefixed(" from ", joinTexts(now.Datum))
			} else if now.At.Set() && (now.At.X.Tol.HasLower() || now.At.Y.Tol.HasLower()) {
				row[6].Text = "stands at " + size(now.At.X) + ", " + size(now.At.Y)
			}
		}
		out = append(out, row)
	}
	return dropEmpty(joinAlike(out))
}

// joinAlike makes one row of neighbours that say the same of different things.
func joinAlike(rows [][]Fact) [][]Fact {
	var out [][]Fact
	for _, r := range rows {
		if n := len(out); n > 0 && sameButFirst(out[n-1], r) {
			out[n-1][0].Text += ", " + r[0].Text
			continue
		}
		out = append(out, r)
	}
	return out
}

// sameButFirst reports whether two rows say the same of different things.
func sameButFirst(a, b []Fact) bool {
	for k := 1; k < len(a); k++ {
		if a[k].Text != b[k].Text {
			return false
		}
	}
	return true
}

func (b *setupBuilder) feature(id string) *ledger.Feature {
	if b.g.Part == nil {
		return nil
	}
	for i := range b.g.Part.Features {
		if b.g.Part.Features[i].ID.S == id {
			return &b.g.Part.Features[i]
		}
	}
	return nil
}

func (b *setupBuilder) limits(row []Fact, s ledger.Size) {
	if !s.Set() {
		return
	}
	low, high := b.inShopUnit(s.Tol.Lower), b.inShopUnit(s.Tol.Upper)
	row[2] = Fact{Name: "at least", Text: low, Value: s.Tol.Lower}
	row[3] = Fact{Name: "at most", Text: high, Value: s.Tol.Upper}
}
