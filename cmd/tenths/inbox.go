package main

import (
	"context"
	"fmt"
	"io"
	"path"
	"strings"

	"tenths/ledger"
	"tenths/ledger/capture"
	"tenths/ledger/history"
	"tenths/ledger/report"
)

type inboxCmd struct {
	Take   bool   `help:"Take the lines over as readings. The notes stay as they are and may grow; no line is taken twice."`
	By     string `placeholder:"NAME" env:"TENTHS_BY" help:"Who wrote them."`
	Format string `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c inboxCmd) Help() string {
	return `The folder inbox/ of the ledger is where a phone, or anybody, drops notes (.txt, .md) and pictures. Each line of a note is what would be typed behind tenths record; a day, a time and a picture may be said with it:

  2026-11-25 14:05 WIDTH +3 -1 note: burr at K3 photo: IMG_2207.jpg
  KC-1 K1=+3 K4=-1.5

Without a day it is that of the name of the note, such as phone-2026-11-25.txt, else today. The time is kept as the phone says it, beside that of this machine. A line that cannot be read is kept as unsorted. A line that begins with # is none.

Without --take nothing is changed.`
}

func (c inboxCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	box := capture.Look(o.root, o.set)
	out := inboxJSON{Lines: []inboxLine{}, Changed: []inboxLine{}, TakenBefore: box.Taken, Photos: append([]string{}, box.Photos...), Problems: append([]string{}, box.Problems...)}
	for _, d := range box.Changed {
		out.Changed = append(out.Changed, lineJSON(d))
	}
	prefix := e.prefix(o.root)
	var b strings.Builder
	for _, d := range box.Lines {
		l := lineJSON(d)
		if c.Take {
			k, err := d.Take(o.root, o.set, c.By, history.User(context.Background(), o.root), e.today)
			if err != nil {
				_, _ = io.WriteString(e.out, b.String())
				return fmt.Errorf("%s:%d: %w; it was not taken over, and waits", ledger.Printable(d.File), d.Line, err)
			}
			j := keptJSON(k)
			l.Kept = &j
			if err := tell(&b, prefix, k); err != nil {
				return err
			}
			// What was taken is what the next line goes on from.
			if o, err = c.open(e); err != nil {
				return err
			}
		}
		out.Lines = append(out.Lines, l)
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, out)
	}
	c.list(&b, prefix, box)
	_, err = io.WriteString(e.out, b.String())
	return err
}

// list prints what waits.
func (c inboxCmd) list(b *strings.Builder, prefix string, box *capture.Dropbox) {
	name := func(p string) string { return ledger.Printable(prefix + p) }
	if !c.Take {
		for _, d := range box.Lines {
			fmt.Fprintf(b, "%s:%d: %s\n", name(d.File), d.Line, ledger.Printable(said(d)))
		}
		if len(box.Lines) > 0 {
			b.WriteString("    to take them over: tenths inbox --take\n")
		}
	}
	for _, d := range box.Changed {
		fmt.Fprintf(b, "%s:%d: look again: taken over before, and changed since: %s\n    correct the readings with --corrects\n", name(d.File), d.Line, ledger.Printable(said(d)))
	}
	for _, p := range box.Photos {
		fmt.Fprintf(b, "%s: a picture\n", name(p))
	}
	if len(box.Photos) > 0 {
		fmt.Fprintf(b, "    to sort one: tenths record PATH VALUE... --photo %s, or name it under photos in a record\n", name(box.Photos[0]))
	}
	for _, p := range box.Problems {
		fmt.Fprintf(b, "look again: %s\n", ledger.Printable(p))
	}
	if len(box.Lines)+len(box.Changed)+len(box.Photos)+len(box.Problems) == 0 {
		b.WriteString("nothing waits in the inbox\n")
	}
}

// said is a line as it will be taken.
func said(d capture.Dropped) string {
	var parts []string
	if d.HasDay {
		parts = append(parts, d.Day.Format("2006-01-02"))
	}
	for _, p := range append([]string{d.Clock, d.Text}, d.Photos...) {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, " ")
}

type inboxLine struct {
	File   string    `json:"file"`
	Line   int       `json:"line"`
	On     string    `json:"on,omitempty"`
	Time   string    `json:"time,omitempty"`
	Text   string    `json:"text"`
	Photos []string  `json:"photos"`
	Kept   *jsonKept `json:"kept,omitempty"`
}

type inboxJSON struct {
	Lines       []inboxLine `json:"lines"`
	Changed     []inboxLine `json:"changed_since_taken"`
	TakenBefore int         `json:"taken_before"`
	Photos      []string    `json:"photos"`
	Problems    []string    `json:"problems"`
}

func lineJSON(d capture.Dropped) inboxLine {
	l := inboxLine{File: path.Clean(d.File), Line: d.Line, Time: d.Clock, Text: d.Text, Photos: append([]string{}, d.Photos...)}
	if d.HasDay {
		l.On = d.Day.Format("2006-01-02")
	}
	return l
}
