package capture

import (
	"errors"
	"slices"
	"strings"

	"tenths/ledger"
)

// corrected finds what the readings stand for.
func (c *clerk) corrected(r *readings) *trouble {
	if c.ask.Corrects == "" {
		return nil
	}
	id, piece, _ := strings.Cut(c.ask.Corrects, "/")
	rec := c.l.Record(id)
	var in *ledger.Inspection
	if rec != nil {
		in, _ = rec.Data.(*ledger.Inspection)
	}
	if in == nil {
		t := because("no readings are called %s", ledger.Printable(id))
		var ids []string
		for _, rec := range c.l.Records {
			if rec.Kind() == ledger.KindInspection {
				ids = append(ids, rec.ID())
			}
		}
		if near := ledger.Nearest(id, ids, 4); near != "" {
			t.near = "--corrects " + near
		}
		return t
	}
	if in.Characteristic.S != r.place.path {
		return because("%s holds readings of %s, not of %s", id, orNothing(in.Characteristic.S), r.place.path)
	}
	r.last = in
	if piece == "" {
		r.corrects = id
		return nil
	}
	for _, row := range in.Rows() {
		if row.Piece.S == piece && row.Live() {
			r.into, r.piece = rec, piece
			return nil
		}
	}
	return because("%s has no piece %s that counts", id, ledger.Printable(piece))
}

func orNothing(s string) string {
	if s == "" {
		return "nothing that is named"
	}
	return s
}

// correct writes the readings of one piece into the set that holds the piece,
// below its others: the old reading stays as it is and counts no longer, and
// whatever names the set finds the new one.
func (c *clerk) correct(r *readings) (*Kept, *trouble, error) {
	in := r.into.Data.(*ledger.Inspection)
	switch {
	case len(r.rows) != 1:
		return nil, because("one piece has one reading at each point; to correct a whole set, name it without the piece"), nil
	case r.deviation != in.DeviationIn.S && in.DeviationIn.S != "":
		return nil, because("%s is written in deviations, in %s; write the correction so too", r.into.ID(), in.DeviationIn.S), nil
	case r.deviation != in.DeviationIn.S:
		return nil, because("%s is written in full sizes; write the correction so too", r.into.ID()), nil
	}
	name, id := r.into.Path, r.into.ID()
	unlock, err := ledger.LockFolder(c.root, name)
	if err != nil && !errors.Is(err, ledger.ErrNoLock) {
		return nil, nil, err
	}
	if err == nil {
		defer unlock()
	}
	old, err := ledger.ReadFile(c.root, name)
	if err != nil {
		return nil, nil, err
	}
	p := &page{name: name, old: old, text: old, newline: "\n"}
	var problems []ledger.Problem
	p.recs, problems = c.l.Parse(old, name)
	p.problems = len(problems)
	i := slices.IndexFunc(p.recs, func(rec *ledger.Record) bool { return rec.ID() == id })
	if i < 0 {
		return nil, because("%s was changed meanwhile and holds no %s", name, id), nil
	}
	if strings.HasPrefix(string(old), "+++\r\n") {
		p.newline = "\r\n"
	}
	table, at := "reading", p.endOf(i)
	if p.recs[i].IsEntry() {
		table = "entry.reading"
	}
	c.file = name
	row := c.row(table, r.piece, r.rows[0], r, r.piece)
	row.add("taken_from", c.ask.From)
	row.list("photos", c.photoNames())
	text := p.insert(at, row)
	if t := c.check(p, text, id); t != nil {
		return nil, t, nil
	}
	// Without a lock the file may be changed between the two looks that are taken
	// at it; it is then left alone, and the line is kept as unsorted.
	if err := ledger.WriteFile(c.root, name, old, []byte(text)); errors.Is(err, ledger.ErrChanged) {
		return nil, because("%s was changed meanwhile", name), nil
	} else if err != nil {
		return nil, nil, err
	}
	p.recs, _ = c.l.Parse([]byte(text), name)
	return c.kept(r, p, id, at), nil, nil
}
