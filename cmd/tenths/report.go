package main

import (
	"context"
	"errors"
	"time"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/report"
	"tenths/ledger/source"
)

type reportCmd struct {
	Changes []string `arg:"" optional:"" help:"Ids of changes; or one fixture, station, pin, part, tool, plan or machine, for all changes that touch it. The newest change with readings if none is given."`
	Since   string   `placeholder:"DATE" aliases:"from" help:"All changes carried out or undone on this day or later; also --from."`
	Until   string   `placeholder:"DATE" aliases:"to" help:"... on this day or earlier; also --to."`
	Format  string   `enum:"md,html,json" default:"md" help:"md, html or json."`
	Private bool     `help:"Show people, hours, cost and complaints too."`

	inLedger
}

func (c reportCmd) Help() string {
	return `One page a change: what was wrong, the verdict with its numbers, every reading before and after, the prediction, how it was measured, what else changed (by the ledger and by git), the stations beside it, how to go back, the lesson. The HTML is one file that opens offline and prints.

  tenths report CH-01 --format html > CH-01.html
  tenths report FX1                         all changes of a fixture: a summary, each page, what is still open
  tenths report --since 2025-01-01 --until 2025-12-31
  tenths report FX1 --since 2025-01-01`
}

func (c reportCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	opt := report.CollectionOptions{Page: report.PageOptions{Private: c.Private, Commits: commitsOf(o.root)}}
	if opt.From, err = parseDay(c.Since, time.Time{}); err != nil {
		return err
	}
	if opt.To, err = parseDay(c.Until, time.Time{}); err != nil {
		return err
	}
	if opt.Page.Images, err = source.Dir(o.root); err != nil {
		return err
	}
	if err := c.choose(o, &opt); err != nil {
		return err
	}
	if len(opt.Changes) == 1 {
		return c.page(e, o, opt)
	}
	all, err := report.Collect(o.set, opt)
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, all)
	case "html":
		return all.WriteHTML(e.out)
	}
	return all.WriteMarkdown(e.out)
}

// page prints the page of one change.
func (c reportCmd) page(e env, o *opened, opt report.CollectionOptions) error {
	p, err := report.Improvement(o.set, opt.Changes[0], opt.Page)
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, p)
	case "html":
		return report.WriteHTML(e.out, p)
	}
	return report.WriteMarkdown(e.out, p)
}

// choose finds the changes that were asked for: by id, by what they touch, by
// their days, or the newest one with readings.
func (c reportCmd) choose(o *opened, opt *report.CollectionOptions) error {
	period := c.Since != "" || c.Until != ""
	for _, id := range c.Changes {
		rec := o.l.Record(id)
		if rec != nil && rec.Kind() == ledger.KindChange {
			opt.Changes = append(opt.Changes, rec)
			continue
		}
		if _, err := o.l.Find(id); err != nil {
			return notFound(err)
		}
		if len(c.Changes) > 1 {
			return hinted{errors.New(id + " is no change, and a report is of several changes or of all that touch one thing"), "tenths report " + id}
		}
		opt.Of = id
	}
	switch {
	case len(opt.Changes) > 0 && period:
		return errors.New("name changes, or a period with --since and --until, not both")
	case len(opt.Changes) == 0 && opt.Of == "" && !period:
		newest := newestMeasured(o)
		if newest == nil {
			return hinted{errors.New("no change has readings before and after yet"), "name one: tenths report CH-01"}
		}
		opt.Changes = []*ledger.Record{newest}
	}
	return nil
}

func newestMeasured(o *opened) *ledger.Record {
	var newest *ledger.Record
	var when time.Time
	for _, rec := range o.l.Records {
		ch, ok := rec.Data.(*ledger.Change)
		if ok && !rec.Quiet() && ch.Before.Set() && ch.After.Set() && ch.Done.By(o.set.AsOf) && ch.Done.T.After(when) {
			newest, when = rec, ch.Done.T
		}
	}
	return newest
}

// commitsOf gives the commits of a ledger that is kept in git; nil for one that is
// not, or where there is no git.
func commitsOf(root string) func(from, to time.Time) ([]history.Commit, error) {
	repo, err := history.Open(context.Background(), root)
	if err != nil {
		return nil
	}
	return func(from, to time.Time) ([]history.Commit, error) { return repo.Commits(from, to, repo.Prefix()) }
}

// notFound adds what is near to a path that names nothing.
func notFound(err error) error {
	if nf := (*ledger.NotFound)(nil); errors.As(err, &nf) && nf.Near != "" {
		return hinted{err, "did you mean " + nf.Near + "?"}
	}
	return err
}
