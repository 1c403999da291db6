package study

import (
	"errors"
	"fmt"
	"math/big"

	"tenths/calc/boring"
	"tenths/calc/gauge"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// gainSpread is how far either way the gain of the next pass may lie from what
// a cutter has been learned to have (half of the range 0.8 to 1.0 that is common
// practice for small cutters).
var gainSpread = big.NewRat(1, 10)

// Boring is a hole on its way to size, with what to do next.
type Boring struct {
	Limits quantity.Toleranced // of the diameter
	Of     string              // path of what is bored
	Step   boring.Step
}

// Boring computes the next pass of an inspection that holds passes of boring to
// size; nil if it holds none. The hole is the characteristic, feature or other
// size that the inspection names, its limits those of the day. A plug without a
// tolerance of its own takes that of the gauge's class and sign, else the
// gauge's uncertainty to both sides.
//
// Errors are written for the person at the machine: no limits, a plug of
// unknown making, values that make no sense.
func (s *Set) Boring(rec *ledger.Record) (*Boring, error) {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok || len(in.Passes) == 0 {
		return nil, nil
	}
	day := s.AsOf
	if in.On.Set() {
		day = in.On.T
	}
	out := &Boring{Of: in.Characteristic.S}
	if _, c := s.characteristic(in.Characteristic.S, day); c != nil && c.Limits.Set() {
		out.Limits = *c.Limits.Tol
	} else if size, _, err := s.L.ValueOn(in.Characteristic.S, day); err == nil {
		out.Limits = *size.Tol
	}
	if !out.Limits.HasLower() || !out.Limits.HasUpper() {
		return nil, fmt.Errorf("%s gives no two limits for the hole; name its size under characteristic, such as P-10/H1/size", orNone(in.Characteristic.S))
	}
	job := boring.Job{Limits: out.Limits}
	for i, p := range in.Passes {
		facts, err := s.facts(in, p)
		if err != nil {
			return nil, fmt.Errorf("pass %d: %w", i+1, err)
		}
		if i == 0 && (!p.Radius.Set() || p.Radius.Nominal().Sign() == 0) {
			job.Start = facts
			continue
		}
		if !p.Radius.Set() {
			return nil, fmt.Errorf("pass %d does not say how much farther out the cutter was sent (radius)", i+1)
		}
		job.Passes = append(job.Passes, boring.Pass{Change: p.Radius.Nominal(), Facts: facts})
	}
	job.Gain = s.gain(in.Passes[len(in.Passes)-1])
	var err error
	out.Step, err = boring.Next(job)
	return out, err
}

func orNone(path string) string {
	if path == "" {
		return "the inspection"
	}
	return path
}

// gain takes what was learned of the cutter before, if its record says so.
func (s *Set) gain(p ledger.Pass) boring.Gain {
	rec := s.L.Record(p.Tool.S)
	if rec == nil {
		return boring.Gain{}
	}
	t, ok := rec.Data.(*ledger.Tool)
	if !ok || !t.Gain.Set() {
		return boring.Gain{}
	}
	k := t.Gain.Nominal().Rat()
	low := new(big.Rat).Sub(k, gainSpread)
	if low.Sign() <= 0 {
		return boring.Gain{}
	}
	return boring.Gain{
		Low:  quantity.New(low, quantity.One),
		High: quantity.New(new(big.Rat).Add(k, gainSpread), quantity.One),
	}
}

// facts are what the plugs said after a pass.
func (s *Set) facts(in *ledger.Inspection, p ledger.Pass) ([]boring.Fact, error) {
	var out []boring.Fact
	for _, plug := range []struct {
		size    ledger.Size
		entered bool
	}{{p.Go, true}, {p.NotGo, false}} {
		if !plug.size.Set() {
			continue
		}
		t, err := s.plug(in, plug.size)
		if err != nil {
			return nil, err
		}
		out = append(out, boring.Fact{Gauge: t, Entered: plug.entered})
	}
	return out, nil
}

// plug is the range in which the true size of a plug lies.
func (s *Set) plug(in *ledger.Inspection, size ledger.Size) (quantity.Toleranced, error) {
	if size.Tol.HasLower() && size.Tol.HasUpper() {
		return *size.Tol, nil
	}
	none := fmt.Errorf("the plug %s has no tolerance: write one, such as \"0.1875 +0.00004/-0\", or give the gauge its class and sign", size.Nominal())
	rec := s.L.Record(in.Gauge.S)
	if rec == nil {
		return quantity.Toleranced{}, none
	}
	g, ok := rec.Data.(*ledger.Gauge)
	if !ok {
		return quantity.Toleranced{}, none
	}
	if class, err := gauge.ParseClass(g.Class.S); err == nil && g.Sign.Set() {
		sign := map[string]gauge.Sign{"plus": gauge.Plus, "minus": gauge.Minus, "master": gauge.Master}[g.Sign.S]
		return class.Gauge(size.Nominal(), sign)
	}
	if g.U.Set() {
		lower, err1 := size.Nominal().Sub(g.U.Nominal())
		upper, err2 := size.Nominal().Add(g.U.Nominal())
		if err := errors.Join(err1, err2); err != nil {
			return quantity.Toleranced{}, err
		}
		return quantity.WithLimits(size.Nominal(), lower, upper)
	}
	return quantity.Toleranced{}, none
}
