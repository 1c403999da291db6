package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

// step is a step of a change or an operation of a plan, as far as it is work
// that can hurt someone.
type step struct {
	rec      *ledger.Record
	name     string      // how it is called in a message
	at       ledger.Span // the words that say what is done
	on       string      // what it is done to, as a path; may be empty
	where    ledger.Text
	cautions []ledger.Text
	lead     ledger.Text
	work     study.Work
}

// place says where the work is done, if the words say that it is a machine.
func (s step) place() string {
	switch {
	case !s.work.OnMachine, len(s.work.Kinds) == 1 && s.work.Is(study.HandAtSpindle):
		return ""
	case s.where.Set():
		return " " + strings.TrimSpace(s.where.S)
	}
	return " on the machine"
}

// eachStep visits the hazardous steps of changes and operations of plans. A
// change that was cancelled was never carried out.
func eachStep(p *lint.Pass, visit func(step)) {
	for _, rec := range p.L.Records {
		switch d := rec.Data.(type) {
		case *ledger.Change:
			if d.State.S == "cancelled" || rec.Quiet() {
				continue
			}
			for i, st := range d.Steps {
				s := step{
					rec: rec, name: stepName(fmt.Sprintf("step %d", i+1), st.Title, st.Does), at: firstSet(st.Does.Span, st.Title.Span, st.Span),
					on: st.On.S, where: st.Where, cautions: st.Cautions, lead: st.WorkLead, work: study.WorkOf(st.Does.S, st.Title.S, st.Where.S),
				}
				if s.work.Kinds != nil {
					visit(s)
				}
			}
		case *ledger.Plan:
			if _, open, _ := p.S.PlanDay(rec); !open {
				continue
			}
			for i := range d.Operations {
				for _, s := range operationSteps(rec, &d.Operations[i]) {
					if s.work.Kinds != nil {
						visit(s)
					}
				}
			}
		}
	}
}

// operationSteps reads an operation and its steps. Cautions of the operation stand
// before each of its steps; what its own words say is covered by those of its steps
// too.
func operationSteps(rec *ledger.Record, op *ledger.Operation) []step {
	whole := step{
		rec: rec, name: stepName(op.ID.S, op.Title, op.Does), at: firstSet(op.Does.Span, op.Title.Span, op.Span),
		on: op.Fixture.S, where: op.Where, cautions: op.Cautions, lead: op.WorkLead, work: study.WorkOf(op.Does.S, op.Title.S, op.Where.S),
	}
	var out []step
	for i, st := range op.Steps {
		s := step{
			rec: rec, name: stepName(fmt.Sprintf("%s step %d", op.ID.S, i+1), st.Title, st.Does), at: firstSet(st.Does.Span, st.Title.Span, st.Span),
			on: op.Fixture.S, where: st.Where, cautions: slices.Concat(op.Cautions, st.Cautions), lead: st.WorkLead,
		}
		if !s.where.Set() {
			s.where = op.Where
		}
		if !s.lead.Set() {
			s.lead = op.WorkLead
		}
		s.work = study.WorkOf(st.Does.S, st.Title.S, s.where.S)
		whole.cautions = slices.Concat(whole.cautions, st.Cautions)
		if !whole.lead.Set() {
			whole.lead = st.WorkLead
		}
		out = append(out, s)
	}
	return append([]step{whole}, out...)
}

// stepName calls a step by its title, or by what it does.
func stepName(id string, title, does ledger.Text) string {
	for _, t := range []ledger.Text{title, does} {
		if words := strings.TrimSpace(t.S); words != "" {
			return fmt.Sprintf("%s (%q)", id, words)
		}
	}
	return id
}
