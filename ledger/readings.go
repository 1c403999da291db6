package ledger

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"tenths/calc/quantity"
)

// Bounds of one inspection: a shop's readings of ten years are some twenty
// thousand. All that is said about an inspection is computed from all of its
// readings, and a page shows each.
const (
	MaxPieces   = 5_000  // pieces, and entries of any list of a record
	MaxReadings = 20_000 // readings of all pieces
	MaxPoints   = 200    // readings of one piece
)

// tooMuch says why an inspection holds more than is read; empty if it does not.
func tooMuch(pieces, readings, points int) string {
	switch {
	case pieces > MaxPieces:
		return fmt.Sprintf("more than %d pieces; an inspection of more is not read", MaxPieces)
	case points > MaxPoints:
		return fmt.Sprintf("more than %d readings of one piece; more are not read", MaxPoints)
	case readings > MaxReadings:
		return fmt.Sprintf("more than %d readings; an inspection of more is not read", MaxReadings)
	}
	return ""
}

// bounded drops the readings of an inspection that holds too many.
func (in *Inspection) bounded() (at Span, msg string) {
	readings, points := len(in.Readings), 0
	for _, p := range in.Pieces {
		readings, points = readings+len(p.Values), max(points, len(p.Values))
	}
	if msg = tooMuch(len(in.Readings)+len(in.Pieces), readings, points); msg == "" {
		return at, ""
	}
	switch {
	case in.Pieces != nil:
		at = in.Pieces[0].Span
	default:
		at = in.Readings[0].Span
	}
	in.Readings, in.Pieces = nil, nil
	return at, msg
}

// Rows gives the readings piece by piece: those of the readings key, one a
// piece, then those of the reading tables, then those of a table beside the
// record. Void and superseded pieces are there too, with their standing: a piece
// that a later one corrects is superseded.
func (in *Inspection) Rows() []Reading {
	rows := make([]Reading, 0, len(in.Readings)+len(in.Pieces)+len(in.table))
	for i, v := range in.Readings {
		rows = append(rows, Reading{Span: v.Span, Piece: Text{S: fmt.Sprint(i + 1)}, Values: []Size{v}})
	}
	rows = append(rows, in.Pieces...)
	rows = append(rows, in.table...)
	for i := range rows {
		if rows[i].Corrects.S == "" {
			continue
		}
		// A table beside the record is read last, wherever its corrections stand.
		for j := range rows {
			old := &rows[j]
			earlier := j < i || j >= len(rows)-len(in.table)
			if earlier && old.Piece.S == rows[i].Corrects.S && old.Lot.S == rows[i].Lot.S && old.State.S != "void" {
				old.State.S = "superseded"
			}
		}
	}
	return rows
}

// Live reports whether the reading counts.
func (r Reading) Live() bool { return r.State.S != "void" && r.State.S != "superseded" }

// HasReadings reports whether the inspection holds anything at all.
func (in *Inspection) HasReadings() bool {
	return len(in.Readings)+len(in.Pieces)+len(in.table)+len(in.Touch)+len(in.Passes) > 0 || in.Count.Set() || in.From.S != ""
}

// HasSizes reports whether a reading that counts is a quantity.
func (in *Inspection) HasSizes() bool {
	for _, r := range in.Rows() {
		if r.Live() && len(r.Values) > 0 {
			return true
		}
	}
	return false
}

// readTable reads a table of readings beside the record: comma-separated, a
// first line of column names if it holds no number.
func (in *Inspection) readTable(rec *Record, name string, text []byte, cfg *Config) []Problem {
	fail := func(line int, msg string) []Problem {
		return []Problem{{Kind: Unreadable, File: rec.Path, Span: in.From.Span, Src: rec.Src, Msg: fmt.Sprintf("readings_from: %s line %d: %s", Printable(name), line, msg),
			Fix: "one line a piece, numbers between commas, at most a first line of names"}}
	}
	unit := cfg.DefaultUnit()
	if u := unitNamed(in.Units); !u.IsZero() {
		unit = u
	}
	if in.DeviationIn.Set() {
		if u, ok := quantity.LookupUnit(in.DeviationIn.S); ok {
			unit = u
		}
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	r.Comment = '#'
	var rows []Reading
	var columns []Text
	before, values := len(in.Readings)+len(in.Pieces), len(in.Readings)
	for _, p := range in.Pieces {
		values += len(p.Values)
	}
	pieceCol := -1
	for first := true; ; first = false {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line := 0
			if pe := (*csv.ParseError)(nil); errors.As(err, &pe) {
				line = pe.Line
			}
			return fail(line, Printable(err.Error()))
		}
		line, _ := r.FieldPos(0)
		names := first && header(cells, unit)
		points := len(cells)
		if pieceCol >= 0 || names {
			points--
		}
		pieces := before + len(rows)
		if !names {
			pieces, values = pieces+1, values+points
		}
		if msg := tooMuch(pieces, values, points); msg != "" {
			p := fail(line, msg)
			p[0].Fix = "split the table, one inspection for each part of it"
			return p
		}
		if names {
			for i, c := range cells {
				if strings.EqualFold(strings.TrimSpace(c), "piece") {
					pieceCol = i
				} else {
					columns = append(columns, Text{strings.TrimSpace(c), in.From.Span})
				}
			}
			continue
		}
		row := Reading{Span: in.From.Span, Piece: Text{S: fmt.Sprint(len(rows) + 1)}}
		for i, c := range cells {
			if i == pieceCol {
				row.Piece.S = c
				continue
			}
			t, err := quantity.ParseToleranced(c, unit)
			if err != nil {
				return fail(line, err.Error())
			}
			row.Values = append(row.Values, Size{&t, c, in.From.Span})
		}
		rows = append(rows, row)
	}
	in.table = rows
	// Of several columns, the names say which point each is; a single one is
	// called as people like.
	if len(columns) < 2 {
		return nil
	}
	if in.Points == nil {
		in.Points = columns
		return nil
	}
	if got, want := joined(columns), joined(in.Points); got != want {
		p := fail(1, fmt.Sprintf("the columns are %s, but points says %s", Printable(got), Printable(want)))
		p[0].Fix = "name the points in the order of the columns, or leave points out"
		return p
	}
	return nil
}

func joined(names []Text) string {
	var out []string
	for _, n := range names {
		out = append(out, n.S)
	}
	return strings.Join(out, ", ")
}

// header reports whether no cell of the line is a quantity.
func header(cells []string, unit quantity.Unit) bool {
	for _, c := range cells {
		if _, err := quantity.ParseToleranced(c, unit); err == nil {
			return false
		}
	}
	return true
}
