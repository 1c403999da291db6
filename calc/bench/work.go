package bench

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"tenths/calc/quantity"
)

// work is one question being answered: it reads the texts, keeps the first
// error, so that a subject reads as its formula does, and shows results in the
// unit that was asked for.
type work struct {
	err  error
	unit quantity.Unit // of the answer; zero: as the question
}

// start reads the options of a question whose answer has the dimension d.
func start(o Options, d quantity.Dim) *work {
	w := &work{}
	name := strings.TrimSpace(o.Units)
	if name == "" {
		return w
	}
	u, ok := quantity.LookupUnit(name)
	switch {
	case !ok:
		w.fail("units: there is no unit %q; type %s", name, unitsFor(d))
	case u.Point() || u.Dim() != d:
		w.fail("units: %s measures %s and the answer is %s; type %s", name, article(kindOf(u)), article(d.String()), unitsFor(d))
	default:
		w.unit = u
	}
	return w
}

// noUnits refuses a unit where the answer has none.
func (w *work) noUnits(o Options, what string) {
	if strings.TrimSpace(o.Units) != "" {
		w.fail("units: %s has no unit; leave it out", what)
	}
}

func kindOf(u quantity.Unit) string {
	if u.Point() {
		return "temperature"
	}
	return u.Dim().String()
}

// unitsFor names units of a dimension.
func unitsFor(d quantity.Dim) string {
	switch d {
	case quantity.Length:
		return "in, mm, thou, tenths, um or uin"
	case quantity.Angle:
		return "deg, arcmin or arcsec"
	case quantity.Force:
		return "N, lbf or ozf"
	}
	return "a unit of " + d.String() + ", or leave it out"
}

// fail sets the error unless an earlier one stands.
func (w *work) fail(format string, a ...any) {
	if w.err == nil {
		w.err = fmt.Errorf(format, a...)
	}
}

func (w *work) keep(q quantity.Quantity, err error) quantity.Quantity {
	if w.err == nil {
		w.err = err
	}
	return q
}

func (w *work) add(a, b quantity.Quantity) quantity.Quantity { return w.keep(a.Add(b)) }
func (w *work) sub(a, b quantity.Quantity) quantity.Quantity { return w.keep(a.Sub(b)) }
func (w *work) div(a, b quantity.Quantity) quantity.Quantity { return w.keep(a.Div(b)) }

// Dimensions that have no name in package quantity.
var (
	feedDim      = quantity.Length.Over(quantity.Time)
	torqueDim    = quantity.Force.Times(quantity.Length)
	stressDim    = quantity.Force.Over(quantity.Length).Over(quantity.Length)
	expansionDim = quantity.Number.Over(quantity.TemperatureDifference)
)

// noun is what a person calls a value of the dimension.
func noun(d quantity.Dim) string {
	switch d {
	case feedDim:
		return "a feed"
	case torqueDim:
		return "a torque"
	case stressDim:
		return "a stress"
	case expansionDim:
		return "a coefficient of expansion"
	}
	return article(d.String())
}

func article(s string) string {
	if s != "" && strings.ContainsRune("aeiou", rune(s[0])) {
		return "an " + s
	}
	return "a " + s
}

// missing is the error for a value that was not given.
func (w *work) missing(name string, d quantity.Dim, eg string) {
	w.fail("%s: no value; type %s, such as %s", name, noun(d), eg)
}

// given reads a quantity that may be left out.
func (w *work) given(name, text string, d quantity.Dim, eg string) quantity.Quantity {
	if w.err != nil || strings.TrimSpace(text) == "" {
		return quantity.Quantity{}
	}
	def := quantity.Unit{}
	if d == quantity.Number {
		def = quantity.One
	}
	q, err := quantity.Parse(text, def)
	switch {
	case err != nil:
		w.fail("%s: %w", name, err)
	case q.Dim() != d || q.Unit().Point():
		w.fail("%s: %s is %s; type %s, such as %s", name, q, article(q.Kind()), noun(d), eg)
	}
	if w.err != nil {
		return quantity.Quantity{}
	}
	return q
}

// needed reads a quantity above 0 that must be there.
func (w *work) needed(name, text string, d quantity.Dim, eg string) quantity.Quantity {
	if strings.TrimSpace(text) == "" {
		w.missing(name, d, eg)
	}
	return w.above(name, text, d, eg)
}

// above reads a quantity above 0 that may be left out.
func (w *work) above(name, text string, d quantity.Dim, eg string) quantity.Quantity {
	q := w.given(name, text, d, eg)
	if w.err == nil && !q.IsZeroValue() && q.Sign() <= 0 {
		w.fail("%s: %s is not above 0; type %s above 0, such as %s", name, q, noun(d), eg)
	}
	return q
}

