package study

import (
	"math/big"
	"slices"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// UnfitFinisher is a tool that a finishing cut names and that may not finish.
type UnfitFinisher struct {
	Op  *ledger.Operation
	Ref ledger.Ref
	Rec *ledger.Record
	Now ledger.Tool // on the day of the plan
	// Wear is set where the tool may finish but not so many parts; else its role is
	// what is wrong.
	Wear *ToolWear
}

// UnfitFinishers lists them on the day of the plan: tools whose role is roughing, worn
// out, withdrawn or broken, and in a plan that still holds tools whose count with the
// pieces to run is over their life. A wear offset that was set and checked makes up for
// wear, not for a tool that is gone.
func (g *PlanGraph) UnfitFinishers() []UnfitFinisher {
	day, open, _ := g.s.PlanDay(g.Rec)
	var out []UnfitFinisher
	for i := range g.Ops {
		op := g.Ops[i].Operation
		if op.Cut.S != "finish" {
			continue
		}
		for _, ref := range op.Tools {
			rec := g.s.L.Record(ref.S)
			if rec == nil || rec.Quiet() {
				continue
			}
			tool, ok := rec.Data.(*ledger.Tool)
			if !ok || tool.State.S == "withdrawn" && g.Plan.State.S == "released" {
				continue // it is out of use as a whole
			}
			u := UnfitFinisher{Op: op, Ref: ref, Rec: rec, Now: ledger.OnDay(*tool, day)}
			switch u.Now.Role.S {
			case "withdrawn", "broken":
				out = append(out, u)
			case "roughing", "worn out":
				if !op.WearComp.Set() {
					out = append(out, u)
				}
			default:
				if w, ok := WearOf(tool, op.Pieces, day); ok && open && !op.WearComp.Set() && w.Over.Sign() > 0 {
					u.Wear = &w
					out = append(out, u)
				}
			}
		}
	}
	return out
}

// OutOfUse is a fixture, tool or machine that an operation names and nobody works with.
type OutOfUse struct {
	Op    *ledger.Operation
	Ref   ledger.Ref
	Rec   *ledger.Record
	State string
	At    ledger.Span // where its record says so
	// Instead is what took its place, Since the day; both may be empty.
	Instead string
	Since   ledger.Date
}

// OutOfUse lists them on the day asked for. A tool that a finishing cut names is only
// listed if it was withdrawn as a whole; its role is for UnfitFinishers.
func (g *PlanGraph) OutOfUse() []OutOfUse {
	var out []OutOfUse
	for i := range g.Ops {
		op := g.Ops[i].Operation
		for _, ref := range slices.Concat([]ledger.Ref{op.Fixture, op.Machine}, op.Tools) {
			if !ref.Set() {
				continue
			}
			t, err := g.s.L.Find(ref.S)
			if err != nil {
				continue // a broken reference
			}
			o := OutOfUse{Op: op, Ref: ref, Rec: t.Rec}
			switch d := t.Rec.Data.(type) {
			case *ledger.Fixture:
				now := ledger.OnDay(*d, g.s.AsOf)
				o.State, o.At = StandingOfFixture(d, g.s.AsOf), now.State.Span
				o.Instead = d.SupersededBy.S
				if now.State.Span == d.State.Span {
					o.Since = d.Since
				}
			case *ledger.Tool:
				now := ledger.OnDay(*d, g.s.AsOf)
				o.State, o.At = d.State.S, d.State.Span
				if o.State != "withdrawn" && op.Cut.S != "finish" {
					o.State, o.At = now.Role.S, now.Role.Span
				}
			case *ledger.Machine:
				o.State, o.At = d.State.S, d.State.Span
			}
			if slices.Contains([]string{"superseded", "withdrawn", "worn out", "broken", "out of service"}, o.State) {
				out = append(out, o)
			}
		}
	}
	return out
}

// RoughingFinisher is an operation that roughs with a tool that is kept for finishing.
type RoughingFinisher struct {
	Op  *PlanOp
	Rec *ledger.Record
	// Finishes is a later or earlier operation of the plan in which it finishes; nil if
	// it only has the role.
	Finishes *ledger.Operation
}

// RoughingFinishers lists them: a roughing cut takes the edge off a finisher (common
// practice). Drills and reamers do not rough a surface.
func (g *PlanGraph) RoughingFinishers() []RoughingFinisher {
	day, _, ok := g.s.PlanDay(g.Rec)
	if !ok {
		return nil
	}
	var out []RoughingFinisher
	for i := range g.Ops {
		op := &g.Ops[i]
		if op.Cut.S != "rough" {
			continue
		}
		for _, ref := range op.Tools {
			rec := g.s.L.Record(ref.S)
			if rec == nil || rec.Quiet() {
				continue
			}
			tool, ok := rec.Data.(*ledger.Tool)
			if !ok || ledger.OnDay(*tool, day).Role.S != "finishing" {
				continue
			}
			r := RoughingFinisher{Op: op, Rec: rec}
			for k := range g.Ops {
				if g.Ops[k].Cut.S == "finish" && slices.ContainsFunc(g.Ops[k].Tools, func(t ledger.Ref) bool { return t.S == ref.S }) {
					r.Finishes = g.Ops[k].Operation
				}
			}
			out = append(out, r)
		}
	}
	return out
}

// ToolRun is what a batch does to one cutter.
type ToolRun struct {
	Rec *ledger.Record
	Now ledger.Tool
	Ops []*PlanOp // that name it, in the order of the plan
	// Pieces is the size of the batch, 0 if neither the operations nor the caller say.
	Pieces int
	// Count is what the cutter has cut before the batch, Life how many parts it may
	// cut; -1 where the record does not say.
	Count, Life int
	// N is how many changes of cutter the stated life asks for, Changes the first of
	// them.
	N       int
	Changes []CutterChange
	// End is the count of the cutter behind the last part, Most the highest count at
	// which a part of the batch is cut; only if Life and Count are known.
	End, Most int
	// Edge is how far one side of an outline has moved by wear on the part cut at Most,
	// from wear_per_part; the zero Quantity if not stated.
	Edge quantity.Quantity
	// Drifts say the same from readings, for what the tool finishes on this part.
	Drifts []RunDrift
}

// CutterChange is a change of cutter before a part of the batch.
type CutterChange struct {
	Op     *PlanOp
	Before int // number of the part in the batch, from 1
}

// RunDrift is where the measured drift of a characteristic takes it in the batch.
type RunDrift struct {
	*ToolDrift
	// At is the value on the line at the highest count of the batch, and Within the
	// half width in which one part lies there, both in the unit of the series. Far says
	// that the count lies so far beyond the readings that nobody should believe them.
	At, Within float64
	Far        bool
	// Safe is the count up to which a single part keeps its limits; ok if it is known.
	Safe   int
	SafeOK bool
}

// Batch is the largest number of parts that an operation of the plan states, 0 if none
// does.
func (g *PlanGraph) Batch() int {
	n := 0
	for i := range g.Ops {
		if g.Ops[i].Pieces.Set() {
			n = max(n, wholeParts(g.Ops[i].Pieces))
		}
	}
	return min(n, maxPieces)
}

// ToolRuns lists the tools of a plan with what a batch does to them. pieces is the
// size of the batch, 0 for what the operations say, those that do not say for as many
// as the others. An operation runs the whole batch
// before the next begins. A change is due before the part that would be one too many
// by the stated life; a new cutter begins at 0.
func (g *PlanGraph) ToolRuns(pieces int) []ToolRun {
	day, open, ok := g.s.PlanDay(g.Rec)
	if !ok {
		day, open = g.s.AsOf, false
	}
	var out []ToolRun
	for i := range g.Ops {
		op := &g.Ops[i]
		for _, ref := range op.Tools {
			rec := g.s.L.Record(ref.S)
			if rec == nil {
				continue
			}
			tool, ok := rec.Data.(*ledger.Tool)
			if !ok {
				continue
			}
			k := slices.IndexFunc(out, func(r ToolRun) bool { return r.Rec == rec })
			if k < 0 {
				out, k = append(out, ToolRun{Rec: rec, Now: ledger.OnDay(*tool, day), Count: -1, Life: -1}), len(out)
			}
			if n := len(out[k].Ops); n == 0 || out[k].Ops[n-1] != op {
				out[k].Ops = append(out[k].Ops, op)
			}
		}
	}
	for k := range out {
		g.run(&out[k], pieces, open)
	}
	return out
}

// maxPieces is the largest batch that is looked at, listedChanges how many changes of
// one cutter are listed.
const (
	maxPieces     = 100000
	listedChanges = 20
)

// run works out the changes of one cutter.
func (g *PlanGraph) run(r *ToolRun, pieces int, open bool) {
	if r.Now.Life.Set() {
		r.Life = wholeParts(r.Now.Life)
	}
	if r.Now.Count.Set() && open {
		r.Count = wholeParts(r.Now.Count)
	}
	r.End, r.Most = r.Count, r.Count
	for _, op := range r.Ops {
		n := pieces
		switch {
		case n > 0:
		case op.Pieces.Set():
			n = wholeParts(op.Pieces)
		default:
			n = g.Batch()
		}
		if n = min(n, maxPieces); n <= 0 {
			continue
		}
		r.Pieces = max(r.Pieces, n)
		if r.Count < 0 {
			continue
		}
		// The first part that is one too many, and every life later the next.
		done := 0
		if r.Life > 0 {
			for part := max(0, r.Life-r.End) + 1; part <= n; part += r.Life {
				r.Most = max(r.Most, r.End+part-1-done)
				done, r.End = part-1, 0
				if r.N++; len(r.Changes) < listedChanges {
					r.Changes = append(r.Changes, CutterChange{op, part})
				}
			}
		}
		r.End += n - done
		r.Most = max(r.Most, r.End)
	}
	if r.Count < 0 || r.Pieces == 0 {
		return
	}
	if r.Now.Wear.Set() {
		r.Edge = r.Now.Wear.Nominal().Scale(big.NewRat(int64(r.Most), 1))
	}
	if g.PartRec == nil {
		return
	}
	for _, d := range g.s.ToolDrifts(r.Rec) {
		if d.Series.CharRec != g.PartRec || !d.Last().Shown {
			continue
		}
		line, count := d.Last(), float64(r.Most)
		rd := RunDrift{ToolDrift: d, At: line.At(count), Within: line.Next(count), Far: count > line.Last+(line.Last-line.First) || line.Bent}
		if n, _, ok := d.SafeParts(); ok {
			rd.Safe, rd.SafeOK = n, true
		}
		r.Drifts = append(r.Drifts, rd)
	}
}

// wholeParts is a number of parts as a whole number, -1 if it is none.
func wholeParts(s ledger.Size) int {
	parts, _ := quantity.LookupUnit("parts")
	v, err := s.Nominal().In(parts)
	if err != nil || v.Sign() < 0 {
		return -1
	}
	n := new(big.Int).Quo(v.Num(), v.Denom())
	if !n.IsInt64() || n.Int64() > 1<<30 {
		return 1 << 30
	}
	return int(n.Int64())
}
