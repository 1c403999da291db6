package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"tenths/ledger"
	"tenths/ledger/history"
	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

type lintCmd struct {
	Paths  []string `arg:"" optional:"" help:"Files or folders of one ledger; the whole ledger if none is given."`
	Staged bool     `help:"Check what git would commit instead of the files of the working folder."`
	Hook   bool     `help:"As a pre-commit hook: what git would commit, a short list, and only errors stop it."`
	Format string   `enum:"text,json,sarif" default:"text" help:"text, json or sarif."`
	FailOn string   `enum:"note,warning,error" default:"warning" help:"Lowest severity that makes the exit code 1: note, warning or error."`

	inLedger
}

func (c lintCmd) Help() string {
	return "Prints what is wrong, why it matters and what to do, and nothing when all is well. Exit code 0: nothing at or above --fail-on; 1: findings; 2: the check could not be done. tenths explain RULE tells more."
}

func (c lintCmd) Run(e env) error {
	res, prefix, err := c.result(e)
	if err != nil || res == nil {
		return err
	}
	if c.Hook {
		c.FailOn = "error"
		err = lint.WriteHook(e.out, res, prefix)
	} else {
		switch c.Format {
		case "json":
			err = lint.WriteJSON(e.out, res)
		case "sarif":
			err = lint.WriteSARIF(e.out, res, rules.All(), version(), prefix)
		default:
			err = lint.WriteText(e.out, res, prefix)
		}
	}
	if err != nil {
		return err
	}
	if !c.Hook && c.Format == "text" && isTerminal(e.out) {
		fmt.Fprintf(e.err, "%d records: %s\n", res.Records, summary(res))
	}
	threshold, err := lint.ParseSeverity(c.FailOn)
	if err != nil {
		return err
	}
	if worst, ok := res.Worst(); ok && worst >= threshold {
		if c.Hook {
			fmt.Fprintln(e.err, "tenths: the commit is stopped; put the errors right, or concede one with its reason (tenths explain RULE)")
		}
		return errFindings
	}
	return nil
}

// result runs the rules; it is nil if there is nothing to check.
func (c lintCmd) result(e env) (*lint.Result, string, error) {
	if c.Hook || c.Staged {
		return c.staged(e)
	}
	dir := c.Ledger
	if dir == "" && len(c.Paths) > 0 {
		dir = c.Paths[0]
	}
	day, err := parseDay(c.AsOf, e.today)
	if err != nil {
		return nil, "", err
	}
	o, err := e.openAt(dir, day)
	if err != nil {
		return nil, "", err
	}
	only, err := c.selected(e, o)
	if err != nil {
		return nil, "", err
	}
	res, err := lint.Run(o.l, o.set, rules.All(), lint.Options{Only: only})
	return res, e.prefix(o.root), err
}

// selected gives the files named on the command line, nil for all.
func (c lintCmd) selected(e env, o *opened) (map[string]bool, error) {
	if len(c.Paths) == 0 {
		return nil, nil
	}
	only := map[string]bool{}
	for _, p := range c.Paths {
		abs, err := filepath.Abs(e.path(p))
		if err != nil {
			return nil, err
		}
		rel, err := filepath.Rel(resolved(o.root), resolved(abs))
		if err != nil || rel == ".." || strings.HasPrefix(rel, ".."+string(filepath.Separator)) {
			return nil, fmt.Errorf("%s is not in the ledger of %s; check one ledger at a time", p, c.Paths[0])
		}
		if rel == "." {
			return nil, nil
		}
		rel = filepath.ToSlash(rel)
		found := false
		for name := range o.l.Files {
			if name == rel || strings.HasPrefix(name, rel+"/") {
				only[name], found = true, true
			}
		}
		if !found {
			return nil, fmt.Errorf("there is no %s in the ledger", p)
		}
	}
	return only, nil
}

func (c lintCmd) staged(e env) (*lint.Result, string, error) {
	if len(c.Paths) > 0 {
		return nil, "", errors.New("--staged checks what git would commit and takes no paths")
	}
	day, err := parseDay(c.AsOf, e.today)
	if err != nil {
		return nil, "", err
	}
	dir := e.path(c.Ledger)
	root, err := ledger.FindRoot(dir)
	if err == nil {
		dir = root
	} else if !errors.Is(err, ledger.ErrNoLedger) {
		return nil, "", err
	}
	repo, err := history.Open(context.Background(), dir)
	if err != nil {
		return nil, "", err
	}
	changed, deleted, err := repo.Staged(repo.Prefix())
	if err != nil {
		return nil, "", err
	}
	if len(changed)+len(deleted) == 0 {
		return nil, "", nil
	}
	src, err := repo.Index(repo.Prefix())
	if err != nil {
		return nil, "", err
	}
	l, err := ledger.Load(src)
	if errors.Is(err, ledger.ErrNoLedger) {
		if c.Hook {
			fmt.Fprintf(e.err, "tenths: nothing was checked: %s is not in what git would commit\n", ledger.ConfigName)
			return nil, "", nil
		}
		return nil, "", hinted{err, "git add " + ledger.ConfigName}
	}
	if err != nil {
		return nil, "", err
	}
	only := map[string]bool{}
	for _, p := range append(changed, deleted...) {
		only[p] = true
	}
	res, err := lint.Run(l, study.New(l, day), rules.All(), lint.Options{Only: only, Referring: true, Deleted: len(deleted) > 0})
	return res, e.prefix(dir), err
}

// summary counts the findings in words.
func summary(res *lint.Result) string {
	var parts []string
	for _, s := range []lint.Severity{lint.Error, lint.Warning, lint.Note} {
		if n := res.Count(s); n == 1 {
			parts = append(parts, "1 "+s.String())
		} else if n > 1 {
			parts = append(parts, fmt.Sprintf("%d %ss", n, s))
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "nothing found")
	}
	if n := len(res.Conceded); n > 0 {
		parts = append(parts, fmt.Sprintf("%d conceded", n))
	}
	return strings.Join(parts, ", ")
}
