package rules

import (
	"fmt"

	"tenths/ledger/study"
	"tenths/lint"
)

var tooFewParts = &lint.Rule{
	Name:     "too-few-parts",
	Severity: lint.Warning,
	Gap:      true,
	Title:    "a change judged by too few parts for what it claims",
	Page: lint.Page{
		What: "For a change that was carried out: how many parts stand before and after. At least 5 and 5 for a level, 10 and 10 for a spread; 30 without a bad one where nothing bad was found and the counts show no difference. " +
			"It is only a note on a change called inconclusive. Where effective-unproven speaks of the same readings, nothing is said twice.",
		Why: "With a few parts, luck of two to five times the usual spread looks like success, and a real gain cannot be told from none.",
		Formula: "Smallest shift that n and n parts show in four cases of five: about (t(0.975, 2n-2) + t(0.80, 2n-2))·s·sqrt(2/n); the exact one, by the noncentral t, is 5 % more at n = 2. None bad in n: up to 1 - 0.05^(1/n) may still be bad. " +
			"A shift of 5 s or more shows with 3 and 3.",
		Source:  "Student's t for two groups of n (NIST/SEMATECH e-Handbook 7.2.2.2 and 7.3.1, from memory); none bad in n: the binomial distribution (Clopper and Pearson 1934). The numbers 5, 10 and 30: common practice.",
		Cure:    "Measure more parts, on both sides if some from before are left; or call it inconclusive and say what so few can show.",
		Concede: "When the parts are few and dear, and the decision costs little if it is wrong: say so. Of counts under also, a note that says how they are taken is enough.",
	},
	Check: func(p *lint.Pass) {
		eachCompared(p, func(c compared) {
			parts, ok := p.S.Parts(c.Ev)
			if !ok || !parts.Few || c.unproven() || parts.Counted && c.Ev.Note != "" {
				return // of a count beside the main readings a note says how it is taken
			}
			reportFew(p, c, parts)
		})
	},
}

func reportFew(p *lint.Pass, c compared, parts study.Parts) {
	found := lint.Found{Softer: c.open(), Related: c.places(), Numbers: []lint.Number{
		{Name: "before", Q: count(parts.Before, "parts")}, {Name: "after", Q: count(parts.After, "parts")}, {Name: "least", Q: count(parts.Least, "parts")},
	}}
	head := fmt.Sprintf("%s is called %s on %d + %d parts of %s", c.Rec.ID(), c.State, parts.Before, parts.After, c.name())
	if parts.Counted {
		found.Message = fmt.Sprintf("%s: none bad in %d still leaves up to %.0f %% bad parts possible", head, parts.After, 100*parts.Bad)
		found.Fix = fmt.Sprintf("count at least %d after the change before it is said to be cured", parts.Least)
		p.Report(c.Rec, c.At, found)
		return
	}
	what := "a level"
	if c.Ev.Claim == "spread" {
		what = "a spread"
	}
	found.Message = fmt.Sprintf("%s; %s wants %d + %d at least", head, what, parts.Least, parts.Least)
	if text, numbers := c.moved(); text != "" {
		found.Message += "; " + text
		found.Numbers = append(found.Numbers, numbers...)
	}
	if min(parts.Before, parts.After) == 1 {
		found.Message += "; one part shows that it can be so, not that it is"
	}
	found.Fix = fmt.Sprintf("measure until there are %d + %d; or call it inconclusive", parts.Least, parts.Least)
	if c.open() {
		found.Fix = fmt.Sprintf("repeat it with %d + %d parts or more, or leave it", parts.Least, parts.Least)
	}
	if r := parts.Reach; r.Sees > 0 && c.Ev.Claim == "level" {
		sd, sees := c.Ev.Shown(r.SD), c.Ev.Shown(r.Sees)
		found.Message += fmt.Sprintf("; parts differ by s = %s among themselves, so that so many show a change of %s or more", sd, sees)
		found.Numbers = append(found.Numbers, lint.Number{Name: "s", Q: sd}, lint.Number{Name: "sees", Q: sees})
		if r.Need > parts.Least {
			want := c.Ev.Shown(r.Want)
			found.Fix += fmt.Sprintf("; %d + %d would show a change of %s", r.Need, r.Need, want)
		}
	}
	p.Report(c.Rec, c.At, found)
}
