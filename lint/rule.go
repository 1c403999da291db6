// Package lint runs the rules over a ledger and prints what they find.
//
// A rule is a value that carries its own page. The engine knows no rule, the
// rules know no output format, and every finding points at the bytes of the
// value that it is about.
package lint

import (
	"fmt"
	"regexp"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// Severity says how much a finding matters.
type Severity int

// The severities, from the least.
const (
	Note Severity = iota
	Warning
	Error
)

var severityNames = [...]string{"note", "warning", "error"}

func (s Severity) String() string { return severityNames[s] }

// ParseSeverity reads note, warning or error.
func ParseSeverity(text string) (Severity, error) {
	for i, n := range severityNames {
		if n == text {
			return Severity(i), nil
		}
	}
	return 0, fmt.Errorf("%q is no severity; one of: note, warning, error", text)
}

// Rule is one check with its page.
type Rule struct {
	Name     string
	Severity Severity
	Title    string // one line: what is found
	Page     Page
	// Check looks at the whole ledger and reports what it finds.
	Check func(*Pass)
	// OnDrafts is set for rules that also speak of drafts.
	OnDrafts bool
	// Always is set for rules on what makes all others blind, such as a record that
	// cannot be read: no ledger turns them off, and age does not soften them.
	Always bool
	// Gap is set for rules that miss something which an old record may lack: on
	// a legacy record even an error of theirs is only a note.
	Gap bool
	// Last is set for the rule that looks at what the others were silenced in.
	Last bool
}

// Page explains a rule.
type Page struct {
	What    string // what is compared
	Why     string // why it matters, one or two sentences; printed with each finding
	Formula string // the arithmetic, if there is any
	Source  string // standard, table or common practice
	Cure    string // how to put it right
	Concede string // when it is right to leave it, and how to say so
}

var ruleName = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// Validate refuses a rule that lacks a part of what a rule must have.
func (r *Rule) Validate() error {
	switch {
	case !ruleName.MatchString(r.Name):
		return fmt.Errorf("rule %q: the name must be plain words joined by -", r.Name)
	case r.Title == "" || r.Page.What == "" || r.Page.Why == "" || r.Page.Source == "" || r.Page.Cure == "" || r.Page.Concede == "":
		return fmt.Errorf("rule %s: the page is incomplete", r.Name)
	case r.Check == nil:
		return fmt.Errorf("rule %s: there is no check", r.Name)
	}
	return nil
}

// Pass is what a rule sees while it runs.
type Pass struct {
	L    *ledger.Ledger
	S    *study.Set
	AsOf time.Time
	// Rules holds the names of all rules of the run.
	Rules map[string]bool
	// Silenced counts the findings that each concession silenced; only for a
	// rule that runs last.
	Silenced map[*ledger.Concession]int

	rule *Rule
	out  []Finding
}

// Found is what a rule says about one place.
type Found struct {
	Message string
	Fix     string
	Numbers []Number
	Related []Place
	// Softer lowers the severity of this finding to a note, whatever severity
	// the ledger gives the rule.
	Softer bool
}

// Number is a named quantity of a finding.
type Number struct {
	Name string
	Q    quantity.Quantity
}

// Place is another place that belongs to a finding.
type Place struct {
	Rec     *ledger.Record
	Span    ledger.Span
	Message string
}

// Report adds a finding about a value of a record.
func (p *Pass) Report(rec *ledger.Record, at ledger.Span, f Found) {
	if !at.Set() {
		at = rec.Whole()
	}
	p.add(rec, rec.Path, rec.Src, at, f)
}

// ReportFile adds a finding about a file that is no record, or that could not
// be read as one; src is its text, nil if it has none.
func (p *Pass) ReportFile(file string, src []byte, at ledger.Span, f Found) {
	p.add(nil, file, src, at, f)
}

func (p *Pass) add(rec *ledger.Record, file string, src []byte, at ledger.Span, f Found) {
	out := Finding{
		Rule: p.rule.Name, Severity: p.rule.Severity, File: file, Span: at,
		Start: ledger.PositionOf(src, at.Start), End: ledger.PositionOf(src, at.End),
		Message: f.Message, Why: p.rule.Page.Why, Fix: f.Fix, rec: rec,
	}
	for _, n := range f.Numbers {
		if !n.Q.Exact() {
			n.Q = study.Shown(n.Q) // computed in floating point: with the digits that the message has
		}
		out.Numbers = append(out.Numbers, n)
	}
	if f.Softer {
		out.Severity, out.softer = Note, true
	}
	if rec != nil {
		out.Record = rec.ID()
	}
	for _, r := range f.Related {
		at := r.Span
		if !at.Set() {
			at = r.Rec.Whole()
		}
		pos := ledger.PositionOf(r.Rec.Src, at.Start)
		out.Related = append(out.Related, Related{r.Rec.Path, pos.Line, pos.Column, r.Message})
	}
	p.out = append(p.out, out)
}
