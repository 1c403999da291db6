package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/report"
	"tenths/ledger/study"
)

type deriveCmd struct {
	Paths  []string `arg:"" optional:"" help:"Files, folders, ids or paths of values; all derived values if none is given."`
	Write  bool     `xor:"do" help:"Write stale and missing values into their records; no other byte changes."`
	Check  bool     `xor:"do" help:"Print only what is stale, missing, outside its limits or cannot be computed; exit code 1 if there is any."`
	Why    bool     `xor:"do" help:"Print what each value follows from, down to the measured ones, with places and days."`
	Format string   `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c deriveCmd) Help() string {
	return "Prints each value with its worst case, its root sum square and the share of each input. Without --write nothing is changed. With it, what was written is printed: the value that was kept, and the one that is now. A value with keep = \"prediction made on 2024-03-01\" stays as it is, and what follows from it takes it so; one with on = 2024-03-11 takes the states of that day. tenths derive --why A-01/gap prints where the numbers come from: the file and line of each, the survey or state that it stands in, and since when that holds."
}

func (c deriveCmd) Run(e env) error {
	o, err := c.open(e)
	if err != nil {
		return err
	}
	list, err := c.selected(e, o)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		fmt.Fprintln(e.err, "tenths: no record has a derived value; tenths explain part shows how one is written")
	}
	bad := 0
	for _, d := range list {
		if wrong(d) {
			bad++
		}
	}
	switch {
	case c.Write:
		return c.write(e, o, list)
	case c.Why:
		err = c.why(e, o, list)
	case c.Format == "json":
		err = deriveJSON(e.out, list, c.Check)
	default:
		deriveText(e.out, list, c.Check, e.prefix(o.root))
	}
	if err == nil && c.Check && bad > 0 {
		return errFindings
	}
	return err
}

func (c deriveCmd) why(e env, o *opened, list []*study.Derived) error {
	sheet := report.Why(o.set, list)
	if c.Format == "json" {
		return report.WriteJSON(e.out, sheet)
	}
	return sheet.WriteText(e.out)
}

// selected gives the derived values that were asked for.
func (c deriveCmd) selected(e env, o *opened) ([]*study.Derived, error) {
	all := o.set.Derived()
	if len(c.Paths) == 0 {
		return all, nil
	}
	var out []*study.Derived
	for _, p := range c.Paths {
		n := len(out)
		file := p
		if rel, err := filepath.Rel(resolved(o.root), resolved(e.path(p))); err == nil {
			file = filepath.ToSlash(rel)
		}
		for _, d := range all {
			if d.Path() == p || d.Rec.ID() == p || d.Rec.Path == file || strings.HasPrefix(d.Rec.Path, file+"/") || file == "." {
				out = append(out, d)
			}
		}
		if len(out) == n {
			return nil, fmt.Errorf("%s names no derived value", p)
		}
	}
	return out, nil
}

func deriveText(w io.Writer, list []*study.Derived, onlyBad bool, prefix string) {
	for _, d := range list {
		place := placeOf(d, prefix)
		name := ledger.Printable(d.D.Name.S)
		switch {
		case d.Err != nil:
			fmt.Fprintf(w, "%s: %s cannot be computed: %s\n", place, name, ledger.Printable(d.Err.Error()))
			if d.Hint != "" {
				fmt.Fprintf(w, "    %s\n", ledger.Printable(d.Hint))
			}
			continue
		case d.Stale:
			fmt.Fprintf(w, "%s: %s = %s, the record says %s\n", place, name, d.Text, d.D.Value.Tol)
		case !d.D.Value.Set():
			fmt.Fprintf(w, "%s: %s = %s, not in the record yet\n", place, name, d.Text)
		case onlyBad && !d.Outside:
			continue
		case d.D.Keep.Set():
			fmt.Fprintf(w, "%s: %s = %s, kept as %s: %s\n", place, name, d.Text, d.D.Value.Tol, ledger.Printable(d.D.Keep.S))
		default:
			fmt.Fprintf(w, "%s: %s = %s\n", place, name, d.Text)
		}
		if onlyBad {
			outside(w, d)
			continue
		}
		if worst, err := d.Lower.Cmp(d.Upper); err == nil && worst != 0 {
			fmt.Fprintf(w, "    worst case %s to %s (%s)", study.Show(d.Lower), study.Show(d.Upper), d.Method)
			if !d.RSSHalf.IsZeroValue() {
				fmt.Fprintf(w, "; root sum square %s ±%s", study.Show(d.RSSMiddle), study.Show(d.RSSHalf))
			}
			fmt.Fprintln(w)
			for _, s := range d.Shares {
				name, half := s.Path, s.HalfWidth
				if s.Members != nil {
					name, half = s.Path+", which moves "+s.Moves()+",", s.Effect
				}
				if !half.IsZeroValue() && half.Sign() != 0 {
					fmt.Fprintf(w, "    %s ±%s: %.0f %% of the worst case, %.0f %% of the root sum square\n", ledger.Printable(name), study.Show(half), 100*s.Worst, 100*s.RSS)
				}
			}
		}
		outside(w, d)
	}
}

// placeOf is where a derived value stands, or what keeps it from being computed.
func placeOf(d *study.Derived, prefix string) string {
	file := ledger.Printable(prefix + d.Rec.Path)
	if d.Err != nil {
		pos := ledger.PositionOf(d.Rec.Src, d.ErrAt.Start)
		return fmt.Sprintf("%s:%d:%d", file, pos.Line, pos.Column)
	}
	return fmt.Sprintf("%s:%d", file, ledger.PositionOf(d.Rec.Src, d.D.Start).Line)
}

func outside(w io.Writer, d *study.Derived) {
	if d.Outside {
		fmt.Fprintf(w, "    the worst case, %s to %s, leaves the limits %s\n", study.Show(d.Lower), study.Show(d.Upper), d.D.Limits.Tol)
	}
}

// wrong reports whether a derived value is stale, missing, outside its limits or
// cannot be computed.
func wrong(d *study.Derived) bool {
	return d.Err != nil || d.Stale || !d.D.Value.Set() || d.Outside
}

type jsonShare struct {
	Name      string            `json:"name"`
	Moves     []string          `json:"moves,omitempty"` // by a common source
	HalfWidth quantity.Quantity `json:"half_width"`
	Worst     float64           `json:"share_of_worst_case"`
	RSS       float64           `json:"share_of_root_sum_square"`
}

type jsonDerived struct {
	Path    string            `json:"path"`
	File    string            `json:"file"`
	Line    int               `json:"line"`
	Formula string            `json:"formula"`
	Value   quantity.Quantity `json:"value"`
	Kept    quantity.Quantity `json:"kept"`
	Stale   bool              `json:"stale"`
	// KeptFor is why the value in the record is kept and not computed anew.
	KeptFor string            `json:"kept_because,omitempty"`
	Lower   quantity.Quantity `json:"worst_lower"`
	Upper   quantity.Quantity `json:"worst_upper"`
	Middle  quantity.Quantity `json:"root_sum_square_middle"`
	Half    quantity.Quantity `json:"root_sum_square_half_width"`
	Method  string            `json:"worst_case_method"`
	Outside bool              `json:"outside_limits"`
	Shares  []jsonShare       `json:"shares"`
	Error   string            `json:"error,omitempty"`
	// ErrorLine and ErrorColumn are where the trouble is.
	ErrorLine   int    `json:"error_line,omitempty"`
	ErrorColumn int    `json:"error_column,omitempty"`
	Hint        string `json:"hint,omitempty"`
}

func deriveJSON(w io.Writer, list []*study.Derived, onlyBad bool) error {
	out := []jsonDerived{}
	for _, d := range list {
		if onlyBad && !wrong(d) {
			continue
		}
		j := jsonDerived{Path: d.Path(), File: d.Rec.Path, Line: ledger.PositionOf(d.Rec.Src, d.D.Start).Line, Formula: d.D.Formula.S,
			Value: d.Value, Stale: d.Stale, KeptFor: d.D.Keep.S, Lower: d.Lower, Upper: d.Upper,
			Middle: d.RSSMiddle, Half: d.RSSHalf, Outside: d.Outside, Shares: []jsonShare{}}
		if d.D.Value.Set() {
			j.Kept = d.D.Value.Nominal()
		}
		if d.Err != nil {
			pos := ledger.PositionOf(d.Rec.Src, d.ErrAt.Start)
			j.Error, j.ErrorLine, j.ErrorColumn, j.Hint = d.Err.Error(), pos.Line, pos.Column, d.Hint
		} else {
			j.Method = d.Method.String()
		}
		for _, s := range d.Shares {
			j.Shares = append(j.Shares, jsonShare{s.Path, s.Members, s.HalfWidth, s.Worst, s.RSS})
		}
		out = append(out, j)
	}
	return ledger.WriteJSON(w, out)
}

// write puts stale and missing values into their records, one file at a time,
// and prints those that it wrote.
func (c deriveCmd) write(e env, o *opened, list []*study.Derived) error {
	failed := 0
	prefix := e.prefix(o.root)
	for _, d := range list {
		if d.Err != nil {
			failed++
			fmt.Fprintf(e.err, "tenths: %s: %s cannot be computed: %s\n", placeOf(d, prefix), ledger.Printable(d.D.Name.S), ledger.Printable(d.Err.Error()))
		}
	}
	var written []*study.Derived
	for _, f := range study.Refresh(list) {
		err := f.Err
		if err == nil {
			err = ledger.WriteFile(o.root, f.File, f.Old, f.New)
		}
		if err != nil {
			failed++
			fmt.Fprintf(e.err, "tenths: %s: %v\n", ledger.Printable(prefix+f.File), err)
			continue
		}
		written = append(written, f.Values...)
		if c.Format == "json" {
			continue
		}
		for _, d := range f.Values {
			old := "nothing"
			if d.D.Value.Set() {
				old = d.D.Value.Tol.String()
			}
			fmt.Fprintf(e.out, "%s: %s: %s -> %s\n", ledger.Printable(prefix+f.File), ledger.Printable(d.D.Name.S), old, d.Text)
		}
	}
	if c.Format == "json" {
		if err := deriveJSON(e.out, written, false); err != nil {
			return err
		}
	}
	if failed > 0 {
		return errFindings
	}
	return nil
}
