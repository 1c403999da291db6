package report

import (
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// plan lists the operations in their order, with what does not fit.
func (b *sheetBuilder) plan(p *ledger.Plan) {
	at, _, ok := b.s.PlanDay(b.rec)
	if !ok {
		at = b.s.AsOf
	}
	s := b.section("operations")
	made := map[string]string{}
	makes := map[string]bool{}
	for _, op := range p.Operations {
		for _, f := range op.Makes {
			makes[f.S] = true
		}
	}
	for i := range p.Operations {
		op := &p.Operations[i]
		var odd []string
		var locates []string
		for _, l := range b.s.LocatesOn(p, op) {
			locates = append(locates, l.Feature)
			if makes[l.Feature] && made[l.Feature] == "" && !madeHere(op, l.Feature) {
				odd = append(odd, "locates on "+l.Feature+", which is made later")
			}
		}
		odd = append(odd, b.oddFixture(op, at)...)
		odd = append(odd, b.oddTools(op, at)...)
		for _, f := range op.Makes {
			made[f.S] = op.ID.S
		}
		s.row(cell("operation", op.ID.S), cell("title", op.Title.S), cell("fixture", op.Fixture.S), cell("tools", joinRefs(op.Tools)),
			cell("locates on", strings.Join(locates, ", ")), cell("makes", joinTexts(op.Makes)), cell("cut", op.Cut.S), cell("odd", strings.Join(odd, "; ")))
	}
}

func madeHere(op *ledger.Operation, feature string) bool {
	for _, f := range op.Makes {
		if f.S == feature {
			return true
		}
	}
	return false
}

// oddFixture says what is wrong with the fixture of an operation on a day.
func (b *sheetBuilder) oddFixture(op *ledger.Operation, at time.Time) []string {
	if !op.Fixture.Set() {
		return nil
	}
	t, err := b.s.L.Find(op.Fixture.S)
	if err != nil {
		return []string{op.Fixture.S + " is not in the ledger"}
	}
	f, ok := t.Rec.Data.(*ledger.Fixture)
	if !ok {
		return []string{op.Fixture.S + " is no fixture"}
	}
	switch state := study.StandingOfFixture(f, at); state {
	case "in use", "":
		return nil
	default:
		return []string{t.Rec.ID() + " is " + state}
	}
}

// oddTools says which tools may not do what the operation asks on a day.
func (b *sheetBuilder) oddTools(op *ledger.Operation, at time.Time) []string {
	var out []string
	for _, ref := range op.Tools {
		rec := b.s.L.Record(ref.S)
		if rec == nil {
			out = append(out, ref.S+" is not in the ledger")
			continue
		}
		t, ok := rec.Data.(*ledger.Tool)
		if !ok {
			out = append(out, ref.S+" is no tool")
			continue
		}
		switch role := ledger.OnDay(*t, at).Role.S; {
		case role == "withdrawn" || role == "worn out" || role == "broken":
			out = append(out, ref.S+" is "+role)
		case role == "roughing" && op.Cut.S == "finish":
			out = append(out, ref.S+" is for roughing")
		}
	}
	return out
}
