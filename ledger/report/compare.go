package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// CompareSheet is what differed in the shop between two states.
type CompareSheet struct {
	From StateName `json:"from"`
	To   StateName `json:"to"`
	// For is the characteristic that it is looked at for; empty if for none.
	For   string `json:"for"`
	Title string `json:"title"`
	Unit  string `json:"unit"` // of the effects
	// Things are what differs, with a characteristic sorted by what it can do.
	Things []DifferingThing `json:"things"`
	// Together is what all of it does; NotComputed says why that is not known.
	Together    []EffectRow `json:"together"`
	NotComputed string      `json:"not_computed,omitempty"`
	Assumed     []string    `json:"assumed"`
}

// StateName says which state is meant: a day, and in words what it was named by.
type StateName struct {
	Day   string `json:"day"`
	Named string `json:"named"`
	Note  string `json:"note,omitempty"`
}

// DifferingThing is a thing that was not the same. Standing is "can act", "near"
// or "elsewhere" with a characteristic, else empty.
type DifferingThing struct {
	Path     string        `json:"path"`
	Record   string        `json:"record"`
	Kind     string        `json:"kind"`
	Title    string        `json:"title"`
	Standing string        `json:"standing"`
	Changes  []string      `json:"changes"` // those that touched it in between
	Keys     []DifferentIn `json:"differs_in"`
	Effect   []EffectRow   `json:"effect"`
}

// DifferentIn is one key with what it was and what it is; empty if it was, or is,
// not there.
type DifferentIn struct {
	Key  string `json:"key"`
	Was  string `json:"was"`
	Is   string `json:"is"`
	On   string `json:"on"` // day from which it is so; empty if it is not known
	File string `json:"file"`
	Line int    `json:"line"`
}

// EffectRow is what a difference does at one place. Mean and Range, half of what
// 95 of 100 assemblies read within, are null where only a place moves.
type EffectRow struct {
	At        string            `json:"at"`
	Along     string            `json:"along"`
	Change    quantity.Quantity `json:"change"`
	MeanFrom  quantity.Quantity `json:"mean_from"`
	MeanTo    quantity.Quantity `json:"mean_to"`
	RangeFrom quantity.Quantity `json:"range_from"`
	RangeTo   quantity.Quantity `json:"range_to"`
}

// Words for what a difference can do.
const (
	canAct    = "can act"
	isNear    = "near"
	elsewhere = "elsewhere"
)

// Compare lays out a comparison of two states.
func Compare(c *study.Comparison, from, to StateName) *CompareSheet {
	from.Day, to.Day = day(c.From.AsOf), day(c.To.AsOf)
	sh := &CompareSheet{From: from, To: to, NotComputed: line(c.NoEffect), Things: []DifferingThing{}, Together: []EffectRow{}, Assumed: []string{}}
	show := func(float64) quantity.Quantity { return quantity.Quantity{} }
	if c.Char != nil {
		unit := c.Unit()
		sh.For, sh.Title, sh.Unit = c.CharRec.ID()+"/"+c.Char.ID.S, line(c.Char.Title.S), unit.Name()
		show = func(mm float64) quantity.Quantity {
			q, err := quantity.FromFloat(mm, quantity.Millimetre).As(unit)
			if err != nil || math.IsNaN(mm) {
				return quantity.Quantity{}
			}
			return study.Rounded(q, 1)
		}
	}
	rows := func(list []study.EffectAt) []EffectRow {
		out := []EffectRow{}
		for _, e := range list {
			r := EffectRow{At: line(e.At), Along: e.Along, Change: show(e.Change)}
			if e.Mean != [2]float64{} || e.Range != [2]float64{} {
				r.MeanFrom, r.MeanTo, r.RangeFrom, r.RangeTo = show(e.Mean[0]), show(e.Mean[1]), show(e.Range[0]), show(e.Range[1])
			}
			out = append(out, r)
		}
		return out
	}
	for _, t := range c.Things {
		d := DifferingThing{Path: line(t.Path), Record: line(t.Rec.ID()), Kind: string(t.Rec.Kind()), Title: line(t.Title), Changes: []string{}, Keys: []DifferentIn{}, Effect: rows(t.Effect)}
		switch {
		case c.Char == nil:
		case t.Acts:
			d.Standing = canAct
		case t.Near:
			d.Standing = isNear
		default:
			d.Standing = elsewhere
		}
		for _, rec := range t.Changes {
			d.Changes = append(d.Changes, line(rec.ID()))
		}
		for _, k := range t.Keys {
			d.Keys = append(d.Keys, DifferentIn{Key: line(k.Key), Was: line(k.Was), Is: line(k.Is), On: day(k.On), File: k.Rec.Path, Line: lineOf(k.Rec, k.At)})
		}
		sh.Things = append(sh.Things, d)
	}
	sh.Together = rows(c.Together)
	for _, a := range c.Assumed {
		sh.Assumed = append(sh.Assumed, line(a))
	}
	return sh
}

