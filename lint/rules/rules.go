// Package rules holds the rules, one file a rule. A rule reads studies and
// computes nothing itself.
package rules

import (
	"slices"
	"strings"

	"tenths/lint"
)

// All lists every rule, sorted by name.
func All() []*lint.Rule {
	all := slices.Concat(recordRules(), fitRules(), gaugeRules(), orderRules(), processRules(), changeRules())
	slices.SortFunc(all, func(a, b *lint.Rule) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// Find gives the rule of that name, or nil.
func Find(name string) *lint.Rule {
	for _, r := range All() {
		if r.Name == name {
			return r
		}
	}
	return nil
}
