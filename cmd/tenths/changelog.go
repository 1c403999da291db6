package main

import (
	"time"

	"tenths/ledger/report"
)

type changelogCmd struct {
	Since  string `placeholder:"DATE" help:"Changes carried out on this day or later."`
	Until  string `placeholder:"DATE" help:"Changes carried out on this day or earlier."`
	By     string `enum:"month,part,fixture" default:"month" help:"month, part or fixture."`
	Public bool   `help:"Only what is marked public, and without anything private; refused if a private word is left in it."`
	Format string `enum:"md,json" default:"md" help:"md or json."`

	inLedger
}

func (c changelogCmd) Help() string {
	return "Lists what was changed, before and after, and what came out: failed, harmful and inconclusive changes too. Nothing private leaves by --public: sizes stay private, differences go out."
}

func (c changelogCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	opt := report.LogOptions{By: report.By(c.By), Public: c.Public}
	if opt.Since, err = parseDay(c.Since, time.Time{}); err != nil {
		return err
	}
	if opt.Until, err = parseDay(c.Until, time.Time{}); err != nil {
		return err
	}
	log, err := report.Changelog(o.set, opt)
	if err != nil {
		return err
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, log)
	}
	return log.WriteMarkdown(e.out)
}
