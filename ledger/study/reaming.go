package study

import (
	"math/big"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/ream"
	"tenths/ledger"
)

// Reaming is a hole that a reamer brings to size.
type Reaming struct {
	PartRec *ledger.Record
	Part    *ledger.Part
	Feature ledger.Feature // as of the day asked for
	ToolRec *ledger.Record
	Tool    *ledger.Tool
	// PlanRec, Plan and Op are the operation that does it, and Ref where it names
	// the reamer; nil if only the feature names its tool.
	PlanRec *ledger.Record
	Plan    *ledger.Plan
	Op      *ledger.Operation
	Ref     ledger.Ref
}

// Reamings lists the holes with two limits that a reamer finishes: by the tool
// of the feature, and by the operations of the plans in force. In an operation
// without such a word the reamer is the one nearest to the hole, if the hole is
// not said to be finished otherwise.
func (s *Set) Reamings() []Reaming {
	var out []Reaming
	for _, rec := range s.L.Records {
		part, ok := rec.Data.(*ledger.Part)
		if !ok || rec.Quiet() || part.State.S == "superseded" || part.State.S == "withdrawn" {
			continue
		}
		for i := range part.Features {
			r := Reaming{PartRec: rec, Part: part, Feature: ledger.OnDay(part.Features[i], s.AsOf)}
			if !r.hole() {
				continue
			}
			if r.Feature.Tool.Set() && r.take(s, r.Feature.Tool) {
				out = append(out, r)
			}
		}
	}
	for _, rec := range s.L.Records {
		plan, ok := rec.Data.(*ledger.Plan)
		if _, open, live := s.PlanDay(rec); !ok || !open || !live {
			continue
		}
		partRec := s.L.Record(plan.Part.S)
		if partRec == nil {
			continue
		}
		part, ok := partRec.Data.(*ledger.Part)
		if !ok || partRec.Quiet() {
			continue
		}
		for i := range plan.Operations {
			op := &plan.Operations[i]
			for j := range part.Features {
				r := Reaming{PartRec: partRec, Part: part, Feature: ledger.OnDay(part.Features[j], s.AsOf), PlanRec: rec, Plan: plan, Op: op}
				if makes(op, r.Feature.ID.S) && r.hole() && r.reamerOf(s) {
					out = append(out, r)
				}
			}
		}
	}
	return out
}

// makes reports whether an operation makes or changes a feature.
func makes(op *ledger.Operation, feature string) bool {
	is := func(t ledger.Text) bool { return t.S == feature }
	return slices.ContainsFunc(op.Makes, is) || slices.ContainsFunc(op.Alters, is)
}

func (r *Reaming) hole() bool {
	switch r.Feature.Type.S {
	case "", "hole", "bore":
	default:
		return false
	}
	if !r.Feature.Size.Set() {
		return false
	}
	w, ok := r.Feature.Size.Tol.Width()
	return ok && w.Dim() == quantity.Length && w.Sign() > 0
}

// take makes a tool the reamer, if it is one that is used.
func (r *Reaming) take(s *Set, ref ledger.Ref) bool {
	rec := s.L.Record(ref.S)
	if rec == nil || rec.Quiet() {
		return false
	}
	tool, ok := rec.Data.(*ledger.Tool)
	if !ok || !isReamer(tool) || tool.State.S == "withdrawn" || !tool.Diameter.Set() {
		return false
	}
	switch ledger.OnDay(*tool, s.AsOf).Role.S {
	case "withdrawn", "broken":
		return false
	}
	r.ToolRec, r.Tool, r.Ref = rec, tool, ref
	return true
}

// notThis is how far, in parts of the hole, a reamer may be off before it is
// taken to be for another hole of the operation.
var notThis = big.NewRat(1, 20)

