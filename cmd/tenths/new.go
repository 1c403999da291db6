package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tenths/ledger"
)

type newCmd struct {
	Kind   string `arg:"" help:"part, fixture, tool, gauge, machine, plan, inspection or change."`
	ID     string `arg:"" help:"Short spoken name, such as FX1 or CH-04."`
	Title  string `placeholder:"TEXT" help:"What a person calls it."`
	DryRun bool   `help:"Print the record instead of writing it."`

	inLedger
}

func (c newCmd) Help() string {
	return "Asks for nothing. The record is a draft (a change: proposed) and left in peace by the checks until its state says otherwise. tenths explain KIND lists every key."
}

func (c newCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	if taken := o.l.WithID(c.ID); len(taken) > 0 {
		return hinted{fmt.Errorf("%s is the id of %s already", c.ID, taken[0].Path), "an id is never used again; take another"}
	}
	units := o.l.Config.Units.S
	name, text, err := ledger.Scaffold(ledger.Kind(c.Kind), c.ID, c.Title, units, o.set.AsOf)
	if err != nil {
		return err
	}
	if c.DryRun {
		_, err := fmt.Fprint(e.out, text)
		return err
	}
	file := filepath.Join(o.root, filepath.FromSlash(name))
	if err := create(file, text); err != nil {
		return err
	}
	fmt.Fprintln(e.out, e.prefix(o.root)+name)
	return nil
}

// create writes a new file and never an existing one.
func create(file, text string) error {
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s is there already; nothing was written", filepath.Base(file))
	}
	if err != nil {
		return err
	}
	if _, err := f.WriteString(text); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
