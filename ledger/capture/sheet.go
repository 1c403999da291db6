package capture

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Sheet is a table of readings from a gauge or a spreadsheet, one piece a line.
type Sheet struct {
	Name      string // of the file, for messages and for the ledger
	SHA256    string
	Separator rune
	Comma     bool // decimals are written with a comma
	Columns   []Column
	Rows      []Row // lines that could be read
	Bad       []Cell
	Unread    []Row // lines with something that could not be read, as they stand
	Before    string
}

// Column says what a column was taken for: piece, lot, note, count, value, or the
// name of a point.
type Column struct {
	Number int // from 1
	Name   string
	As     string
	unit   string
}

// Row is one line of a sheet.
type Row struct {
	Line                    int
	Piece, Lot, Note, Count string
	Values                  []string
}

// Cell is a place of a sheet that could not be read.
type Cell struct {
	Line, Column    int
	Name, Text, Why string
}

// about are the columns beside the readings, with what they are called.
var about = map[string][]string{
	"piece": {"piece", "part", "no", "no.", "nr", "nr.", "#", "number", "sample"},
	"lot":   {"lot", "batch"},
	"note":  {"note", "remark", "comment"},
	"count": {"count", "at_count"},
}

// ReadSheet reads a CSV text (RFC 4180, or with semicolons or tabs). columns says
// which column is what, by name or number, where the names do not. Cells that are
// no readings are told; the error is for a sheet that cannot be understood.
func (c *clerk) readSheet(name string, text []byte, columns map[string]string, p *place) (*Sheet, error) {
	sum := sha256.Sum256(text)
	sh := &Sheet{Name: ledger.Printable(name), SHA256: hex.EncodeToString(sum[:])}
	text = bytes.TrimPrefix(text, []byte("\xEF\xBB\xBF"))
	if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		return nil, errors.New("the file is no UTF-8 text; save it as CSV in UTF-8")
	}
	skipped := 0
	if first, rest, ok := bytes.Cut(text, []byte("\n")); ok && bytes.HasPrefix(first, []byte("sep=")) && len(bytes.TrimSpace(first)) == 5 {
		sh.Separator, text, skipped = rune(first[4]), rest, 1
	} else {
		sh.Separator = separator(text)
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = sh.Separator, -1, true, true
	var lines [][]string
	var at []int
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		for i := range cells {
			cells[i] = strings.TrimSpace(ledger.Printable(cells[i]))
		}
		if strings.Join(cells, "") != "" {
			lines, at = append(lines, cells), append(at, line+skipped)
		}
	}
	if len(lines) == 0 {
		return nil, errors.New("there is no line in it")
	}
	sh.Comma = sh.Separator != ',' && slices.ContainsFunc(lines, func(l []string) bool { return slices.ContainsFunc(l, decimalComma.MatchString) })
	header := !slices.ContainsFunc(lines[0], func(cell string) bool { _, ok := sh.number(cell); return ok })
	if err := sh.name(lines, header, columns, p); err != nil {
		return nil, err
	}
	for i, cells := range lines {
		if i > 0 || !header {
			sh.row(cells, at[i])
		}
	}
	if len(sh.Rows) > ledger.MaxPieces || len(sh.Rows)*len(sh.points()) > ledger.MaxReadings {
		return nil, fmt.Errorf("%d lines; split the table into parts of no more than %d pieces and %d readings", len(sh.Rows), ledger.MaxPieces, ledger.MaxReadings)
	}
	for _, rec := range c.l.Records {
		if in, ok := rec.Data.(*ledger.Inspection); ok && strings.Contains(in.Imported.S, sh.SHA256) {
			sh.Before = rec.ID()
		}
	}
	return sh, nil
}

var (
	decimalComma = regexp.MustCompile(`^[+-]?\d*,\d+$`)
	headUnit     = regexp.MustCompile(`^(.*?)\s*[(\[]\s*([^()\[\]]+?)\s*[)\]]$`)
)

// separator is the sign between the cells: a tab or a semicolon wherever one
// stands outside of quotes, else a comma.
func separator(text []byte) rune {
	quoted, semicolon := false, false
	for _, b := range text {
		switch {
		case b == '"':
			quoted = !quoted
		case b == '\t' && !quoted:
			return '\t'
		case b == ';' && !quoted:
			semicolon = true
		}
	}
	if semicolon {
		return ';'
	}
	return ','
}

// number is a cell as the ledger writes it, if it is a quantity.
func (sh *Sheet) number(cell string) (string, bool) {
	if sh.Comma && decimalComma.MatchString(cell) {
		cell = strings.Replace(cell, ",", ".", 1)
	}
	_, err := quantity.ParseToleranced(cell, quantity.One)
	return cell, err == nil
}

