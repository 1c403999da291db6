package study

import (
	"fmt"
	"slices"
	"strings"

	"tenths/calc/stats"
	"tenths/ledger"
)

// Readings in doubt stay in a comparison, since a doubt is not an error found;
// void ones are left out. What they are worth is said beside the verdict.

// inDoubt reports whether piece i of the group is in doubt: it is marked so, or
// the whole inspection is and no piece in it is marked by itself.
func (g *Group) inDoubt(i int) bool {
	if g.doubtful(i) {
		return true
	}
	if !g.wholeInDoubt() {
		return false
	}
	for k := range g.Rows {
		if g.doubtful(k) {
			return false // the record says which ones
		}
	}
	return true
}

func (g *Group) doubtful(i int) bool { return g.Rows[i].State.S == "doubtful" }

func (g *Group) wholeInDoubt() bool { return g.In.State.S == "doubtful" || g.In.Doubt.Set() }

// Doubts gives how many pieces of the group are in doubt, of how many, and why;
// for counted evidence the parts that were counted.
func (g *Group) Doubts() (n, of int, why []string) {
	add := func(t ledger.Text) {
		if text := strings.TrimSuffix(strings.TrimSpace(t.S), "."); text != "" && !slices.Contains(why, text) {
			why = append(why, text)
		}
	}
	if len(g.Rows) == 0 {
		if g.Count.Set() && g.wholeInDoubt() {
			add(g.In.Doubt)
			return g.Count.Of, g.Count.Of, why
		}
		return 0, g.Count.Of, nil
	}
	marked := false
	for i, row := range g.Rows {
		if g.inDoubt(i) {
			n++
			marked = marked || g.doubtful(i)
			add(row.Why)
		}
	}
	if n > 0 && (!marked || len(why) == 0) {
		add(g.In.Doubt)
	}
	return n, len(g.Rows), why
}

// DoubtText says how many pieces of the group are in doubt and why, such as
// "2 of 6 (chip under the anvil)"; empty if none are.
func (g *Group) DoubtText() string {
	return g.doubtText("")
}

func (g *Group) doubtText(when string) string {
	n, of, why := g.Doubts()
	if n == 0 {
		return ""
	}
	text := fmt.Sprintf("%d of %d", n, of)
	if n == of {
		text = fmt.Sprintf("all %d", n)
	}
	text += when
	if why == nil {
		return text + " (no reason is written down)"
	}
	return text + " (" + strings.Join(why, "; ") + ")"
}

// DoubtText says which readings of the comparison are in doubt, and why; empty
// if none are.
func (ev *Evidence) DoubtText() string {
	var parts []string
	for _, side := range []struct {
		g    *Group
		when string
	}{{ev.Before, " before"}, {ev.After, " after"}} {
		if side.g == nil {
			continue
		}
		if text := side.g.doubtText(side.when); text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, " and ")
}

// withoutDoubt is the effect without the readings in doubt; empty if none are.
func (ev *Evidence) withoutDoubt() Effect {
	if ev.DoubtText() == "" || ev.Problem != "" {
		return ""
	}
	rest := *ev
	rest.Before, rest.After = ev.sure(ev.Before), ev.sure(ev.After)
	rest.C, rest.Spread, rest.Counts = stats.Comparison{}, stats.SpreadComparison{}, stats.FisherResult{}
	rest.Points, rest.HasCounts, rest.Touch, rest.Effect = nil, false, nil, Missing
	rest.compare()
	return rest.Effect
}

// sure is a group without what is in doubt.
func (ev *Evidence) sure(g *Group) *Group {
	out := *g
	out.Pieces, out.Rows, out.Judged = nil, nil, nil
	if g.wholeInDoubt() && len(g.Rows) == 0 {
		out.Count, out.Touch = ledger.Count{}, nil
	}
	for i, values := range g.Pieces {
		if g.inDoubt(i) {
			continue
		}
		out.Pieces, out.Rows = append(out.Pieces, values), append(out.Rows, g.Rows[i])
		if j, ok := ev.judged(values); ok {
			out.Judged = append(out.Judged, j)
		}
	}
	return &out
}
