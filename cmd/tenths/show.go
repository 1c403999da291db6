package main

import (
	"os"

	"tenths/ledger/report"
)

type showCmd struct {
	Path   string `arg:"" help:"An id, or the path of a value such as FX1/A/P1/size."`
	Format string `enum:"text,html,json" default:"text" help:"text, html or json."`

	inLedger
}

func (c showCmd) Help() string {
	return "A fixture is shown with what its pins and the part's holes say about each other, a gauge with its standing, an inspection with its readings against the limits, a plan in its order, a tool with the drift of what it cuts, a characteristic with its short-run chart. The HTML draws the stations and the charts: tenths show FX1 --format html > FX1.html. With --as-of everything is as on that day. A single value is printed alone when the output goes to another program."
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
