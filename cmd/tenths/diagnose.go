package main

import (
	"errors"

	"tenths/ledger"
	"tenths/ledger/report"
)

type diagnoseCmd struct {
	Inspection string `arg:"" help:"An inspection with readings of a step at points of a seam."`
	Format     string `enum:"text,html,json" default:"text" help:"text, html or json."`

	inLedger
}

func (c diagnoseCmd) Help() string {
	return "Finds from the readings of a step at a seam what makes it: the shift, turn and size that explain them with their errors, the pins, clearances, wear, temperature and gauge in the records that can make that pattern, each with a probability, what would cure it, the cheapest first, and what to measure to tell the best suspects apart. A source is named only for what is beyond twice its own error. The characteristic must say which part stands out (proud) and over which (against)."
}

func (c diagnoseCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	t, err := o.l.Find(c.Inspection)
	if err != nil {
		return notFound(err)
	}
	d, err := o.set.Diagnose(t.Rec)
	if err != nil {
		return errors.New(ledger.Printable(err.Error())) // one line, whatever the names in it
	}
	sheet := report.DiagnosisOf(d)
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, sheet)
	case "html":
		return sheet.WriteHTML(e.out)
	}
	return sheet.WriteText(e.out)
}
