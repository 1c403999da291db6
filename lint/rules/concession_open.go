package rules

import (
	"fmt"
	"strings"

	"tenths/ledger"
	"tenths/lint"
)

var concessionOpen = &lint.Rule{
	Name:     "concession-open",
	Severity: lint.Warning,
	Title:    "a concession without a reason, past its end, or that silences nothing",
	Last:     true,
	Page: lint.Page{
		What:    "Each concession is compared with the rules, with the day, and with what it silenced in this run.",
		Why:     "A concession without its reason teaches nobody, and one that is left over will silence the next mistake.",
		Source:  "Common practice. A concession is a permission with bounds and, as a rule, an end: ISO 9000, 3.12.5.",
		Cure:    "Write the reason, or set a new day under until if it still holds, or take the concession out.",
		Concede: "A concession that is kept ready on purpose can itself be conceded: rule = \"concession-open\" with the reason.",
	},
	Check: checkConcessionOpen,
}

func checkConcessionOpen(p *lint.Pass) {
	off := map[string]bool{}
	for _, e := range p.L.Config.Rules {
		off[e.Rule] = e.Severity == "off"
	}
	for _, rec := range p.L.Records {
		if notYet(p, rec) {
			continue
		}
		open := 0
		var own []*ledger.Concession
		for i := range rec.Common.Concessions {
			c := &rec.Common.Concessions[i]
			if c.Rule.S == concessionOpenName && strings.TrimSpace(c.Reason.S) != "" {
				own = append(own, c)
				continue
			}
			if found, at, ok := openConcession(p, c, off); ok {
				p.Report(rec, at, found)
				open++
			}
		}
		for i, c := range own {
			switch {
			case c.Until.Set() && p.AsOf.After(c.Until.T):
				p.Report(rec, c.Until.Span, ended(c))
			case open == 0 || i > 0:
				p.Report(rec, c.Rule.Span, idle(c))
			}
		}
	}
}

const concessionOpenName = "concession-open"

// notYet reports whether the record tells of something after the day asked for,
// so that no rule has looked at it.
func notYet(p *lint.Pass, rec *ledger.Record) bool {
	in, ok := rec.Data.(*ledger.Inspection)
	return ok && in.On.Set() && in.On.T.After(p.AsOf)
}

// openConcession says what is wrong with a concession, if anything is.
func openConcession(p *lint.Pass, c *ledger.Concession, off map[string]bool) (lint.Found, ledger.Span, bool) {
	switch {
	case c.Rule.S == "":
		return lint.Found{}, ledger.Span{}, false // the missing name is reported as unreadable
	case !p.Rules[c.Rule.S]:
		return lint.Found{
			Message: fmt.Sprintf("the concession names %q, and there is no such rule", c.Rule.S),
			Fix:     nearestRule(p, c.Rule.S),
		}, c.Rule.Span, true
	case strings.TrimSpace(c.Reason.S) == "":
		return lint.Found{
			Message: fmt.Sprintf("the concession of %s has no reason, so it does not count", c.Rule.S),
			Fix:     "add reason = \"...\": why it is right to leave it",
		}, c.Rule.Span, true
	case c.Until.Set() && p.AsOf.After(c.Until.T):
		return ended(c), c.Until.Span, true
	case p.Silenced[c] == 0 && !off[c.Rule.S]:
		return idle(c), c.Rule.Span, true
	}
	return lint.Found{}, ledger.Span{}, false
}

func ended(c *ledger.Concession) lint.Found {
	return lint.Found{
		Message: fmt.Sprintf("the concession of %s ended on %s and no longer counts", c.Rule.S, c.Until),
		Fix:     "take it out if the matter is settled, or look at it again and set a new day under until",
	}
}

func idle(c *ledger.Concession) lint.Found {
	return lint.Found{
		Message: fmt.Sprintf("the concession of %s silences nothing in this record", c.Rule.S),
		Fix:     "take it out",
	}
}