// reamerOf finds the reamer of an operation for the hole.
func (r *Reaming) reamerOf(s *Set) bool {
	if r.Feature.Tool.Set() {
		i := slices.IndexFunc(r.Op.Tools, func(t ledger.Ref) bool { return t.S == r.Feature.Tool.S })
		return i >= 0 && r.take(s, r.Op.Tools[i])
	}
	if !lastReamed(r.Feature.MadeBy.S) {
		return false
	}
	hole := r.Feature.Size.Nominal().Rat()
	var best *big.Rat
	found := *r
	for _, ref := range r.Op.Tools {
		try := *r
		if !try.take(s, ref) {
			continue
		}
		off := new(big.Rat).Sub(try.Tool.Diameter.Nominal().Rat(), hole)
		off.Abs(off)
		if off.Cmp(new(big.Rat).Mul(hole, notThis)) <= 0 && (best == nil || off.Cmp(best) < 0) {
			best, found = off, try
		}
	}
	*r = found
	return best != nil
}

// lastReamed reports whether a hole is left by a reamer, as far as the words say
// how it is made.
func lastReamed(madeBy string) bool {
	last, said := "", false
	for _, w := range wordsOf(madeBy) {
		for _, stem := range opened {
			if strings.HasPrefix(lastPart(w), stem) {
				last, said = stem, true
			}
		}
	}
	return !said || last == "ream"
}

func isReamer(t *ledger.Tool) bool { return strings.Contains(strings.ToLower(t.Type.S), "reamer") }

// ReamerSize is a reamer against the hole that it finishes.
type ReamerSize struct {
	Reaming
	ream.Placement
	// Tested are the test holes in the material of the part, nil if there are
	// none, and Side where they lie; with Inside they prove the reamer.
	Tested *ledger.ToolCut
	Side   quantity.Side
	// Proven is set if test holes, or else the holes as made, lie inside the
	// limits.
	Proven bool
}

// SizeOf compares the reamer with the window of DIN 1420 for the hole, 15 % of
// its tolerance below the largest hole and 35 % wide. Of a reamer that is given
// with a tolerance, the end nearest to the window counts. ok is false where the
// rule gives no window.
func (r Reaming) SizeOf(s *Set) (out ReamerSize, ok bool) {
	out = ReamerSize{Reaming: r}
	hole := *r.Feature.Size.Tol
	want, err := ream.Limits(hole)
	if err != nil {
		return out, false
	}
	size := rangeOf(r.Tool.Diameter)
	at := r.Tool.Diameter.Nominal()
	if low, err1 := size.Min.Cmp(want.Upper); err1 == nil && low > 0 {
		at = size.Min
	} else if high, err2 := size.Max.Cmp(want.Lower); err2 == nil && high < 0 {
		at = size.Max
	} else if size.Min.Rat().Cmp(size.Max.Rat()) != 0 {
		at = want.Lower // some of it lies in the window
	}
	if out.Placement, err = ream.Place(hole, at); err != nil {
		return out, false
	}
	if out.Tested = testHoles(r.Tool, r.Part.Material.S, s); out.Tested != nil {
		out.Side = sideOf(hole, out.Tested.Size)
		out.Proven = out.Side == quantity.Inside
	} else if r.Feature.AsMade.Set() {
		out.Proven = sideOf(hole, r.Feature.AsMade) == quantity.Inside
	}
	return out, true
}

// testHoles are the latest ones in a material; those without a day count as the
// oldest.
func testHoles(t *ledger.Tool, material string, s *Set) *ledger.ToolCut {
	var best *ledger.ToolCut
	for i := range t.Cuts {
		c := &t.Cuts[i]
		if !c.Size.Set() || c.Size.Nominal().Dim() != quantity.Length || c.On.Set() && !c.On.By(s.AsOf) || !sameMaterial(c.Material.S, material) {
			continue
		}
		if best == nil || !c.On.T.Before(best.On.T) {
			best = c
		}
	}
	return best
}

// sameMaterial compares the names of materials word by word: 6061 is 6061-T6,
// as far as a reamer cares.
func sameMaterial(a, b string) bool {
	words := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" -,/()", r) })
	}
	short, long := words(a), words(b)
	if len(short) > len(long) {
		short, long = long, short
	}
	if len(short) == 0 {
		return false
	}
	for _, w := range short {
		if !slices.Contains(long, w) {
			return false
		}
	}
	return true
}

