package formula

import (
	"errors"
	"testing"
	"unicode/utf8"

	"tenths/calc/quantity"
)

func FuzzFormula(f *testing.F) {
	for _, s := range []string{
		"hole - cutter", "a^2", "25.4 mm", "2pi", "25.4*mm + a", "sqrt(a*a + b*b)", "l*13*ppm/dF*(t - 68*F)", "min(a, b, c)", "atan2(a, b)",
		"pow(a, -2)", "1/(a-b)", "a//b", "((a))", "0x10", "010", "\xff", "a\n+b", "asin(a/b)", "tan(w)", "abs(a-b)", "-5*C", "1e-6*m", "_", "(a,b)", "a.b",
		"d/(2*sin(45*deg)) - d/2", "pow(pow(x,64),64)", "hypot(a, 2*in)", "a b", "if", "if(a < b, a, b)", "if(a == 0*in || !(b > a) && a != b, a/b, sqrt(a*b))", "a*a - a*b", "if(if(a<b,a,b) < 1*in, 1, 2)", "a <-b", "a <= b", "''", "30°",
	} {
		f.Add(s, "1 +0.2/-0.1 in", "2 in ±3")
	}
	f.Add("t - 68*F", "68 ±2 F", "0 K")
	f.Add("x*y", "1 %", "12..13 deg")
	f.Fuzz(func(t *testing.T, text, first, second string) {
		check := func(err error) {
			var p *Error
			if !errors.As(err, &p) {
				t.Fatalf("%q: error of another type: %v", text, err)
			}
			if n := utf8.RuneCountInString(text); p.Column < 1 || p.Column > n+1 || p.Text != text {
				t.Fatalf("%q: column %d of %d", text, p.Column, n)
			}
			if !utf8.ValidString(p.Error()) {
				t.Fatalf("%q: message %q", text, p.Error())
			}
		}
		e, err := Parse(text)
		if err != nil {
			check(err)
			return
		}
		var in []Input
		for i, n := range e.Names() {
			v, err := quantity.ParseToleranced([]string{first, second}[i%2], quantity.Inch)
			if err != nil {
				return
			}
			in = append(in, Input{Name: n, Value: v, Source: []string{"", n, "shared"}[i%3]})
		}
		r, err := e.Eval(in, Options{})
		if err != nil {
			check(err)
			return
		}
		if c, err := r.WorstLower.Cmp(r.WorstUpper); err != nil || c > 0 && r.Exact {
			t.Fatalf("%q: worst case %s..%s (%v)", text, r.WorstLower, r.WorstUpper, err)
		}
		if !holds(r.WorstLower, r.WorstUpper, r.Centre) {
			t.Fatalf("%q: centre %s outside %s..%s", text, r.Centre, r.WorstLower, r.WorstUpper)
		}
		if r.NoSlope == nil && r.RSS.Sign() < 0 {
			t.Fatalf("%q: root sum square %s", text, r.RSS)
		}
	})
}
