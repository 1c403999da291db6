package rules

import (
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var confounded = &lint.Rule{
	Name:     "confounded",
	Severity: lint.Warning,
	Title:    "several things changed between the readings before and after",
	Page: lint.Page{
		What: "What else changed between the readings before a change and those after it: what the change says itself (also_changed), and what the ledger has with a day: pins, features, offsets, a refit, a tool's role or life, what a machine runs with, a plan, another change. " +
			"Of the last, only what can act on the characteristic: the stations, tools and plans of the operations that make its features. Several changes in one set-up are left in peace if the record says why (several).",
		Why:    "The readings show that something helped, not which of the things it was: the dear half of the cure can never be dropped, and the wrong lesson is taught.",
		Source: "One intended factor between the readings, or a stated reason: common practice.",
		Cure:   "Undo one of the things and measure again; or judge them as a whole and say in several why they went together; or call it inconclusive.",
		Concede: "When the other change cannot act on what was measured, and the ledger does not show that: say why. What is named in also_changed counts, since nobody else can tell whether it mattered; " +
			"a change called inconclusive or taken back is left alone. The gauge, the person and the state of the part are those of gauge-changed.",
	},
	Check: func(p *lint.Pass) {
		var last compared
		var all []compared
		flush := func() {
			if all != nil {
				checkConfounded(p, all)
			}
			all = nil
		}
		eachCompared(p, func(c compared) {
			if c.Rec != last.Rec {
				flush()
			}
			last = c
			if !c.open() {
				all = append(all, c)
			}
		})
		flush()
	},
}

// checkConfounded looks at a change with its comparisons.
func checkConfounded(p *lint.Pass, all []compared) {
	rec, ch := all[0].Rec, all[0].Ch
	at := ch.State.Span
	var things []string
	said := ch.Several.S
	for _, t := range ch.AlsoChanged {
		said += " " + t.S
		if !ch.Several.Set() {
			at = ch.AlsoChanged[0].Span
			things = append(things, t.S)
		}
	}
	w := p.S.Acting(rec)
	var related []lint.Place
	for _, h := range w.Else {
		if names(said, h) {
			continue
		}
		things = append(things, fmt.Sprintf("%s on %s: %s", listed(h.Paths), h.On, h.What))
		if len(related) < shownPlaces {
			related = append(related, lint.Place{Rec: h.Rec, Span: h.On.Span, Message: strings.Join(h.Paths, ", ") + ": " + h.What})
		}
	}
	if things == nil {
		return
	}
	var moves []string
	found := lint.Found{Related: related}
	for _, c := range all {
		if text, numbers := c.moved(); text != "" {
			moves, found.Numbers = append(moves, text), append(found.Numbers, numbers...)
		}
		found.Related = append(found.Related, c.places()...)
	}
	found.Numbers = numbered(found.Numbers)
	result := ""
	if moves != nil {
		result = " (" + strings.Join(moves, ", ") + ")"
	}
	found.Message = fmt.Sprintf("%s is called %s%s, but between its readings (%s to %s) something else changed as well: %s; the readings cannot say what each of them did",
		rec.ID(), all[0].State, result, w.From.Format("2006-01-02"), w.To.Format("2006-01-02"), strings.Join(things, "; "))
	found.Fix = "undo one of them and measure again; or judge them as a whole and say in several why they went together; else call it inconclusive"
	p.Report(rec, at, found)
}

// names reports whether the words of a change name what happened.
func names(said string, h study.Happening) bool {
	// Of a machine the change names what was altered, such as the coolant.
	if what, _, _ := strings.Cut(h.What, ":"); h.Rec.Kind() == ledger.KindMachine && strings.Contains(strings.ToLower(said), strings.ToLower(what)) {
		return true
	}
	for _, path := range append([]string{h.Rec.ID()}, h.Paths...) {
		if slices.Contains(wordsIn(said), path) {
			return true
		}
	}
	return false
}

// wordsIn splits a text into its words, without what stands around them.
func wordsIn(text string) []string {
	words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;:()", r) })
	for i, w := range words {
		words[i] = strings.TrimSuffix(w, ".")
	}
	return words
}

// numbered tells numbers of the same name apart: difference, difference_2.
func numbered(list []lint.Number) []lint.Number {
	seen := map[string]int{}
	for i, n := range list {
		seen[n.Name]++
		if k := seen[n.Name]; k > 1 {
			list[i].Name = fmt.Sprintf("%s_%d", n.Name, k)
		}
	}
	return list
}
