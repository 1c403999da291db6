package study

import (
	"fmt"
	"time"

	"tenths/ledger"
)

// NewPrediction is a prediction ready to be written into its change.
type NewPrediction struct {
	Text string // as the key predicted takes it; empty if there is none
	On   time.Time
	// Refuse says why it is not written: there is none, the change holds one
	// (There), or the readings after are taken (Late).
	Refuse      string
	There, Late bool
}

// NewPrediction gives what would be written into a change on a day. A prediction
// made after the readings earns no trust, so it is never written once the
// readings after are in the ledger, whatever day they bear.
func (s *Set) NewPrediction(rec *ledger.Record, on time.Time) NewPrediction {
	p := NewPrediction{On: on}
	o := s.Predict(rec)
	if o == nil || len(o.Items) == 0 {
		p.Refuse = "the change names no characteristic"
		return p
	}
	first := o.Items[0]
	p.Text = first.Text()
	after := o.Change.After
	switch {
	case first.Skip != "":
		p.Refuse = first.Skip
	case !first.Ev.Primary:
		p.Text, p.Refuse = "", "the change itself names no characteristic; only those under also do"
	case p.Text == "":
		p.Refuse = "each point is judged by itself, and the key predicted takes one number"
	case s.countPieces(after) > 0:
		p.Late = true
		p.Refuse = fmt.Sprintf("the readings after, %s, are taken; a prediction written now would be none", after.S)
	case o.Change.Predicted.Set():
		p.There = true
		p.Refuse = fmt.Sprintf("the change predicts %s already", o.Change.Predicted.Tol)
		if o.Change.PredictedOn.Set() {
			p.Refuse += ", written on " + o.Change.PredictedOn.String()
		}
	}
	return p
}
