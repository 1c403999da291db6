package bench

import (
	"math"
	"math/big"
	"strings"

	"tenths/calc/quantity"
	"tenths/calc/uncertainty"
)

// uncertainInput is an input as typed: its value, its standard uncertainty, and both
// in base units.
type uncertainInput struct {
	value, u quantity.Quantity
	input    uncertainty.Input
}

// uncertain reads name='VALUE; PART; PART'.
func (w *work) uncertain(pairs []string) []uncertainInput {
	var out []uncertainInput
	for _, pair := range pairs {
		name, text, ok := strings.Cut(pair, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			w.fail("%q gives no name a value; type it like zero='0in; count 0.0001in'", pair)
		}
		if w.err != nil {
			return nil
		}
		out = append(out, w.oneUncertain(name, text))
	}
	return out
}

// doubt is one way of saying how uncertain an input is: the share of the value that
// follows the word which is a standard uncertainty, and how it is spread.
type doubt struct {
	shape uncertainty.Shape
	share float64
}

var doubts = map[string]doubt{
	"standard":   {uncertainty.Normal, 1},
	"expanded":   {uncertainty.Normal, 0.5}, // k = 2, unless it is said
	"count":      {uncertainty.Uniform, 1 / math.Sqrt(12)},
	"uniform":    {uncertainty.Uniform, 1 / math.Sqrt(3)},
	"triangular": {uncertainty.Triangular, 1 / math.Sqrt(6)},
	"arcsine":    {uncertainty.Arcsine, 1 / math.Sqrt2},
}

func (w *work) oneUncertain(name, text string) uncertainInput {
	parts := strings.Split(text, ";")
	in := w.middle(name, strings.TrimSpace(parts[0]))
	if w.err != nil {
		return in
	}
	zero := in.value.Unit().Difference()
	expanded := false
	for _, part := range parts[1:] {
		word, value, _ := strings.Cut(strings.TrimSpace(part), " ")
		d, known := doubts[word]
		switch {
		case word == "k":
			k := w.above(name+": k", value, quantity.Number, "2")
			if w.err == nil && (k.IsZeroValue() || !expanded) {
				w.fail("%s: k goes with an expanded uncertainty before it; type it like 'expanded 0.2um; k 2'", name)
			}
			if w.err == nil {
				in.u = quantity.FromFloat(in.u.FloatIn(zero)*2/k.Float(), zero)
			}
		case word == "df":
			df := w.above(name+": df", value, quantity.Number, "9")
			if w.err == nil && (df.IsZeroValue() || df.Float() < 1) {
				w.fail("%s: degrees of freedom are 1 or more; type them like 'df 9'", name)
			}
			in.input.DF = df.Float()
		case word == "known":
			share := w.above(name+": known", value, quantity.Number, "25%")
			if w.err == nil && (share.IsZeroValue() || share.Float() > 0.7) {
				w.fail("%s: how well its uncertainty is known is a share up to 70 %%; type it like 'known 25%%'", name)
			}
			if w.err == nil {
				in.input.DF = uncertainty.DFForReliability(share.Float())
			}
		case !known:
			w.fail("%s: %q is not known; type standard, expanded, count, uniform, triangular or arcsine with a value, k or df with a number, or known with a share", name, strings.TrimSpace(part))
		case in.u.Sign() > 0:
			w.fail("%s: its uncertainty is given twice; type an input of its own for each, such as '%s + count' count='0in; count 0.0001in'", name, name)
		default:
			u := w.needed(name+": "+word, value, zero.Dim(), "0.0001in")
			if w.err == nil {
				in.input.Shape, expanded = d.shape, word == "expanded"
				in.u = quantity.FromFloat(u.FloatIn(zero)*d.share, zero)
			}
		}
		if w.err != nil {
			return in
		}
	}
	if in.input.DF > 0 && in.input.Shape == uncertainty.Normal {
		in.input.Shape = uncertainty.StudentsT
	}
	in.input.Value, in.input.U = inBase(in.value), inBase(in.u)
	return in
}

// middle reads the value of an input: one, or the mean of readings.
func (w *work) middle(name, text string) uncertainInput {
	in := uncertainInput{input: uncertainty.Input{Name: name, Shape: uncertainty.Normal}}
	readings, several := strings.CutPrefix(text, "readings ")
	if !several {
		v, err := quantity.Parse(text, quantity.One)
		if err != nil {
			w.fail("%s: %w", name, err)
			return in
		}
		in.value, in.u = v, quantity.New(new(big.Rat), v.Unit().Difference())
		return in
	}
	values, unit, decimals := w.readingsOf(name, readings, quantity.Unit{})
	if w.err != nil {
		return in
	}
	mean, err := uncertainty.MeanInput(name, values)
	if err != nil {
		w.fail("%w", err)
		return in
	}
	in.input = mean
	in.value, in.u = shownWith(quantity.FromFloat(mean.Value, unit), max(decimals, 0)+1), quantity.FromFloat(mean.U, unit)
	return in
}

// together reads 'a b 0.8'.
func (w *work) together(texts []string, inputs []uncertainty.Input) []uncertainty.Correlation {
	var out []uncertainty.Correlation
	for _, text := range texts {
		f := strings.Fields(text)
		if len(f) != 3 {
			w.fail("together: %q is no pair; type two names and how much they go together, such as 'a b 0.8'", text)
			return nil
		}
		at := [2]int{-1, -1}
		for i, in := range inputs {
			for k := range at {
				if in.Name == f[k] {
					at[k] = i
				}
			}
		}
		r := w.given("together", f[2], quantity.Number, "0.8")
		for k := range at {
			if at[k] < 0 {
				w.fail("together: there is no input %q", f[k])
			}
		}
		if w.err != nil {
			return nil
		}
		out = append(out, uncertainty.Correlation{A: at[0], B: at[1], R: r.Float()})
	}
	return out
}
