package main

import (
	"errors"
	"fmt"
	"time"

	"tenths/ledger"
	"tenths/ledger/report"
)

type predictCmd struct {
	Change string `arg:"" help:"Id of the change."`
	Write  bool   `help:"Write the prediction and today's day into the change; no other byte changes."`
	Again  bool   `help:"With --write: put it in place of the prediction that the change holds."`
	Format string `enum:"text,html,json" default:"text" help:"text, html or json."`

	inLedger
}

func (c predictCmd) Help() string {
	return "What the readings after the change will show, point by point, each number with the interval that holds it 95 times in 100, from what the change says it means to make (planned entries) and what was known on the day: pins as surveyed, holes as made, looseness, gauge. Points that get worse are marked. Without --write nothing is changed. A prediction is written once, and only while the readings after are not taken. The HTML is one file: tenths predict CH-01 --format html > CH-01-forecast.html"
}

func (c predictCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	rec := o.l.Record(c.Change)
	if rec == nil {
		_, err := o.l.Find(c.Change)
		return notFound(err)
	}
	fc, err := report.Predict(o.set, rec)
	if err != nil {
		return err
	}
	if c.Again && !c.Write {
		return errors.New("--again goes with --write")
	}
	if c.Write {
		return c.write(e, o, rec)
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, fc)
	case "html":
		return fc.WriteHTML(e.out)
	}
	if err := fc.WriteText(e.out); err != nil {
		return err
	}
	p := o.set.NewPrediction(rec, c.day(e))
	switch {
	case p.Refuse == "":
		fmt.Fprintf(e.out, "\ntenths predict %s --write would add to %s:\n  predicted = %q\n  predicted_on = %s\n", ledger.Printable(rec.ID()), ledger.Printable(e.prefix(o.root)+rec.Path), p.Text, p.On.Format(time.DateOnly))
	case p.Text != "":
		fmt.Fprintf(e.out, "\nNothing would be written: %s.\n", p.Refuse)
	}
	return nil
}

// day is the day that is written as that of the prediction.
func (c predictCmd) day(e env) time.Time {
	day, err := parseDay(c.AsOf, e.today)
	if err != nil {
		return e.today
	}
	return day
}

func (c predictCmd) write(e env, o *opened, rec *ledger.Record) error {
	p := o.set.NewPrediction(rec, c.day(e))
	switch {
	case p.Refuse == "" || p.Text != "" && p.There && c.Again && !p.Late:
	case p.There && !p.Late && !c.Again:
		return hinted{errors.New(p.Refuse), "--again puts the new one in its place"}
	default:
		return errors.New(p.Refuse)
	}
	ch := rec.Data.(*ledger.Change)
	text, err := ledger.Apply(rec.Src, ledger.PredictionEdits(rec.Src, ch, p.Text, p.On))
	if err == nil {
		err = ledger.WriteFile(o.root, rec.Path, rec.Src, text)
	}
	if err != nil {
		return fmt.Errorf("%s%s: %w", e.prefix(o.root), rec.Path, err)
	}
	fmt.Fprintf(e.out, "%s: predicted %s, written on %s\n", ledger.Printable(e.prefix(o.root)+rec.Path), p.Text, p.On.Format(time.DateOnly))
	return nil
}
