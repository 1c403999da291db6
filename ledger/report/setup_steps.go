package report

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
)

// SheetStep is one step of an operation with the cautions that stand before it.
type SheetStep struct {
	N        int      `json:"n"` // 0 for what stands before all steps
	Cautions []string `json:"cautions"`
	// Missing are usual cautions for the kinds of work that nobody wrote down.
	Missing []string `json:"missing_cautions"`
	Kinds   []string `json:"kinds"`
	Text    string   `json:"text"`
	Tool    string   `json:"tool"`
	Where   string   `json:"where"`
}

func (s SheetStep) name(op string) string {
	if s.N == 0 {
		return op
	}
	return fmt.Sprintf("%s step %d", op, s.N)
}

// stepsOf lists the steps of an operation; one without steps has its title as the only
// one. What belongs to the operation as a whole comes first, as number 0, if there are
// steps.
func stepsOf(op *ledger.Operation) []SheetStep {
	work := study.WorkOf(op.Does.S, op.Title.S, op.Where.S)
	said := slices.Clone(op.Cautions)
	lead := op.WorkLead.Set()
	for _, st := range op.Steps {
		said = append(said, st.Cautions...)
		lead = lead || st.WorkLead.Set()
	}
	whole := newStep(work, lead, said, op.Cautions)
	whole.Text, whole.Where = line(op.Title.S), line(op.Where.S)
	whole.Cautions = withLead(whole.Cautions, op.WorkLead.S)
	if len(op.Steps) == 0 {
		whole.N = 1
		return []SheetStep{whole}
	}
	var out []SheetStep
	if whole.Text = ""; len(whole.Cautions)+len(whole.Missing) > 0 {
		out = append(out, whole)
	}
	for i, st := range op.Steps {
		where := st.Where.S
		if where == "" {
			where = op.Where.S
		}
		s := newStep(study.WorkOf(st.Does.S, st.Title.S, where), op.WorkLead.Set() || st.WorkLead.Set(), slices.Concat(op.Cautions, st.Cautions), st.Cautions)
		s.N, s.Text, s.Tool, s.Where = i+1, line(st.Title.S), line(st.Tool.S), line(st.Where.S)
		s.Cautions = withLead(s.Cautions, st.WorkLead.S)
		out = append(out, s)
	}
	return out
}

// newStep holds the cautions that are written at a step, and of the usual ones those
// that are said nowhere.
func newStep(work study.Work, lead bool, said, here []ledger.Text) SheetStep {
	s := SheetStep{Cautions: []string{}, Missing: []string{}, Kinds: []string{}}
	for _, k := range work.Kinds {
		s.Kinds = append(s.Kinds, string(k))
	}
	for _, c := range here {
		s.Cautions = append(s.Cautions, line(c.S))
	}
	for _, t := range study.CautionsMissing(work, lead, said) {
		s.Missing = append(s.Missing, t.Name)
	}
	return s
}

func withLead(cautions []string, lead string) []string {
	if lead == "" {
		return cautions
	}
	return append(cautions, "work lead "+line(lead))
}
