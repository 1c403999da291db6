package weld

import (
	"fmt"
	"math/big"
	"strings"

	"tenths/calc/quantity"
)

// Standing says how far a value can be relied on.
type Standing string

const (
	Seen           Standing = "seen"            // read in the source named
	CommonPractice Standing = "common practice" // what shops use
	FromMemory     Standing = "from memory"     // no source at hand: check before use
)

// Process is an arc welding process.
type Process string

const (
	MMA Process = "MMA" // stick; SMAW is the same
	MAG Process = "MAG" // gas-shielded wire; GMAW is the same
	TIG Process = "TIG" // GTAW is the same
	SAW Process = "SAW" // submerged arc
)

// heatRow is a process with the share of the arc's energy that reaches the work,
// as printed by a steel maker's table that agrees with EN 1011-1.
type heatRow struct {
	process Process
	also    string // the American name
	factor  *big.Rat
}

func heatRows() []heatRow {
	return []heatRow{{MMA, "SMAW", big.NewRat(8, 10)}, {MAG, "GMAW", big.NewRat(8, 10)}, {TIG, "GTAW", big.NewRat(6, 10)}, {SAW, "SAW", big.NewRat(1, 1)}}
}

func (p Process) row() *heatRow {
	for _, r := range heatRows() {
		if strings.EqualFold(string(r.process), string(p)) || strings.EqualFold(r.also, string(p)) {
			return &r
		}
	}
	return nil
}

func processNames() string {
	var names []string
	for _, r := range heatRows() {
		name := string(r.process)
		if r.also != name {
			name += " (" + r.also + ")"
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

// Efficiency is the metal deposited over the filler used, by one source.
type Efficiency struct {
	Filler    string
	Low, High quantity.Quantity // plain numbers, equal for a single value
	Source    string
	Standing  Standing
}

// Efficiencies is a table of deposition efficiencies. Low and High are equal for
// a single value.
func Efficiencies() []Efficiency {
	const esab = "filler-metal maker's handbook (ESAB); which column is which gas partly from memory"
	pct := func(n int64) quantity.Quantity { return quantity.New(big.NewRat(n, 100), quantity.One) }
	return []Efficiency{
		{"solid wire, 98 argon 2 oxygen", pct(98), pct(98), esab, Seen},
		{"solid wire, 75 argon 25 carbon dioxide", pct(96), pct(96), esab, Seen},
		{"solid wire, carbon dioxide", pct(93), pct(93), esab, Seen},
		{"metal-cored wire", pct(93), pct(93), esab, Seen},
		{"flux-cored wire with gas", pct(86), pct(86), esab, Seen},
		{"flux-cored wire, self-shielded", pct(78), pct(78), esab, Seen},
		{"stick", pct(59), pct(66), esab, Seen},
		{"submerged arc", pct(99), pct(99), esab, Seen},
		{"TIG rod", pct(98), pct(98), "filler-metal table", Seen},
	}
}

// Shade is a pair of filter shade numbers for a range of currents.
type Shade struct {
	Minimum int // OSHA minimum, 29 CFR 1910.133
	Comfort int // suggested for comfort, guide after ANSI Z49.1; 0: none printed
}

func (s Shade) comfort() string {
	if s.Comfort == 0 {
		return "no other printed (29 CFR 1910.133)"
	}
	return fmt.Sprintf("%d suggested to start from (29 CFR 1910.133; guide after ANSI Z49.1:1999)", s.Comfort)
}

// ShadeFor is the shade for a current in amperes, a plain number, up to 500. A
// current on the border of two ranges takes the darker. False for processes and currents that
// the table here does not hold: nothing is known then.
func ShadeFor(p Process, amps quantity.Quantity) (Shade, bool) {
	type step struct {
		upTo int64 // amperes; the border itself belongs to the next step
		s    Shade
	}
	var steps []step
	switch r := p.row(); {
	case r == nil || amps.Dim() != quantity.Number || amps.Sign() <= 0:
		return Shade{}, false
	case r.process == MAG:
		steps = []step{{60, Shade{7, 0}}, {160, Shade{10, 11}}, {250, Shade{10, 12}}, {500, Shade{10, 14}}}
	case r.process == TIG:
		steps = []step{{50, Shade{8, 10}}, {150, Shade{8, 12}}, {500, Shade{10, 14}}}
	}
	for i, st := range steps {
		c := amps.Rat().Cmp(big.NewRat(st.upTo, 1))
		if c < 0 || c == 0 && i == len(steps)-1 {
			return st.s, true
		}
	}
	return Shade{}, false
}
