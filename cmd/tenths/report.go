package main

import (
	"errors"
	"fmt"
	"time"

	"tenths/ledger"
	"tenths/ledger/report"
	"tenths/ledger/source"
)

type reportCmd struct {
	Changes []string `arg:"" optional:"" help:"Ids of changes; the newest one with readings if none is given."`
	Format  string   `enum:"md,html,json" default:"md" help:"md, html or json."`
	Private bool     `help:"Show people, hours, cost and complaints too."`

	inLedger
}

func (c reportCmd) Help() string {
	return "One page a change: what was wrong, the verdict with its numbers, every reading before and after, the prediction, how it was measured, what else changed, how to go back, the lesson. The HTML is one file that opens offline: tenths report CH-01 --format html > CH-01.html"
}

func (c reportCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	recs, err := c.records(o)
	if err != nil {
		return err
	}
	if c.Format == "html" && len(recs) > 1 {
		return errors.New("an HTML page holds one change; name one")
	}
	images, err := source.Dir(o.root)
	if err != nil {
		return err
	}
	var pages []*report.Page
	for _, rec := range recs {
		p, err := report.Improvement(o.set, rec, report.PageOptions{Private: c.Private, Images: images})
		if err != nil {
			return err
		}
		pages = append(pages, p)
	}
	if c.Format == "json" {
		if len(pages) == 1 {
			return report.WriteJSON(e.out, pages[0])
		}
		return report.WriteJSON(e.out, pages)
	}
	for i, p := range pages {
		if i > 0 {
			fmt.Fprint(e.out, "\n---\n\n")
		}
		write := report.WriteMarkdown
		if c.Format == "html" {
			write = report.WriteHTML
		}
		if err := write(e.out, p); err != nil {
			return err
		}
	}
	return nil
}

// records gives the changes that were named, or the newest one with readings.
func (c reportCmd) records(o *opened) ([]*ledger.Record, error) {
	var out []*ledger.Record
	for _, id := range c.Changes {
		rec := o.l.Record(id)
		if rec == nil {
			_, err := o.l.Find(id)
			return nil, notFound(err)
		}
		out = append(out, rec)
	}
	if len(out) > 0 {
		return out, nil
	}
	var newest *ledger.Record
	var when time.Time
	for _, rec := range o.l.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if ok && !rec.Quiet() && ch.Before.Set() && ch.After.Set() && ch.Done.By(o.set.AsOf) && ch.Done.T.After(when) {
			newest, when = rec, ch.Done.T
		}
	}
	if newest == nil {
		return nil, hinted{errors.New("no change has readings before and after yet"), "name one: tenths report CH-01"}
	}
	return []*ledger.Record{newest}, nil
}

// notFound adds what is near to a path that names nothing.
func notFound(err error) error {
	if nf := (*ledger.NotFound)(nil); errors.As(err, &nf) && nf.Near != "" {
		return hinted{err, "did you mean " + nf.Near + "?"}
	}
	return err
}
