package capture

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Import is a table of readings that is to become a set.
type Import struct {
	Ask            // To is its first word
	Name    string // of the file
	Text    []byte
	Columns map[string]string // what each column is, by name or number; nil to go by the names
	Write   bool              // else nothing is changed
	Again   bool              // even if the same file was imported before
	Good    bool              // even if some lines cannot be read; those wait to be sorted
}

// ErrBefore says that the same file was imported before.
var ErrBefore = errors.New("the same file was imported before")

// ErrUnread says that lines of the file cannot be read.
var ErrUnread = errors.New("lines of the file cannot be read; nothing was written")

// Table reads a table of readings and, if it is to, keeps it as a set of its own in
// the file of the person and day. The sheet tells what was understood even if an
// error says why nothing was written; it is nil if the file cannot be understood.
func Table(root string, s *study.Set, im Import) (*Sheet, *Kept, error) {
	c := &clerk{root: root, s: s, l: s.L, ask: im.Ask, dry: !im.Write, sheet: true}
	c.ask.Apart = true
	if len(im.Words) != 1 {
		return nil, nil, errors.New("say what was measured: --to A-01/KC-1")
	}
	place, remark, t := c.find(im.Words[0])
	if t != nil {
		if t.near != "" {
			return nil, nil, fmt.Errorf("%s; did you mean %s?", t.why, t.near)
		}
		return nil, nil, errors.New(t.why)
	}
	sh, err := c.readSheet(im.Name, im.Text, im.Columns, place)
	if err != nil {
		return nil, nil, err
	}
	if len(sh.Rows) == 0 {
		return sh, nil, ErrUnread
	}
	r := &readings{place: place, unit: c.ask.Unit, imported: sh.Name + " sha256:" + sh.SHA256, sheet: sh}
	if remark != "" {
		r.remarks = append(r.remarks, remark)
	}
	_, r.last = c.last(func(in *ledger.Inspection) bool { return in.Characteristic.S == place.path })
	r.note = ledger.Printable(c.ask.Note)
	if t = c.fill(r); t == nil {
		t = c.fromSheet(r, sh)
	}
	var kept *Kept
	if t == nil {
		c.by = c.person(r)
		switch {
		case !im.Write:
		case sh.Before != "" && !im.Again:
			return sh, nil, fmt.Errorf("%w, as %s; nothing was written", ErrBefore, sh.Before)
		case sh.Unread != nil && !im.Good:
			return sh, nil, ErrUnread
		}
		if kept, t, err = c.keep(r); t == nil {
			return sh, kept, err
		}
	}
	return sh, nil, errors.New(t.why + "; nothing was written")
}

// fromSheet takes the values of the sheet for those of pieces.
func (c *clerk) fromSheet(r *readings, sh *Sheet) *trouble {
	unit, err := sh.unit()
	if err != nil {
		return because("%v", err)
	}
	if r.unit == "" {
		r.unit = unit
	}
	var all []string
	for _, row := range sh.Rows {
		all = append(all, row.Values...)
	}
	if t := c.readUnits(r, all); t != nil {
		return t
	}
	width := len(sh.points())
	switch {
	case r.place.point != "":
		r.points = []string{r.place.point}
	case len(pointsOf(r.place.char)) > 1 && !slices.Equal(sh.points(), pointsOf(r.place.char)):
		r.points = sh.points()
	}
	for ; len(all) > 0; all = all[width:] {
		r.rows = append(r.rows, all[:width])
	}
	return nil
}

// fromRow gives the lines of one piece of a sheet.
func (c *clerk) fromRow(row Row, number string, values []string, r *readings) lines {
	one := *c
	one.ask.AtCount, one.ask.Clock = row.Count, ""
	if row.Piece != "" {
		number = row.Piece
	}
	named := *r
	named.note = strings.TrimSpace(row.Note)
	l := one.row("entry.reading", number, values, &named, "")
	l.add("lot", row.Lot)
	return l
}

// unread keeps the lines of a sheet that could not be read, one by one.
func (c *clerk) unread(r *readings, next func() string) lines {
	var l lines
	for _, row := range r.sheet.Unread {
		l = append(l, "", "[[unsorted]]")
		l.add("id", next())
		l.add("line", strings.TrimSpace(r.place.path+" "+strings.Join(row.Values, " ")))
		l.add("why", fmt.Sprintf("line %d of %s, piece %q", row.Line, r.sheet.Name, row.Piece))
	}
	return l
}
