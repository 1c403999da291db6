package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/report"
	"tenths/ledger/study"
)

type compareCmd struct {
	From   string `arg:"" help:"A day (2024-03-01), a lot named in an inspection or plan (L-31), or a git revision (HEAD~3)."`
	To     string `arg:"" optional:"" help:"Another one; without it, today as the working tree has it."`
	For    string `placeholder:"PATH" help:"A characteristic, such as KC-1 or A-01/KC-1: what can act on it comes first, with what it does."`
	Format string `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c compareCmd) Help() string {
	return "Lists what was not the same in the shop on two days: pins and their surveys, holes, tools, gauges and their checks, plans, machines, limits, each with the day from which it is so and the change that did it. A lot stands for the day on which it was made. Between git revisions it also shows what was written into the records. With --for KC-1 each thing is looked at for that characteristic: what can act on it comes first, the largest effect first; for a step at a seam and for a position the effect is computed, one thing at a time and all together."
}

func (c compareCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	from, err := c.state(e, o, c.From)
	if err != nil {
		return err
	}
	to := &named{set: o.set, StateName: report.StateName{Named: "today"}}
	if c.To != "" {
		if to, err = c.state(e, o, c.To); err != nil {
			return err
		}
	} else if c.AsOf != "" {
		to.Named = c.AsOf
	}
	if from.rev == to.rev && from.set.AsOf.After(to.set.AsOf) {
		from, to = to, from
		fmt.Fprintf(e.err, "tenths: %s is the later one: compared from %s to %s\n", ledger.Printable(to.Named), ledger.Printable(from.Named), ledger.Printable(to.Named))
	}
	for _, n := range []*named{from, to} {
		if first, rec := n.set.FirstDay(); n.rev == "" && rec != nil && n.set.AsOf.Before(first) {
			return hinted{fmt.Errorf("nothing is known of %s: the first day in the ledger is %s, of %s", n.set.AsOf.Format(time.DateOnly), first.Format(time.DateOnly), rec.Path), "name a later day, or write down what held before with a was entry"}
		}
	}
	cmp, err := study.Compare(from.set, to.set, c.For)
	if err != nil {
		return hinted{err, "--for takes the path of a characteristic, such as A-01/KC-1"}
	}
	sheet := report.Compare(cmp, from.StateName, to.StateName)
	if c.Format == "json" {
		return report.WriteJSON(e.out, sheet)
	}
	return sheet.WriteText(e.out)
}

// named is a state of the shop with what it was named by.
type named struct {
	report.StateName
	set *study.Set
	rev string // git revision; empty for the working tree
}

// state finds what is meant: a day, a lot, or a git revision.
func (c compareCmd) state(e env, o *opened, text string) (*named, error) {
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return &named{set: study.New(o.l, day), StateName: report.StateName{Named: text}}, nil
	}
	lot, lotErr := o.set.Lot(text)
	if lotErr == nil {
		n := &named{set: study.New(o.l, lot.Day), StateName: report.StateName{Named: text}}
		if !lot.Known {
			n.Note = lot.Why
		}
		return n, nil
	}
	unknown := (*study.UnknownLot)(nil)
	if !errors.As(lotErr, &unknown) {
		return nil, lotErr
	}
	l, err := atRevision(o.root, text)
	if err != nil {
		hint := "a day is written 2024-03-01; a lot is one that an inspection or a plan names; else it is a git revision"
		if unknown.Near != "" {
			hint = "did you mean " + unknown.Near + "?"
		}
		return nil, hinted{fmt.Errorf("%s is no day, no lot of this ledger and no git revision", ledger.Printable(text)), hint}
	}
	return &named{set: study.New(l, o.set.AsOf), StateName: report.StateName{Named: text}, rev: text}, nil
}

// atRevision loads the ledger as git has it at a revision.
func atRevision(root, rev string) (*ledger.Ledger, error) {
	repo, err := history.Open(context.Background(), root)
	if err != nil {
		return nil, err
	}
	return loadAt(repo, rev)
}

func loadAt(repo *history.Repo, rev string) (*ledger.Ledger, error) {
	src, err := repo.At(rev, repo.Prefix())
	if err != nil {
		return nil, err
	}
	return ledger.Load(src)
}
