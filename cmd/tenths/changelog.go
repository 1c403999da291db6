package main

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"time"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/report"
	"tenths/ledger/study"
)

type changelogCmd struct {
	Since   string `placeholder:"DATE|REV" help:"Changes carried out on this day or later; or, with a tag or commit of git, what became known since then."`
	Until   string `placeholder:"DATE" help:"Changes carried out on this day or earlier."`
	By      string `enum:"month,part,fixture" default:"month" help:"month, part or fixture."`
	Public  bool   `help:"Only what is marked public, and without anything private; refused if a private word is left in it. The list for makers."`
	For     string `enum:",makers,customers" default:"" placeholder:"WHOM" help:"The public list for makers or customers; --public is for makers."`
	Percent bool   `help:"In a public list: percentages of the limit instead of differences, never both."`
	Serials bool   `help:"In a public list: say from which serial a change holds."`
	Format  string `enum:"md,html,atom,json" default:"md" help:"md, html, atom or json."`

	inLedger
}

func (c changelogCmd) Help() string {
	return `Lists what was changed, before and after, and what came out: failed, harmful and inconclusive changes too.

--since REV compares the ledger at that revision with today's: what is new in the list, what was judged since, what turned out otherwise, what was withdrawn. A name that reads as a day is a day; write refs/tags/2025-01-01 for a tag of that name.

Nothing private leaves by --public or --for: only changes with public = true, sizes stay private, differences go out, days become months, and where a private word, a program number, a price or the like is left the list is refused. Photos never go out. Makers get the mechanism, the numbers with their interval, and how it was measured; customers what they will notice (key notice) and what an older unit can have (key older_units).

A page is one file without script that can stand anywhere: tenths changelog --for makers --format html > makers.html. A feed (Atom, RFC 4287) needs a name and an id in tenths.toml: tenths explain tenths.toml, key public.`
}

func (c changelogCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	opt := report.LogOptions{By: report.By(c.By), Public: c.Public || c.For != "", For: report.Audience(c.For), Percent: c.Percent, Serials: c.Serials}
	switch {
	case !opt.Public && (c.Percent || c.Serials):
		return errors.New("--percent and --serials are for public lists; add --for makers or --for customers")
	case !opt.Public && c.Format == "atom":
		return hinted{errors.New("a feed is read by others, so it holds the public list only"), "say for whom: --for makers or --for customers"}
	case c.Format == "atom" && c.By != "month":
		return errors.New("a feed is not divided; leave out --by")
	}
	if sinceDay.MatchString(c.Since) {
		if opt.Since, err = parseDay(c.Since, time.Time{}); err != nil {
			return err
		}
	} else if c.Since != "" {
		if opt.Earlier, err = earlier(o, c.Since); err != nil {
			return err
		}
	}
	if opt.Until, err = parseDay(c.Until, time.Time{}); err != nil {
		return err
	}
	log, err := report.Changelog(o.set, opt)
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return report.WriteJSON(e.out, log)
	case "html":
		return log.WriteHTML(e.out)
	case "atom":
		return log.WriteAtom(e.out)
	}
	return log.WriteMarkdown(e.out)
}

// sinceDay is what is read as a day and not as a revision.
var sinceDay = regexp.MustCompile(`^\d{4}-\d{1,2}-\d{1,2}$`)

// earlier loads the ledger at a revision.
func earlier(o *opened, rev string) (*report.Earlier, error) {
	repo, err := history.Open(context.Background(), o.root)
	if errors.Is(err, history.ErrNotARepo) {
		return nil, hinted{fmt.Errorf("--since %s: the ledger is in no git repository, so that nothing is known of how it was then", rev), "name a day instead: --since 2025-11-25"}
	}
	if err != nil {
		return nil, err
	}
	at, err := repo.Revision(rev)
	if err != nil {
		return nil, hinted{fmt.Errorf("--since %s: %w", rev, err), "a day is written year-month-day, like 2025-11-25; git tag lists the tags"}
	}
	out := &report.Earlier{Name: rev, Commit: at.Commit, On: at.On}
	l, err := loadAt(repo, at.Commit)
	if errors.Is(err, ledger.ErrNoLedger) {
		return out, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the ledger at %s: %w", rev, err)
	}
	out.Set = study.New(l, o.set.AsOf)
	return out, nil
}
