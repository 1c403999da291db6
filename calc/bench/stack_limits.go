package bench

import (
	"strconv"
	"strings"

	"tenths/calc/formula"
	"tenths/calc/quantity"
	"tenths/calc/stack"
)

// against holds the result against limits.
func (a *StackAnswer) against(limits quantity.Toleranced, st *stack.Standing) {
	word := func(s quantity.Side) string {
		switch s {
		case quantity.Inside:
			return "keeps"
		case quantity.TooClose:
			return "is too close to call at"
		}
		return "leaves"
	}
	worst := st.Worst == quantity.Inside
	a.WorstInside = &worst
	a.BelowRoom, a.AboveRoom = deserved(st.BelowRoom), deserved(st.AboveRoom)
	if !st.HasRSS {
		a.say("against %s: the worst case %s the limits", limits, word(st.Worst))
	} else {
		rss := st.RSS == quantity.Inside
		a.RSSInside = &rss
		a.say("against %s: the worst case %s the limits, the root sum square %s them", limits, word(st.Worst), word(st.RSS))
	}
	var rooms []string
	for _, r := range []struct {
		room Rough
		end  string
	}{{a.BelowRoom, "lower"}, {a.AboveRoom, "upper"}} {
		switch {
		case r.room.IsZeroValue():
		case r.room.Sign() < 0:
			rooms = append(rooms, Rough{Quantity: r.room.Neg(), text: deserved(r.room.Neg()).String()}.String()+" beyond the "+r.end+" limit")
		default:
			rooms = append(rooms, r.room.String()+" left to the "+r.end)
		}
	}
	a.say("  worst case: %s", strings.Join(rooms, ", "))
	if st.HasNormal {
		a.Outside = percent(st.Below + st.Above)
		a.say("  %s outside if the result is normal with that standard deviation", a.Outside)
		a.cite("part outside: normal distribution about the middle, the limits of an input at 3 standard deviations where nothing else is stated (common practice)")
	}
}

// first says what to tighten first.
func (a *StackAnswer) first(s stack.Stack, st *stack.Standing) {
	for _, t := range st.First {
		a.First = append(a.First, StackTighten{Name: t.Name, Cost: t.Cost, To: deserved(t.To)})
	}
	if len(st.First) == 0 || st.Worst == quantity.Inside {
		return
	}
	t := st.First[0]
	why := "it has the largest share"
	if t.Cost > 0 {
		why = "it gains most for its cost"
		a.cite("gain for the cost: |sensitivity|·tolerance/cost, where the cost of a tolerance grows as 1/tolerance (K. W. Chase, Minimum-cost tolerance allocation, 1999; from memory)")
	}
	switch {
	case t.Members != nil:
		a.say("tighten %s first: %s, and moves %s together", t.Name, why, strings.Join(t.Members, ", "))
	case t.To.IsZeroValue():
		a.say("tighten %s first: %s; alone it cannot bring the worst case inside", t.Name, why)
	default:
		a.say("tighten %s first: %s; at ±%s it alone would bring the worst case inside", t.Name, why, roundedDown(t.To))
	}
}

// roundedDown is a tolerance that may be used as shown.
func roundedDown(q quantity.Quantity) quantity.Quantity {
	if n, ok := places[q.Unit().Name()]; ok {
		return down(q, n)
	}
	return deserved(q).Quantity
}

// stackSeed makes the same question give the same answer.
const stackSeed = 1

func (a *StackAnswer) simulate(s stack.Stack) error {
	sim, err := s.Expr.Simulate(s.Inputs, formula.SimOptions{Unit: s.Unit, Limits: s.Limits, Seed: stackSeed})
	if err != nil {
		return err
	}
	b := &StackSimulation{Trials: sim.Trials, Mean: like(sim.Mean, sim.SD), SD: Rough{Quantity: sim.SD, digits: 2}, Low: like(sim.Low, sim.SD), High: like(sim.High, sim.SD)}
	a.Simulation = b
	a.say("simulation of %d draws: mean %s, standard deviation %s, 95 %% from %s to %s", b.Trials, b.Mean, b.SD, b.Low, b.High)
	if s.Limits.HasLower() || s.Limits.HasUpper() {
		b.Outside = percent(sim.Below + sim.Above)
		a.say("  %s of the draws are outside the limits", b.Outside)
	}
	a.cite("simulation: JCGM 101:2008, 7; a normal spread is cut off at the limits of its input")
	return nil
}

// allot shares the tolerance of the limits out.
func (a *StackAnswer) allot(s stack.Stack, m stack.Method, statistical bool) error {
	al, err := stack.Allot(s, m, statistical)
	if err != nil {
		return err
	}
	way := map[stack.Method]string{stack.Equal: "equal", stack.Scaled: "in the proportions that there are", stack.BySize: "by the tolerance unit of ISO 286-1 at each size", stack.LeastCost: "at the least cost"}[m]
	by, sum := "worst case", "sum |s|·t <= room"
	if statistical {
		by, sum = "root sum square", "sum (s·t)² <= room²"
	}
	a.say("shared out %s, for the %s: ±%s that there is about the middle", way, by, deserved(al.Room))
	for _, item := range al.Items {
		i := StackItem{Name: item.Name, Before: deserved(item.Before), Half: Rough{Quantity: item.Half, text: item.Half.String()}, Fixed: item.Fixed}
		a.Allotted = append(a.Allotted, i)
		if item.Fixed {
			a.say("  %s stays ±%s", i.Name, i.Half)
			continue
		}
		a.say("  %s %s ±%s, was ±%s", i.Name, deserved(item.Middle), i.Half, i.Before)
	}
	if al.Cost > 0 {
		a.say("  cost %s, was %s", strconv.FormatFloat(al.Cost, 'f', 1, 64), strconv.FormatFloat(al.CostBefore, 'f', 1, 64))
	}
	if off := al.Off; !off.IsZeroValue() && off.Sign() != 0 {
		a.mind("the middle of the inputs puts the result %s off the middle of the limits: a nominal size moved by that would leave more to share out", deserved(off.Abs()))
	}
	a.step("half-widths are k·weight, the largest k with %s, rounded down; the result was computed anew with them", sum)
	switch m {
	case stack.BySize:
		a.cite("tolerance unit i = 0.45·D^(1/3) + 0.001·D um, D in mm: ISO 286-1, at the size itself")
	case stack.Scaled:
		a.cite("proportional scaling: Dimensioning and Tolerancing Handbook, ch. 9 and 14 (from memory)")
	case stack.LeastCost:
		a.cite("least cost by Lagrange's multiplier, cost of a tolerance as 1/t: K. W. Chase, Minimum-cost tolerance allocation, 1999 (from memory)")
	}
	return nil
}
