package main

import (
	"errors"

	"tenths/ledger/report"
)

type sheetCmd struct {
	Plan      string `arg:"" help:"The id of a plan."`
	Operation string `arg:"" optional:"" help:"One operation, such as OP50; all if not given."`
	Pieces    int    `placeholder:"N" help:"How many parts the batch has; what the plan says if not given."`
	Format    string `enum:"md,html,json" default:"md" help:"md, html or json."`

	inLedger
}

func (c sheetCmd) Help() string {
	return "One page an operation, as everything stands on the day: what holds the part, its locators with their last survey, tools with offsets and the life that is left, gauges with their standing, what is checked within which limits, and the steps with each caution before the step that it belongs to. Each operation begins a printed page: tenths sheet PL-10 --format html > PL-10.html. Sheets hold programs and offsets and are for the shop alone."
}

func (c sheetCmd) Run(e env) error {
	if c.Pieces < 0 {
		return errors.New("--pieces is how many parts the batch has; it cannot be negative")
	}
	o, err := c.open(e)
	if err != nil {
		return err
	}
	rec, err := o.set.PlanNamed(c.Plan)
	if err != nil {
		return notFound(err)
	}
	sheets, err := report.Setups(o.set, rec, c.Operation, c.Pieces)
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, sheets)
	case "html":
		return sheets.WriteHTML(e.out)
	}
	return sheets.WriteMarkdown(e.out)
}