// name is how the sheet calls a state.
func (n StateName) name() string {
	if n.Named == "" || n.Named == n.Day {
		return n.Day
	}
	return n.Named + " (" + n.Day + ")"
}

// WriteText prints what differed, thing by thing.
func (sh *CompareSheet) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "From %s to %s", line(sh.From.name()), line(sh.To.name()))
	if sh.For != "" {
		fmt.Fprintf(&b, ", for %s: %s", sh.For, sh.Title)
	}
	b.WriteString("\n")
	for _, n := range []StateName{sh.From, sh.To} {
		if n.Note != "" {
			fmt.Fprintf(&b, "%s: %s\n", line(n.Named), line(n.Note))
		}
	}
	if len(sh.Things) == 0 {
		b.WriteString("\nNothing differs.\n")
	}
	for _, part := range []struct{ standing, head string }{
		{"", "What differs"}, {canAct, "Can act on it"}, {isNear, "Near it, but does not act on it"}, {elsewhere, "Elsewhere in the shop"},
	} {
		head := "\n" + part.head + "\n"
		for _, t := range sh.Things {
			if t.Standing == part.standing {
				b.WriteString(head)
				head = ""
				t.write(&b, sh)
			}
		}
	}
	sh.together(&b)
	_, err := io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

func (t DifferingThing) write(b *strings.Builder, sh *CompareSheet) {
	fmt.Fprintf(b, "  %s: %s%s\n", t.Path, t.Title, prefixed("  by ", strings.Join(t.Changes, ", ")))
	var rows [][]string
	for _, k := range t.Keys {
		place := fmt.Sprintf("%s:%d", line(k.File), k.Line)
		since := prefixed("since ", k.On)
		switch {
		case k.Key == "there" && k.Was == "":
			rows = append(rows, []string{"new" + prefixed(" ", since), place})
		case k.Key == "there" && k.Is == "":
			rows = append(rows, []string{"gone" + prefixed(" ", since), place})
		default:
			rows = append(rows, []string{k.Key, orWord(k.Was, "nothing") + " -> " + orWord(k.Is, "nothing"), since, place})
		}
	}
	writeColumns(b, "      ", rows)
	if words := t.effect(); words != "" {
		fmt.Fprintf(b, "      does: %s\n", words)
	} else if t.Standing == canAct && sh.NotComputed == "" && t.Kind != string(ledger.KindPlan) && t.Kind != string(ledger.KindPart) {
		b.WriteString("      does: not computed\n")
	}
}

// effect says in one line what a thing does.
func (t DifferingThing) effect() string {
	var moves, ranges []string
	along := map[string]bool{}
	unit := ""
	for _, e := range t.Effect {
		along[e.Along] = true
		unit = " " + e.Change.Unit().Name()
		if e.Change.Sign() != 0 {
			at := e.At
			if e.RangeFrom.IsZeroValue() {
				at += " " + e.Along
			}
			moves = append(moves, at+" "+strings.TrimSuffix(signed(e.Change), unit))
		}
		if c, err := e.RangeFrom.Cmp(e.RangeTo); err == nil && c != 0 {
			ranges = append(ranges, e.At+" ±"+number(e.RangeFrom)+" -> ±"+number(e.RangeTo))
		}
	}
	switch {
	case len(t.Effect) == 0:
		return ""
	case moves == nil && ranges == nil:
		return "nothing that shows"
	}
	out := ""
	if moves != nil {
		out = "moves the mean of " + strings.Join(moves, ", ") + unit
		if t.Effect[0].RangeFrom.IsZeroValue() {
			out = "moves " + strings.Join(moves, ", ") + unit
		}
	}
	if ranges != nil {
		if out != "" {
			out += "; "
		}
		out += "range " + strings.Join(ranges, ", ") + unit
	}
	return out
}

// together prints what all differences do to the characteristic.
func (sh *CompareSheet) together(b *strings.Builder) {
	if sh.For == "" {
		return
	}
	if sh.NotComputed != "" {
		fmt.Fprintf(b, "\nEffects are not computed: %s\n", sh.NotComputed)
		return
	}
	if len(sh.Together) == 0 {
		return
	}
	b.WriteString("\nAll together, computed from the records\n")
	rows := [][]string{{"at", "change", "mean before", "after", "95 of 100 before", "after"}}
	for _, e := range sh.Together {
		r := []string{e.At + " " + e.Along, signed(e.Change)}
		if !e.RangeFrom.IsZeroValue() {
			r = append(r, number(e.MeanFrom), number(e.MeanTo), "±"+number(e.RangeFrom), "±"+number(e.RangeTo))
		}
		rows = append(rows, r)
	}
	if len(rows[1]) == 2 {
		rows[0] = rows[0][:2]
	}
	writeColumns(b, "  ", rows)
	for _, a := range sh.Assumed {
		fmt.Fprintf(b, "  taken: %s\n", a)
	}
}
