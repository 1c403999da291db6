package main

import (
	"fmt"

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
	if o.l.HoldsNotes(name) {
		return hinted{fmt.Errorf("%s would be read as notes and not as a record: %s lists it under plain", name, ledger.ConfigName), "take another id, or change plain"}
	}
	if c.DryRun {
		_, err := fmt.Fprint(e.out, text)
		return err
	}
	if err := ledger.CreateFile(o.root, name, text); err != nil {
		return err
	}
	fmt.Fprintln(e.out, ledger.Printable(e.prefix(o.root)+name))
	return nil
}
