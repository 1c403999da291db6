package main

import (
	"errors"
	"io"

	"tenths/ledger/report"
)

type traceCmd struct {
	Path    string `arg:"" help:"An id, or the path of a value such as FX1/A/P1/size; with --suspect, a gauge."`
	Suspect bool   `help:"Which readings are in doubt if this gauge was out, which are cleared, and what rests on them."`
	Depth   int    `default:"3" placeholder:"STEPS" help:"How many steps to follow."`
	Format  string `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c traceCmd) Help() string {
	return "Follows a record or value in both directions: what names it, and what it names. With --suspect it looks back over a gauge that was found out: every reading since its last good check is corrected by the error as found and judged again, and the changes, surveys, values and gauges that rest on those readings are listed. If no check has found the gauge out, everything since the last good check is listed as resting on it."
}

func (c traceCmd) Run(e env) error {
	if c.Depth < 1 {
		return errors.New("--depth counts steps from 1 on")
	}
	o, err := c.open(e)
	if err != nil {
		return err
	}
	var sheet interface{ WriteText(io.Writer) error }
	if c.Suspect {
		sheet, err = c.suspect(o)
	} else {
		sheet, err = c.where(o)
	}
	if err != nil {
		return notFound(err)
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, sheet)
	}
	return sheet.WriteText(e.out)
}

func (c traceCmd) where(o *opened) (*report.WhereSheet, error) {
	w, err := o.set.Where(c.Path, c.Depth)
	if err != nil {
		return nil, err
	}
	return report.Where(o.set, w, c.Depth), nil
}

func (c traceCmd) suspect(o *opened) (*report.SuspectSheet, error) {
	t, err := o.l.Find(c.Path)
	if err != nil {
		return nil, err
	}
	sp, err := o.set.Suspect(t.Rec)
	if err != nil {
		return nil, hinted{err, "name a gauge: tenths trace --suspect G5"}
	}
	return report.SuspectOf(o.set, sp), nil
}
