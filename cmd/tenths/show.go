package main

import (
	"fmt"
	"os"
	"time"

	"tenths/ledger/report"
)

type showCmd struct {
	Path   string `arg:"" help:"An id, the path of a value such as FX1/A/P1/size, or a lot such as L-31."`
	Format string `enum:"text,html,json" default:"text" help:"text, html or json."`

	inLedger
}

func (c showCmd) Help() string {
	return "A fixture is shown with what its pins and the part's holes say about each other, a gauge with its standing, an inspection with its readings against the limits, a plan in its order, a tool with the drift of what it cuts, a characteristic with its short-run chart. The HTML draws the stations and the charts: tenths show FX1 --format html > FX1.html. A lot is shown with everything as it was when it was made: plan, pins and their surveys, tools, gauges, machines, and what nobody wrote down. With --as-of everything is as on that day. A single value is printed alone when the output goes to another program."
}

func (c showCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	sheet, err := report.Record(o.set, c.Path)
	if err != nil {
		return notFound(err)
	}
	if first, rec := o.set.FirstDay(); c.AsOf != "" && rec != nil && o.set.AsOf.Before(first) {
		fmt.Fprintf(e.err, "tenths: nothing in the ledger is of %s or before: its first day is %s, of %s\n", c.AsOf, first.Format(time.DateOnly), rec.Path)
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, sheet)
	case "html":
		return sheet.WriteHTML(e.out)
	}
	return sheet.WriteText(e.out, !isTerminal(e.out))
}

// isTerminal reports whether a person is likely to look at the output.
func isTerminal(w any) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
