package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

type deriveCmd struct {
	Paths  []string `arg:"" optional:"" help:"Files, folders, ids or paths of values; all derived values if none is given."`
	Write  bool     `xor:"do" help:"Write stale and missing values into their records; no other byte changes."`
	Check  bool     `xor:"do" help:"Print only what is stale, missing, outside its limits or cannot be computed; exit code 1 if there is any."`
	Format string   `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c deriveCmd) Help() string {
	return "Prints each value with its worst case, its root sum square and the share of each input. Without --write nothing is changed. With it, what was written is printed: the value that was kept, and the one that is now."
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
	bad := 0
	for _, d := range list {
		if wrong(d) {
			bad++
		}
	}
	if c.Write {
		return c.write(e, o, list)
	}
	if c.Format == "json" {
		err = deriveJSON(e.out, list, c.Check)
	} else {
		deriveText(e.out, list, c.Check, e.prefix(o.root))
	}
	if err == nil && c.Check && bad > 0 {
		return errFindings
	}
	return err
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
		pos := ledger.PositionOf(d.Rec.Src, d.D.Start)
		place := fmt.Sprintf("%s:%d", ledger.Printable(prefix+d.Rec.Path), pos.Line)
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
				if s.HalfWidth.Sign() != 0 {
					fmt.Fprintf(w, "    %s ±%s: %.0f %% of the worst case, %.0f %% of the root sum square\n", ledger.Printable(s.Path), study.Show(s.HalfWidth), 100*s.Worst, 100*s.RSS)
				}
			}
		}
		outside(w, d)
	}
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
	Lower   quantity.Quantity `json:"worst_lower"`
	Upper   quantity.Quantity `json:"worst_upper"`
	Middle  quantity.Quantity `json:"root_sum_square_middle"`
	Half    quantity.Quantity `json:"root_sum_square_half_width"`
	Method  string            `json:"worst_case_method"`
	Outside bool              `json:"outside_limits"`
	Shares  []jsonShare       `json:"shares"`
	Error   string            `json:"error,omitempty"`
}

func deriveJSON(w io.Writer, list []*study.Derived, onlyBad bool) error {
	out := []jsonDerived{}
	for _, d := range list {
		if onlyBad && !wrong(d) {
			continue
		}
		j := jsonDerived{Path: d.Path(), File: d.Rec.Path, Line: ledger.PositionOf(d.Rec.Src, d.D.Start).Line, Formula: d.D.Formula.S,
			Value: d.Value, Stale: d.Stale, Lower: d.Lower, Upper: d.Upper,
			Middle: d.RSSMiddle, Half: d.RSSHalf, Outside: d.Outside, Shares: []jsonShare{}}
		if d.D.Value.Set() {
			j.Kept = d.D.Value.Nominal()
		}
		if d.Err != nil {
			j.Error = d.Err.Error()
		} else {
			j.Method = d.Method.String()
		}
		for _, s := range d.Shares {
			j.Shares = append(j.Shares, jsonShare{s.Path, s.HalfWidth, s.Worst, s.RSS})
		}
		out = append(out, j)
	}
	return ledger.WriteJSON(w, out)
}

// write puts stale and missing values into their records, one file at a time,
// and prints those that it wrote.
func (c deriveCmd) write(e env, o *opened, list []*study.Derived) error {
	failed := 0
	edits := map[*ledger.Record][]ledger.Edit{}
	changed := map[*ledger.Record][]*study.Derived{}
	var order []*ledger.Record
	var written []*study.Derived
	for _, d := range list {
		if d.Err != nil {
			failed++
			fmt.Fprintf(e.err, "tenths: %s: %s cannot be computed: %s\n", ledger.Printable(e.prefix(o.root)+d.Rec.Path), ledger.Printable(d.D.Name.S), ledger.Printable(d.Err.Error()))
			continue
		}
		if !d.Stale && d.D.Value.Set() {
			continue
		}
		if edits[d.Rec] == nil {
			order = append(order, d.Rec)
		}
		edits[d.Rec] = append(edits[d.Rec], ledger.ValueEdit(d.Rec.Src, d.D, d.Text))
		changed[d.Rec] = append(changed[d.Rec], d)
	}
	for _, rec := range order {
		text, err := ledger.Apply(rec.Src, edits[rec])
		if err == nil {
			err = ledger.WriteFile(o.root, rec.Path, rec.Src, text)
		}
		if err != nil {
			failed++
			fmt.Fprintf(e.err, "tenths: %s%s: %v\n", e.prefix(o.root), rec.Path, err)
			continue
		}
		written = append(written, changed[rec]...)
		if c.Format == "json" {
			continue
		}
		for _, d := range changed[rec] {
			old := "nothing"
			if d.D.Value.Set() {
				old = d.D.Value.Tol.String()
			}
			fmt.Fprintf(e.out, "%s: %s: %s -> %s\n", ledger.Printable(e.prefix(o.root)+rec.Path), ledger.Printable(d.D.Name.S), old, d.Text)
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