// sideOf is where a range lies against limits: inside only as a whole.
func sideOf(limits quantity.Toleranced, size ledger.Size) quantity.Side {
	r := rangeOf(size)
	low, err1 := limits.Side(r.Min)
	high, err2 := limits.Side(r.Max)
	switch {
	case err1 != nil || err2 != nil:
		return quantity.TooClose
	case low == quantity.Below:
		return quantity.Below
	}
	return high
}

// ReamStock is what the drill before a reamer leaves for it.
type ReamStock struct {
	Reaming
	ream.Stock
	Drill    *ledger.Tool
	DrillRec *ledger.Record
	DrillOp  *ledger.Operation
	DrillRef ledger.Ref
	// From and To are the drills that would leave the usual stock.
	From, To quantity.Quantity
}

// otherHole is the part of the reamer's size below which a drill is taken to be
// for something else.
var otherHole = big.NewRat(3, 4)

// StockOf finds the drill that makes room for the reamer, in the operations up to
// the one that reams, and compares what it leaves with what is usual. Of several
// drills, one that leaves the usual stock is taken, else the largest below the
// reamer. ok is false where no drill is known: none below the reamer is listed, or
// an end mill or boring tool comes between the two, or nothing is usual for such
// a size; and for a reamer that burnishes.
func (r Reaming) StockOf(s *Set) (out ReamStock, ok bool) {
	if r.Op == nil || burnishes(r.Tool) {
		return out, false
	}
	reamer := r.Tool.Diameter.Nominal()
	for i := range r.Plan.Operations {
		op := &r.Plan.Operations[i]
		if op != r.Op && !makes(op, r.Feature.ID.S) {
			continue
		}
		for _, ref := range op.Tools {
			if op == r.Op && ref.Span == r.Ref.Span {
				return out, ok
			}
			rec := s.L.Record(ref.S)
			if rec == nil || rec.Quiet() {
				continue
			}
			tool, isTool := rec.Data.(*ledger.Tool)
			if !isTool {
				continue
			}
			if opensHole(tool) {
				out, ok = ReamStock{}, false // what a drill left before it is gone
				continue
			}
			if !isDrill(tool) || !tool.Diameter.Set() {
				continue
			}
			drill := tool.Diameter.Nominal()
			if d := drill.Rat(); d.Cmp(reamer.Rat()) >= 0 || d.Cmp(new(big.Rat).Mul(reamer.Rat(), otherHole)) < 0 {
				continue
			}
			st, err := ream.StockFor(drill, reamer)
			if err != nil {
				return ReamStock{}, false
			}
			better := !ok || st.Verdict == ream.StockUsual ||
				out.Verdict != ream.StockUsual && drill.Rat().Cmp(out.Drill.Diameter.Nominal().Rat()) > 0
			if better {
				out, ok = ReamStock{Reaming: r, Stock: st, Drill: tool, DrillRec: rec, DrillOp: op, DrillRef: ref}, true
				out.From, _ = reamer.Sub(st.Most)
				out.To, _ = reamer.Sub(st.Least)
			}
		}
		if op == r.Op {
			break
		}
	}
	return ReamStock{}, false
}

func burnishes(t *ledger.Tool) bool {
	return strings.Contains(strings.ToLower(t.Type.S+" "+t.Title.S), "burnish")
}

// isDrill tells drills that leave a hole of their own size from spot, centre and
// step drills.
func isDrill(t *ledger.Tool) bool {
	words := wordsOf(t.Type.S)
	drill := slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(lastPart(w), "drill") })
	return drill && !slices.ContainsFunc(words, func(w string) bool {
		return slices.ContainsFunc([]string{"spot", "cent", "step", "counter", "tap", "chamfer"}, func(p string) bool { return strings.HasPrefix(w, p) })
	})
}

// opensHole reports whether a tool opens holes to a size that its diameter does
// not tell.
func opensHole(t *ledger.Tool) bool {
	words := wordsOf(t.Type.S)
	return slices.ContainsFunc(words, func(w string) bool {
		return strings.HasPrefix(w, "bor") || w == "mill" || w == "endmill" || lastPart(w) == "mill"
	})
}
