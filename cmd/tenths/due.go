package main

import (
	"errors"

	"tenths/ledger/report"
)

type dueCmd struct {
	Within int    `default:"60" placeholder:"DAYS" help:"How many days to look ahead."`
	Format string `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c dueCmd) Help() string {
	return "Calibrations, surveys, tools near the end of their life, re-checks of changes, and concessions that end. What is late comes first."
}

func (c dueCmd) Run(e env) error {
	if c.Within < 0 {
		return errors.New("--within counts days from today on; it cannot be negative")
	}
	o, err := c.open(e)
	if err != nil {
		return err
	}
	items := report.Due(o.set, c.Within)
	if c.Format == "json" {
		return report.WriteDueJSON(e.out, o.set, c.Within, items)
	}
	return report.WriteDueText(e.out, o.set, c.Within, items)
}
