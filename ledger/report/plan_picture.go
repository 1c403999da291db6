package report

import (
	"fmt"
	"slices"
	"strings"

	"tenths/calc/order"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

// A plan with more operations than rows, or features than lanes, is not drawn as a
// whole: it would be a page that nobody reads.
const (
	planRows  = 60
	planLanes = 18
)

// lane is a feature of the plan with what is done to it.
type lane struct {
	names []string
	marks []svg.PlanMark
	uses  int // how much it matters: odd marks, then uses as a locator
}

// planPicture draws the graph of a plan; empty if there is nothing to draw.
func planPicture(g *study.PlanGraph, id string) string {
	if len(g.Ops) == 0 || len(g.Ops) > planRows || len(g.Names) == 0 {
		return ""
	}
	lanes := planLanesOf(g)
	p := svg.Plan{ID: id, Title: "Operations of " + g.Rec.ID() + " and what they do to the features of " + g.Plan.Part.S}
	if n := len(lanes); n > planLanes {
		keep := slices.Clone(lanes)
		slices.SortStableFunc(keep, func(a, b *lane) int { return b.uses - a.uses })
		keep = keep[:planLanes]
		lanes = slices.DeleteFunc(lanes, func(l *lane) bool { return !slices.Contains(keep, l) })
		p.Foot = fmt.Sprintf("%d more features are not drawn; the table holds them all", n-planLanes)
	}
	for i, op := range g.Ops {
		p.Rows = append(p.Rows, svg.PlanRow{Name: orWord(line(op.ID.S), fmt.Sprint(i+1)), Text: line(op.Title.S)})
	}
	var words []string
	for _, l := range lanes {
		name := strings.Join(l.names, ", ")
		if len(l.names) > 3 {
			name = l.names[0] + " … " + l.names[len(l.names)-1]
		}
		p.Lanes = append(p.Lanes, svg.PlanLane{Name: line(name), Marks: l.marks})
		words = append(words, line(name)+" "+laneWords(p.Rows, l.marks))
	}
	p.Desc = strings.Join(words, "; ") + "."
	return p.Draw()
}

// laneWords tells a lane in words.
func laneWords(rows []svg.PlanRow, marks []svg.PlanMark) string {
	did := []string{"made or finished", "roughed", "located on", "altered", "checked"}
	var out []string
	for k, word := range did {
		var ops []string
		for _, m := range marks {
			if m.Does == svg.Deed(k) {
				ops = append(ops, rows[m.Row].Name)
			}
		}
		if ops != nil {
			out = append(out, word+" in "+strings.Join(ops, ", "))
		}
	}
	return strings.Join(out, ", ")
}

// planLanesOf lists the features in the order in which the plan meets them; those
// that are treated alike share a lane.
func planLanesOf(g *study.PlanGraph) []*lane {
	odd := map[[2]int]bool{} // operation and feature
	for _, f := range g.Faults {
		odd[[2]int{f.Op, f.Feature}] = true
	}
	all := make([]*lane, len(g.Names))
	var met []*lane
	for i := range g.Problem.Ops {
		op := &g.Problem.Ops[i]
		for _, d := range []struct {
			does svg.Deed
			of   []int
		}{{svg.Locates, op.Locates}, {svg.Roughs, op.Roughs}, {svg.Makes, slices.Concat(op.Makes, op.Finishes)}, {svg.Alters, op.Alters}, {svg.Checks, op.Checks}} {
			for _, f := range d.of {
				l := all[f]
				if l == nil {
					l = &lane{names: []string{g.Names[f]}}
					all[f], met = l, append(met, l)
				}
				m := svg.PlanMark{Row: i, Does: d.does, Odd: odd[[2]int{i, f}] && wrongDeed(g, i, f, d.does)}
				if slices.Contains(l.marks, m) {
					continue
				}
				l.marks = append(l.marks, m)
				if m.Odd {
					l.uses += 1000
				}
				if d.does == svg.Locates {
					l.uses++
				}
			}
		}
	}
	var out []*lane
	for _, l := range met {
		k := slices.IndexFunc(out, func(o *lane) bool { return slices.Equal(o.marks, l.marks) })
		if k < 0 {
			out = append(out, l)
		} else {
			out[k].names = append(out[k].names, l.names...)
		}
	}
	return out
}

// wrongDeed reports whether it is this deed that a fault of the operation names.
func wrongDeed(g *study.PlanGraph, op, feature int, does svg.Deed) bool {
	kinds := map[svg.Deed]order.Kind{svg.Locates: order.Located, svg.Alters: order.Altered, svg.Checks: order.Checked, svg.Roughs: order.Roughed}
	return slices.ContainsFunc(g.Faults, func(f order.Fault) bool {
		if f.Op != op || f.Feature != feature {
			return false
		}
		if f.Kind == order.Needed {
			return does == svg.Alters || f.How == order.HowMakes && does == svg.Makes || f.How == order.HowCuts && (does == svg.Makes || does == svg.Roughs)
		}
		k, ok := kinds[does]
		return ok && f.Kind == k
	})
}
