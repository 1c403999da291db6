package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/lint"
)

var keyUnknown = &lint.Rule{
	Name:     "key-unknown",
	Severity: lint.Warning,
	Title:    "a key, a rule or a severity that nothing reads",
	Page: lint.Page{
		What:    "Each key of a record and of tenths.toml is looked up in the table of keys of its kind; each entry under rules in tenths.toml, in the list of rules and severities.",
		Why:     "A misspelt key does nothing, and looks as if it did.",
		Source:  "The form of the records: tenths explain KIND lists the keys of each kind, tenths explain the rules.",
		Cure:    "Correct the name, or move what you want to note into the text below the front matter.",
		Concede: "A key that another program reads may stay: concede it with that reason.",
	},
	Check: checkKeyUnknown,
}

func checkKeyUnknown(p *lint.Pass) {
	for _, pr := range p.L.Problems {
		if pr.Kind != ledger.UnknownKey {
			continue
		}
		found := lint.Found{Message: pr.Msg, Fix: pr.Fix}
		if rec := p.L.RecordAt(pr.File, pr.Span.Start); rec != nil {
			p.Report(rec, pr.Span, found)
		} else {
			p.ReportFile(pr.File, pr.Src, pr.Span, found)
		}
	}
	for _, e := range p.L.Config.Rules {
		if !p.Rules[e.Rule] {
			p.ReportFile(ledger.ConfigName, p.L.ConfigSrc, e.Key, lint.Found{
				Message: fmt.Sprintf("rules: there is no rule named %q, so nothing gets the severity %s", e.Rule, e.Severity),
				Fix:     nearestRule(p, e.Rule),
			})
		}
	}
}

// nearestRule offers the rule whose name is closest.
func nearestRule(p *lint.Pass, name string) string {
	names := make([]string, 0, len(p.Rules))
	for n := range p.Rules {
		names = append(names, n)
	}
	slices.Sort(names)
	best := ledger.Nearest(name, names, 1+max(2, len(name)/3))
	if best == "" {
		return "tenths explain lists the rules"
	}
	return fmt.Sprintf("did you mean %s?", best)
}
