package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/capture"
	"tenths/ledger/history"
	"tenths/ledger/report"
)

type importCmd struct {
	File     string            `arg:"" help:"Table of readings, one piece a line: CSV with commas, semicolons or tabs."`
	To       string            `required:"" placeholder:"PATH" help:"What was measured: A-01/KC-1, or A-01/KC-1/K3 for one point."`
	Columns  map[string]string `mapsep:"," placeholder:"WHAT=COLUMN,..." help:"Which column is what, by name or number: piece=1,K1=Left,K2=Right; value=3; also lot, note, count. By their names if not given."`
	Gauge    string            `placeholder:"ID" help:"Gauge, if it is another than last time."`
	By       string            `placeholder:"NAME" env:"TENTHS_BY" help:"Who measured."`
	On       string            `placeholder:"DATE" help:"Day of the readings (year-month-day); today if not given."`
	Lot      string            `placeholder:"LOT" help:"Lot, if it is another than last time."`
	Unit     string            `placeholder:"UNIT" help:"Unit of the readings; else that of the column's head, such as Width (mm)."`
	Purpose  string            `placeholder:"WORD" help:"What they are for: before, after, first-off ...; acceptance if not given."`
	Held     string            `placeholder:"WORD" help:"free or clamped."`
	Picked   string            `placeholder:"WORD" help:"How the pieces were chosen: consecutive, by lot, all, picked."`
	Note     string            `placeholder:"TEXT" help:"What was odd."`
	Write    bool              `help:"Keep the readings; without it they are only shown."`
	GoodOnly bool              `help:"Write even if some lines cannot be read: those are kept as unsorted lines."`
	Again    bool              `help:"Write even if the same file was imported before."`
	Format   string            `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c importCmd) Help() string {
	return `Reads a table from a gauge or a spreadsheet and shows what it would keep; --write keeps it, as a set of its own in the file of the person and day.

  tenths import width.csv --to WIDTH --lot L-51
  tenths import seam.csv --to A-01/KC-1 --columns piece=1,K1=Left,K4=Right --write

The separator, a decimal comma, a byte order mark and a first line of names are found out. What cannot be read is told by line and column. The same file is not imported twice. Exit code 1 if lines cannot be read, or if the file was imported before.`
}

func (c importCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	day, err := parseDay(c.On, o.set.AsOf)
	if err != nil {
		return fmt.Errorf("--on: %w", err)
	}
	text, err := readTable(e.path(c.File))
	if err != nil {
		return err
	}
	y, m, d := day.Date()
	im := capture.Import{Ask: capture.Ask{Words: []string{c.To}, On: time.Date(y, m, d, 0, 0, 0, 0, time.UTC), By: c.By, Gauge: c.Gauge, Lot: c.Lot,
		Unit: c.Unit, Purpose: c.Purpose, Held: c.Held, Picked: c.Picked, Note: c.Note},
		Name: filepath.Base(c.File), Text: text, Columns: c.Columns, Write: c.Write, Again: c.Again, Good: c.GoodOnly}
	if c.By == "" {
		im.User = history.User(context.Background(), o.root)
	}
	sh, k, err := capture.Table(o.root, o.set, im)
	odd := errors.Is(err, capture.ErrBefore) || errors.Is(err, capture.ErrUnread)
	if err != nil && !odd {
		return hinted{fmt.Errorf("%s: %w", c.File, err), "tenths import --help"}
	}
	if c.Format == "json" {
		j := importJSON(sh, k, c.Write && err == nil)
		if err != nil {
			j.Error = err.Error()
		}
		if err := report.WriteJSON(e.out, j); err != nil {
			return err
		}
	} else if err := c.tell(e.out, e.prefix(o.root), sh, k, err); err != nil {
		return err
	}
	if odd || sh.Bad != nil || !c.Write && sh.Before != "" && !c.Again {
		return errFindings
	}
	return nil
}

// readTable reads a file that is no longer than the ledger's own.
func readTable(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, ledger.MaxRecord+1))
	if err == nil && len(text) > ledger.MaxRecord {
		err = fmt.Errorf("%s has more than %d bytes; split it", name, ledger.MaxRecord)
	}
	return text, err
}

// shownValues is how many readings of a table are printed.
const shownValues = 40

func (c importCmd) tell(w io.Writer, prefix string, sh *capture.Sheet, k *capture.Kept, stopped error) error {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintln(&b, ledger.Printable(fmt.Sprintf(format, args...))) }
	var cols []string
	for _, col := range sh.Columns {
		if col.As != "" {
			cols = append(cols, strings.TrimSpace(fmt.Sprintf("%d %s", col.Number, col.Name))+" = "+col.As)
		}
	}
	say("%s: %d pieces; columns %s", sh.Name, len(sh.Rows), strings.Join(cols, ", "))
	for _, bad := range sh.Bad {
		name := ""
		if bad.Name != "" {
			name = " (" + bad.Name + ")"
		}
		say("    line %d, column %d%s: %q %s", bad.Line, bad.Column, name, bad.Text, bad.Why)
	}
	if k != nil {
		more := ""
		if n := len(k.Values); n > shownValues {
			more = fmt.Sprintf(" and %d more", n-shownValues)
		}
		some := *k
		some.Values = k.Values[:min(shownValues, len(k.Values))]
		facts := []string{values(&some) + more}
		for _, f := range []string{k.Gauge, k.On.Format(time.DateOnly), k.By, k.Lot} {
			if f != "" {
				facts = append(facts, f)
			}
		}
		say("%s: %s", strings.TrimSpace(k.Path+" "+k.Title), strings.Join(facts, ", "))
		for _, r := range append(k.Remarks[:len(k.Remarks):len(k.Remarks)], prefixed("look again: ", k.Warnings)...) {
			say("    %s", r)
		}
	}
	switch {
	case stopped != nil && errors.Is(stopped, capture.ErrBefore):
		say("%v; --again imports it all the same", stopped)
	case stopped != nil:
		say("%v; put them right, or let --good-only keep them as unsorted lines", stopped)
	case c.Write:
		say("kept as %s in %s", k.ID, prefix+k.File)
	case sh.Before != "" && !c.Again:
		say("the same file was imported before, as %s", sh.Before)
	default:
		say("nothing is written yet; --write keeps them as %s in %s", k.ID, prefix+k.File)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func prefixed(before string, texts []string) []string {
	var out []string
	for _, t := range texts {
		out = append(out, before+t)
	}
	return out
}

type jsonCell struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Name   string `json:"name,omitempty"`
	Text   string `json:"text"`
	Why    string `json:"why"`
}

type jsonImport struct {
	File    string     `json:"file"`
	SHA256  string     `json:"sha256"`
	Pieces  int        `json:"pieces"`
	Unread  []jsonCell `json:"unread"`
	Before  string     `json:"imported_before_as,omitempty"`
	Written bool       `json:"written"`
	Kept    *jsonKept  `json:"readings"`
	Error   string     `json:"error,omitempty"`
}

func importJSON(sh *capture.Sheet, k *capture.Kept, written bool) jsonImport {
	j := jsonImport{File: sh.Name, SHA256: sh.SHA256, Pieces: len(sh.Rows), Unread: []jsonCell{}, Before: sh.Before, Written: written}
	for _, bad := range sh.Bad {
		j.Unread = append(j.Unread, jsonCell(bad))
	}
	if k != nil {
		kept := keptJSON(k)
		j.Kept = &kept
	}
	return j
}
