package main

import (
	"fmt"
	"path/filepath"
	"strings"

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
	runs, err := c.results(e)
	if err != nil {
		return err
	}
	failed := false
	for _, r := range runs {
		bad, err := c.print(e, r)
		if err != nil {
			return err
		}
		failed = failed || bad
	}
	if !failed {
		return nil
	}
	if c.Hook {
		fmt.Fprintln(e.err, "tenths: the commit is stopped; put the errors right and git add them, or concede one with its reason (tenths explain RULE)")
	}
	return errFindings
}

// linted is what the rules found in one ledger.
type linted struct {
	res    *lint.Result
	prefix string
}

// print gives the findings out and reports whether they reach the threshold.
func (c lintCmd) print(e env, r linted) (failed bool, err error) {
	failOn := c.FailOn
	if c.Hook {
		failOn = "error"
	}
	switch {
	case c.Format == "json":
		err = lint.WriteJSON(e.out, r.res)
	case c.Format == "sarif":
		err = lint.WriteSARIF(e.out, r.res, rules.All(), version(), r.prefix)
	case c.Hook:
		err = lint.WriteHook(e.out, r.res, r.prefix)
	default:
		err = lint.WriteText(e.out, r.res, r.prefix)
		if isTerminal(e.out) {
			fmt.Fprintf(e.err, "%d records: %s\n", r.res.Records, summary(r.res))
		}
	}
	if err != nil {
		return false, err
	}
	threshold, err := lint.ParseSeverity(failOn)
	if err != nil {
		return false, err
	}
	worst, ok := r.res.Worst()
	return ok && worst >= threshold, nil
}

// results runs the rules; there are none if there is nothing to check.
func (c lintCmd) results(e env) ([]linted, error) {
	if c.Hook || c.Staged {
		return c.staged(e)
	}
	dir := c.Ledger
	if dir == "" && len(c.Paths) > 0 {
		dir = c.Paths[0]
	}
	day, err := parseDay(c.AsOf, e.today)
	if err != nil {
		return nil, err
	}
	o, err := e.openAt(dir, day)
	if err != nil {
		return nil, err
	}
	only, err := c.selected(e, o)
	if err != nil {
		return nil, err
	}
	res, err := lint.Run(o.l, o.set, rules.All(), lint.Options{Only: only})
	return []linted{{res, e.prefix(o.root)}}, err
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