// zeroOr reads a quantity of 0 or above that may be left out.
func (w *work) zeroOr(name, text string, d quantity.Dim, eg string) quantity.Quantity {
	q := w.given(name, text, d, eg)
	if w.err == nil && q.Sign() < 0 {
		w.fail("%s: %s is below 0; type 0 or more, such as %s", name, q, eg)
	}
	return q
}

// temperature reads a temperature that may be left out.
func (w *work) temperature(name, text string) quantity.Quantity {
	if w.err != nil || strings.TrimSpace(text) == "" {
		return quantity.Quantity{}
	}
	q, err := quantity.Parse(text, quantity.Unit{})
	switch {
	case err != nil:
		w.fail("%s: %w", name, err)
	case !q.Unit().Point():
		w.fail("%s: %s is %s; type a temperature, such as 68F or 20C", name, q, article(q.Kind()))
	}
	if w.err != nil {
		return quantity.Quantity{}
	}
	return q
}

// size reads a length above 0 with or without a tolerance; needed says that it
// must be there. One limit alone is refused.
func (w *work) size(name, text, eg string, needed bool) quantity.Toleranced {
	if strings.TrimSpace(text) == "" {
		if needed {
			w.missing(name, quantity.Length, eg)
		}
		return quantity.Toleranced{}
	}
	t := w.limits(name, text, quantity.Length, eg)
	if w.err != nil {
		return quantity.Toleranced{}
	}
	low := t.Lower
	if t.Form == quantity.Plain {
		low = t.Nominal
	}
	switch {
	case t.HasLower() != t.HasUpper():
		w.fail("%s: %s has only one limit; type both, such as %s", name, t, eg)
	case t.Nominal.Sign() <= 0 || low.Sign() <= 0:
		w.fail("%s: %s is not above 0; type a size above 0, such as %s", name, t, eg)
	}
	return t
}

// limits reads a quantity with or without a tolerance, in the dimension d.
func (w *work) limits(name, text string, d quantity.Dim, eg string) quantity.Toleranced {
	if w.err != nil {
		return quantity.Toleranced{}
	}
	t, err := quantity.ParseToleranced(text, quantity.Unit{})
	switch {
	case err != nil:
		w.fail("%s: %w", name, err)
	case t.Nominal.Dim() != d || t.Nominal.Unit().Point():
		w.fail("%s: %s is %s; type %s, such as %s", name, t, article(t.Nominal.Kind()), noun(d), eg)
	}
	return t
}

// ends are the limits of a size; a size without a tolerance is its own limits.
func ends(t quantity.Toleranced) (low, high quantity.Quantity) {
	if t.Form == quantity.Plain {
		return t.Nominal, t.Nominal
	}
	return t.Lower, t.Upper
}

// inUnit is a size in the unit of the answer, exact.
func (w *work) inUnit(t quantity.Toleranced) quantity.Toleranced {
	if w.err != nil || w.unit.IsZero() || t.Nominal.IsZeroValue() || t.Nominal.Dim() != w.unit.Dim() || t.Nominal.Unit().Same(w.unit) {
		return t
	}
	to := func(q quantity.Quantity) quantity.Quantity {
		if q.IsZeroValue() {
			return q
		}
		return w.keep(q.As(w.unit))
	}
	out := t
	if t.Form == quantity.Plain {
		out.Nominal = to(t.Nominal)
		return out
	}
	out, err := quantity.WithLimits(to(t.Nominal), to(t.Lower), to(t.Upper))
	w.keep(t.Nominal, err)
	return out
}

// unitOf is the unit of the answer, or that of the first quantity that is there.
func (w *work) unitOf(q ...quantity.Quantity) quantity.Unit {
	if !w.unit.IsZero() {
		return w.unit
	}
	i := slices.IndexFunc(q, func(q quantity.Quantity) bool { return !q.IsZeroValue() })
	if i < 0 {
		return quantity.Unit{}
	}
	return q[i].Unit()
}

func half(q quantity.Quantity) quantity.Quantity { return q.Scale(big.NewRat(1, 2)) }

// least and most are the smaller and the larger of two quantities of one kind.
func least(a, b quantity.Quantity) quantity.Quantity {
	if a.Rat().Cmp(b.Rat()) <= 0 {
		return a
	}
	return b
}

func most(a, b quantity.Quantity) quantity.Quantity {
	if a.Rat().Cmp(b.Rat()) >= 0 {
		return a
	}
	return b
}

// words joins what a shell has split.
func words(text []string) string { return strings.TrimSpace(strings.Join(text, " ")) }

// done is the answer, or the error alone if there was one.
func done(a Answer, w *work) (Answer, error) {
	if w.err != nil {
		return nil, w.err
	}
	return a, nil
}