// name finds out what each column is.
func (sh *Sheet) name(lines [][]string, header bool, said map[string]string, p *place) error {
	width := 0
	for _, l := range lines {
		width = max(width, len(l))
	}
	cols := make([]Column, width)
	for i := range cols {
		cols[i].Number = i + 1
		if header && i < len(lines[0]) {
			cols[i].Name = lines[0][i]
			if m := headUnit.FindStringSubmatch(cols[i].Name); m != nil {
				if u, ok := quantity.LookupUnit(m[2]); ok {
					cols[i].Name, cols[i].unit = m[1], u.Name()
				}
			}
		}
	}
	points := pointsOf(p.char)
	if p.point != "" {
		points = nil
	}
	for _, as := range slices.Sorted(maps.Keys(said)) {
		col := said[as]
		if _, ok := about[as]; !ok && as != "value" {
			id := pointNamed(p.char, as)
			if id == "" || points == nil {
				return fmt.Errorf("a column can be piece, lot, note, count, value or a point of %s; not %s", p.path, ledger.Printable(as))
			}
			as = id
		}
		i := slices.IndexFunc(cols, func(c Column) bool { return strings.EqualFold(c.Name, col) && c.Name != "" })
		if n, err := strconv.Atoi(col); i < 0 && err == nil && n >= 1 && n <= width {
			i = n - 1
		}
		if i < 0 {
			return fmt.Errorf("there is no column %s; there are %s", ledger.Printable(col), sh.list(cols))
		}
		cols[i].As = as
	}
	if said == nil {
		for i, c := range cols {
			for as, names := range about {
				if slices.Contains(names, strings.ToLower(c.Name)) {
					cols[i].As = as
				}
			}
			if id := pointNamed(p.char, c.Name); id != "" && points != nil {
				cols[i].As = id
			}
		}
	}
	sh.Columns = cols
	if sh.points() == nil {
		sh.guess(points, said != nil)
	}
	found := sh.points()
	if found == nil || len(points) > 1 && slices.Contains(found, "value") {
		want := "value=COLUMN"
		if len(points) > 1 {
			want = points[0] + "=COLUMN," + points[1] + "=COLUMN"
		}
		return fmt.Errorf("which columns hold the readings? There are %s; say it with --columns %s", sh.list(cols), want)
	}
	for i, f := range found {
		if slices.Contains(found[:i], f) {
			return fmt.Errorf("two columns are %s", f)
		}
	}
	return nil
}

// guess takes the columns that are left for the readings, if there are as many as
// there are points; without names, one more is the piece.
func (sh *Sheet) guess(points []string, said bool) {
	var left []int
	named := false
	for i, c := range sh.Columns {
		if c.As == "" {
			left = append(left, i)
			named = named || c.Name != ""
		}
	}
	want := points
	if len(want) < 2 {
		want = []string{"value"}
	}
	if !named && !said && len(left) == len(want)+1 {
		sh.Columns[left[0]].As = "piece"
		left = left[1:]
	}
	if len(left) == len(want) && (len(want) == 1 || !named) {
		for k, i := range left {
			sh.Columns[i].As = want[k]
		}
	}
}

func (sh *Sheet) list(cols []Column) string {
	var out []string
	for _, c := range cols {
		text := strconv.Itoa(c.Number)
		if c.Name != "" {
			text += " " + c.Name
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// points are the columns of readings in their order: value, or names of points.
func (sh *Sheet) points() []string {
	var out []string
	for _, c := range sh.Columns {
		if _, ok := about[c.As]; !ok && c.As != "" {
			out = append(out, c.As)
		}
	}
	return out
}

// unit is the one that the heads of the columns of readings name.
func (sh *Sheet) unit() (string, error) {
	unit := ""
	for i, c := range sh.Columns {
		if _, ok := about[c.As]; ok || c.As == "" {
			continue
		}
		if i > 0 && unit != "" && c.unit != unit {
			return "", fmt.Errorf("the columns of readings are in different units, %s and %q", unit, c.unit)
		}
		unit = c.unit
	}
	return unit, nil
}

// row reads one line; one that cannot be read is kept apart.
func (sh *Sheet) row(cells []string, line int) {
	row, bad := Row{Line: line}, false
	for i, c := range sh.Columns {
		cell := ""
		if i < len(cells) {
			cell = cells[i]
		}
		switch c.As {
		case "":
		case "piece":
			row.Piece = cell
		case "lot":
			row.Lot = cell
		case "note":
			row.Note = cell
		case "count":
			row.Count = cell
		default:
			value, ok := sh.number(cell)
			if !ok {
				bad = true
				why := "is no reading"
				if cell == "" {
					why = "is empty"
				}
				sh.Bad = append(sh.Bad, Cell{line, i + 1, c.Name, cell, why})
			}
			row.Values = append(row.Values, value)
		}
	}
	if bad {
		sh.Unread = append(sh.Unread, row)
		return
	}
	sh.Rows = append(sh.Rows, row)
}
