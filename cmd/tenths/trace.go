package main

import (
	"errors"
	"fmt"
	"io"

	"tenths/ledger/report"
)

type traceCmd struct {
	Path    string `arg:"" help:"An id, or the path of a value such as FX1/A/P1/size; with --suspect, a gauge."`
	Suspect bool   `help:"Which readings are in doubt if this gauge was out, which are cleared, and what rests on them."`
	Depth   int    `default:"3" placeholder:"STEPS" help:"How many steps to follow."`
	Format  string `enum:"text,json,svg" default:"text" help:"text, json, or svg: a picture of what depends on it and what it depends on."`

	inLedger
}

func (c traceCmd) Help() string {
	return "Follows a record or value in both directions: what names it, and what it names. As a picture: tenths trace FX1/A/P1 --format svg > P1.svg. With --suspect it looks back over a gauge that was found out: every reading since its last good check is corrected by the error as found and judged again, and the changes, surveys, values and gauges that rest on those readings are listed. If no check has found the gauge out, everything since the last good check is listed as resting on it."
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
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, sheet)
	case "svg":
		if w, ok := sheet.(*report.WhereSheet); ok {
			return c.picture(e, o, w)
		}
		return errors.New("--suspect has no picture; take --format text or json")
	}
	return sheet.WriteText(e.out)
}

// picture draws as many steps as one page can hold.
func (c traceCmd) picture(e env, o *opened, w *report.WhereSheet) error {
	all := w.Boxes()
	for steps := c.Depth; w.Boxes() > report.MostBoxes && steps > 1; {
		steps--
		fewer, err := o.set.Where(c.Path, steps)
		if err != nil {
			return err
		}
		w = report.Where(o.set, fewer, steps)
	}
	if w.Depth < c.Depth {
		fmt.Fprintf(e.err, "tenths: drawn to %d of %d steps: all would be %d boxes; --format text has them all\n", w.Depth, c.Depth, all)
	}
	return w.WriteSVG(e.out)
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
