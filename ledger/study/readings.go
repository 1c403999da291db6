package study

import (
	"math/big"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// FarOut is how many widths of the limits a reading may lie from the nominal
// before it is taken for a slip (trade practice; ISO 14253-1 knows no such rule).
const FarOut = 20

// SameFrom is how many pieces with the very same reading are a sign of copied
// readings or of a gauge that does not show the spread.
const SameFrom = 8

// Read is one reading that counts, with what it says of itself.
type Read struct {
	Checked
	Slip *Slip // the mix-up of units that explains the reading, or nil
	// OtherKind is set if the limits are of another kind of quantity.
	OtherKind  bool
	Far        bool // more than FarOut widths of the limits from the nominal
	OutOfRange bool // outside what the gauge can measure
	TooFine    bool // has digits that the gauge cannot show
	Negative   bool // a size or a form below nothing

	limits *quantity.Toleranced // nil without limits of the same kind
}

// Off is how far the reading lies from the nominal; the zero Quantity without one.
func (r Read) Off() quantity.Quantity {
	if r.limits == nil {
		return quantity.Quantity{}
	}
	off, err := r.Full.Sub(r.limits.Nominal)
	if err != nil {
		return quantity.Quantity{}
	}
	return off.Abs()
}

// Limit is the limit that the reading lies outside of, and how far it lies
// beyond; zero Quantities for a reading inside.
func (r Read) Limit() (limit, beyond quantity.Quantity) {
	if r.limits == nil {
		return limit, beyond
	}
	switch r.Side {
	case quantity.Below:
		limit = r.limits.Lower
		beyond, _ = limit.Sub(r.Full)
	case quantity.Above:
		limit = r.limits.Upper
		beyond, _ = r.Full.Sub(limit)
	}
	return limit, beyond
}

// Readings is what the readings of an inspection say of themselves, whatever
// they say of the part.
type Readings struct {
	Rec      *ledger.Record
	In       *ledger.Inspection
	CharRec  *ledger.Record         // nil if no characteristic that is there is named
	Char     *ledger.Characteristic // as of the day of the readings
	GaugeRec *ledger.Record         // nil if no gauge that is there is named
	Gauge    *ledger.Gauge
	// Step is the smallest step that is read on the gauge: its resolution, or
	// the fraction that is estimated between its marks. Absent if not known.
	Step ledger.Size
	// Live leaves out void and superseded pieces.
	Live []Read
	// Same is the number of pieces if all of them read alike, at least SameFrom
	// pieces; else 0.
	Same int
}

// Readings looks at the readings of an inspection; nil if the record is none.
// Comparisons are exact. The answer is not kept: over years, readings are by far
// the most numerous of all things in a ledger.
func (s *Set) Readings(rec *ledger.Record) *Readings {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok {
		return nil
	}
	out := &Readings{Rec: rec, In: in}
	day := s.AsOf
	if in.On.Set() {
		day = in.On.T
	}
	out.CharRec, out.Char = s.characteristic(in.Characteristic.S, day)
	if gr := s.L.Record(in.Gauge.S); gr != nil {
		if g, ok := gr.Data.(*ledger.Gauge); ok {
			out.GaugeRec, out.Gauge = gr, g
			out.Step = g.Resolution
			if g.Reads.Set() {
				out.Step = g.Reads
			}
		}
	}
	for _, c := range s.Checks(rec) {
		if c.Row.Live() {
			out.Live = append(out.Live, out.look(c))
		}
	}
	if out.Gauge == nil || !IsAttribute(out.Gauge) {
		out.Same = same(in)
	}
	return out
}

// OddReadings is Readings with only those that say something odd: a mix-up of
// units, another kind of quantity, too far out, below nothing, outside the gauge's
// range, or finer than it shows; and the first one if all pieces read the same. It
// is kept, since odd readings are few.
func (s *Set) OddReadings(rec *ledger.Record) *Readings {
	return s.odd.get(rec, func() *Readings {
		r := s.Readings(rec)
		if r == nil {
			return nil
		}
		var few []Read
		for i, v := range r.Live {
			if v.Slip != nil || v.OtherKind || v.Far || v.Negative || v.OutOfRange || v.TooFine || i == 0 && r.Same > 0 {
				few = append(few, v)
			}
		}
		r.Live = few
		return r
	})
}

func (r *Readings) look(c Checked) Read {
	v := Read{Checked: c}
	if r.Char != nil && r.Char.Judge.S == "spread" {
		// The limits are those of the spread, not of a piece.
		v.HasLimits = false
	}
	v.TooFine = r.tooFine(c)
	if c.Problem != "" {
		return v
	}
	v.OutOfRange = r.outOfRange(c)
	if r.Char == nil {
		return v
	}
	switch r.Char.Type.S {
	case "size", "runout", "flatness", "roughness", "profile":
		v.Negative = c.Full.Sign() < 0
	}
	lim := r.Char.Limits
	if !lim.Set() || r.Char.Judge.S == "spread" {
		return v
	}
	if _, err := c.Full.Cmp(lim.Nominal()); err != nil {
		v.OtherKind = true
		return v
	}
	v.limits = lim.Tol
	// A class such as c9 has its limits many widths from the nominal: what lies
	// inside them is never far out.
	if c.Side == quantity.Inside {
		return v
	}
	width, ok := lim.Tol.Width()
	if !ok || width.Sign() == 0 {
		return v
	}
	v.Far = v.Off().Rat().Cmp(new(big.Rat).Mul(width.Rat(), big.NewRat(FarOut, 1))) > 0
	if !r.In.DeviationIn.Set() {
		v.Slip = SlipOf(c.Full, lim.Nominal())
	}
	return v
}

// outOfRange reports whether the gauge can show neither the size nor what was
// written: an indicator's range is that of deviations, a micrometer's that of sizes.
func (r *Readings) outOfRange(c Checked) bool {
	if r.Gauge == nil || !r.Gauge.Range.Set() {
		return false
	}
	for _, q := range []quantity.Quantity{c.Full, c.Written.Nominal()} {
		side, err := r.Gauge.Range.Tol.Side(q)
		if err != nil || side == quantity.Inside {
			return false
		}
	}
	return true
}

// tooFine reports whether neither the size nor what was written is a whole
// number of steps of the gauge. A limit gauge shows no steps.
func (r *Readings) tooFine(c Checked) bool {
	if r.Gauge == nil || IsAttribute(r.Gauge) || !r.Step.Set() || r.Step.Nominal().Sign() <= 0 {
		return false
	}
	step := r.Step.Nominal()
	for _, q := range []quantity.Quantity{c.Written.Nominal(), c.Full} {
		if q.IsZeroValue() {
			continue
		}
		if q.Dim() != step.Dim() || q.Unit().Point() || new(big.Rat).Quo(q.Rat(), step.Rat()).IsInt() {
			return false
		}
	}
	return true
}

// same counts the pieces if every piece that counts has the same readings.
func same(in *ledger.Inspection) int {
	n := 0
	var first []ledger.Size
	for _, row := range in.Rows() {
		if !row.Live() {
			continue
		}
		if n++; n == 1 {
			first = row.Values
			continue
		}
		if len(row.Values) != len(first) {
			return 0
		}
		for i, v := range row.Values {
			if d, err := v.Nominal().Cmp(first[i].Nominal()); err != nil || d != 0 {
				return 0
			}
		}
	}
	if n < SameFrom || len(first) == 0 {
		return 0
	}
	return n
}
