package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var formulaBroken = &lint.Rule{
	Name:     "formula-broken",
	Severity: lint.Error,
	Title:    "a derived value whose formula cannot be computed",
	Page: lint.Page{
		What: "Every formula of a derived value is read and computed from the values behind its names: units must agree, every name must have a value on the day, and no value may follow from itself.",
		Why:  "A number that cannot be computed again is only a memory; whatever is built on it is too.",
		Formula: "Formulas are written with + - * / ( ) and abs, min, max, sqrt, hypot, sin, cos, tan, asin, acos, atan, atan2, pow, if; conditions compare with < <= > >= == != and join with && || !; a unit is a name: 25.4*mm. " +
			"where gives each name its path: { hole = \"P-10/H1/size\" }.",
		Source:  "The grammar of Go expressions; units after NIST Special Publication 811.",
		Cure:    "The message points at the place in the formula, or at the name, that is in the way.",
		Concede: "There is nothing to concede: a value that shall stay as it is needs no formula, and one that is kept on purpose says why with keep.",
	},
	Check: func(p *lint.Pass) {
		for _, d := range p.S.Derived() {
			if d.Err == nil || !d.D.Formula.Set() || !d.D.Name.Set() || toldElsewhere(p, d) {
				continue
			}
			message := d.Err.Error()
			var related []lint.Place
			if d.Cycle != nil {
				message = "it follows from itself: " + strings.Join(d.Cycle, " from ")
				for _, path := range d.Cycle[1 : len(d.Cycle)-1] {
					if t, err := p.L.Find(path); err == nil {
						related = append(related, lint.Place{Rec: t.Rec, Span: t.Span(), Message: path + " is on the way round"})
					}
				}
			}
			p.Report(d.Rec, d.ErrAt, lint.Found{
				Message: fmt.Sprintf("%s cannot be computed: %s", d.Path(), message),
				Fix:     d.Hint,
				Related: related,
			})
		}
	},
}

// toldElsewhere reports whether the trouble is told at its cause: the other
// value that is broken, the first value of a ring, a broken reference.
func toldElsewhere(p *lint.Pass, d *study.Derived) bool {
	if d.Cycle != nil {
		return d.Path() != d.Cycle[0]
	}
	for _, in := range d.Inputs {
		if in.At == d.ErrAt && in.From != nil && in.From.Err != nil {
			return true
		}
	}
	for _, b := range d.D.Where {
		if b.Ref.Span != d.ErrAt {
			continue
		}
		t, err := p.L.Find(b.S)
		return err != nil || !(ledger.Reference{To: []string{"value"}}).Fits(t)
	}
	return false
}
