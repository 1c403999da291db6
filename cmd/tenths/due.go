package main

import (
	"errors"
	"time"

	"tenths/ledger/report"
)

type dueCmd struct {
	Within  int    `default:"60" placeholder:"DAYS" help:"How many days to look ahead."`
	Restart string `placeholder:"PLAN" help:"List what to look at before this plan is cut again after a pause."`
	Since   string `placeholder:"DATE" help:"With --restart: the day of the last part; that of the last readings if not given."`
	Format  string `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c dueCmd) Help() string {
	return "Calibrations, surveys, tools near the end of their life, re-checks of changes, and concessions that end. What is late comes first. With --restart PLAN: calibrations that fell due, surveys that are too old or from before heat or new pins, offsets, tools, open changes, ended concessions and the first part, in the order in which the plan needs them, each with why."
}

func (c dueCmd) Run(e env) error {
	if c.Within < 0 {
		return errors.New("--within counts days from today on; it cannot be negative")
	}
	if c.Since != "" && c.Restart == "" {
		return errors.New("--since is the day of the last part and goes with --restart PLAN")
	}
	o, err := c.open(e)
	if err != nil {
		return err
	}
	if c.Restart != "" {
		return c.restart(e, o)
	}
	items := report.Due(o.set, c.Within)
	if c.Format == "json" {
		return report.WriteDueJSON(e.out, o.set, c.Within, items)
	}
	return report.WriteDueText(e.out, o.set, c.Within, items)
}

// restart lists what to look at before a plan is cut again.
func (c dueCmd) restart(e env, o *opened) error {
	since, err := parseDay(c.Since, time.Time{})
	if err != nil {
		return err
	}
	rec, err := o.set.PlanNamed(c.Restart)
	if err != nil {
		return notFound(err)
	}
	list, err := report.Restart(o.set, rec, since)
	if err != nil {
		return err
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, list)
	}
	return list.WriteText(e.out)
}
