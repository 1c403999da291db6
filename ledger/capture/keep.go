package capture

import (
	"slices"
	"strconv"
	"strings"

	"tenths/ledger"
)

// keep writes the readings into the file of the person and day: into the last set
// of the characteristic, if nothing but the pieces differs, else as a set of their
// own. So a set grows while other things are measured on the same pieces.
func (c *clerk) keep(r *readings) (*Kept, *trouble, error) {
	var id string
	var at int
	p, t, err := c.change(c.by, c.ask.On, func(p *page) (string, *trouble) {
		var l lines
		c.file = p.name
		first, end := 1, p.recs[0].EndOfKeys()
		if i := p.lastOf(r.place.path); i > 0 && !c.ask.Apart && r.joins(p.recs[i], c.ask) {
			id, end = p.recs[i].ID(), p.endOf(i)
			for _, row := range p.recs[i].Data.(*ledger.Inspection).Rows() {
				if n, err := strconv.Atoi(row.Piece.S); err == nil {
					first = max(first, n+1)
				}
			}
		} else {
			id = p.next("")
			l = c.entry(r, id)
		}
		for i, row := range r.rows {
			if i > 0 || len(l) > 0 {
				l = append(l, "")
			}
			if r.sheet != nil {
				l = append(l, c.fromRow(r.sheet.Rows[i], strconv.Itoa(first+i), row, r)...)
			} else {
				l = append(l, c.row("entry.reading", strconv.Itoa(first+i), row, r, "")...)
				if i == 0 {
					l.add("taken_from", c.ask.From)
				}
				if i == len(r.rows)-1 {
					l.list("photos", c.photoNames())
				}
			}
		}
		if r.sheet != nil {
			l = append(l, c.unread(r, p.counter("u"))...)
		}
		at = end
		text := p.insert(end, l)
		if t := c.check(p, text, id); t != nil {
			return "", t
		}
		return c.mark(p, text, id, &at), nil
	})
	if t != nil || err != nil {
		return nil, t, err
	}
	if c.from != nil && c.from.Path != p.name {
		if err := c.markElsewhere(id); err != nil {
			return nil, nil, err
		}
	}
	return c.kept(r, p, id, at), nil, nil
}

// joins reports whether readings go on with a set: nothing but the pieces differs.
func (r *readings) joins(rec *ledger.Record, a Ask) bool {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || r.rows == nil || r.corrects != "" || len(in.Pieces) == 0 || len(in.Pieces)+len(r.rows) > ledger.MaxPieces ||
		in.Corrects.Set() || in.Imported.Set() || in.State.S != "valid" || in.Count.Set() || in.Touch != nil {
		return false
	}
	units := r.units
	if units == "" {
		units = in.Units.S
	}
	var points []string
	for _, p := range in.Points {
		points = append(points, p.S)
	}
	return in.Characteristic.S == r.place.path && slices.Equal(points, r.points) && in.Gauge.S == r.gauge && in.Lot.S == r.lot &&
		in.Part.S == r.part && in.Units.S == units && in.DeviationIn.S == r.deviation && in.NominalIs.Raw == r.nominalIs &&
		in.Held.S == r.held && in.Picked.S == r.picked && in.Compare.B == r.compare && in.Purpose.S == a.Purpose
}

// entry gives the lines of a new set, without its pieces.
func (c *clerk) entry(r *readings, id string) lines {
	l := lines{"[[entry]]"}
	l.add("id", id)
	l.add("purpose", c.ask.Purpose)
	l.add("part", r.part)
	l.add("characteristic", r.place.path)
	l.list("points", r.points)
	l.add("lot", r.lot)
	l.add("gauge", r.gauge)
	l.add("picked", r.picked)
	l.add("held", r.held)
	l.add("units", r.units)
	l.add("deviation_in", r.deviation)
	l.add("nominal_is", r.nominalIs)
	if r.compare {
		l = append(l, "comparison = true")
	}
	l.add("corrects", r.corrects)
	if r.corrects != "" {
		l.add("why", ledger.Printable(c.ask.Why))
	}
	l.add("count", r.count)
	l.add("counts", r.counts)
	l.add("touch", strings.Join(r.touch, " "))
	l.add("imported", r.imported)
	if r.rows == nil || r.sheet != nil {
		l.add("time", c.ask.Clock)
		l.add("note", c.noted(r.note))
	}
	if r.rows == nil {
		l.add("taken_from", c.ask.From)
		l.list("photos", c.photoNames())
	}
	return l
}

// row gives the lines of one piece.
func (c *clerk) row(table, piece string, values []string, r *readings, corrects string) lines {
	l := lines{"[[" + table + "]]"}
	l.add("piece", piece)
	if slices.ContainsFunc(values, func(v string) bool { return strings.Contains(v, " ") }) {
		l.list("values", values)
	} else {
		l.add("values", strings.Join(values, " "))
	}
	if c.ask.AtCount != "" {
		l.add("at_count", c.ask.AtCount+" parts")
	}
	l.add("corrects", corrects)
	if corrects != "" {
		l.add("why", ledger.Printable(c.ask.Why))
	}
	l.add("time", c.ask.Clock)
	l.add("note", c.noted(r.note))
	return l
}

// check reads the page as it would stand and says what the ledger could not read
// of it.
func (c *clerk) check(p *page, text, id string) *trouble {
	recs, problems := c.l.Parse([]byte(text), p.name)
	if len(problems) > p.problems {
		return because("%s", problems[len(problems)-1].Msg)
	}
	if !slices.ContainsFunc(recs, func(r *ledger.Record) bool { return r.ID() == id }) {
		return because("the file %s cannot take it", p.name)
	}
	return nil
}

// kept tells what the readings below an offset of the page are now.
func (c *clerk) kept(r *readings, p *page, id string, at int) *Kept {
	k := &Kept{File: p.name, ID: id, Path: r.place.path, Title: r.place.char.Title.S, On: c.ask.On, Remarks: r.remarks}
	rec := p.recs[slices.IndexFunc(p.recs, func(rec *ledger.Record) bool { return rec.ID() == id })]
	in := rec.Data.(*ledger.Inspection)
	k.Gauge, k.Lot, k.By = in.Gauge.S, in.Lot.S, in.By.S
	if in.On.Set() {
		k.On = in.On.T
	}
	switch {
	case r.count != "":
		k.Count = strings.TrimSpace(r.count + " " + r.counts)
	case r.touch != nil:
		k.Count = strings.Join(r.touch, " ")
	}
	c.tell(k, rec, at)
	return k
}
