package quantity

import (
	"errors"
	"testing"
	"unicode/utf8"
)

var seeds = []string{
	"0.1875 in", ".1875", "3/32 in", "1 1/2 in", "1-1/2 in", "+3", "-0.5 tenths", "68 F", "40 uin", "90 %", "12 1/K", "5.", "1e9",
	"0.1875 +0.0005/-0 in", "0.1875 in +5/-0 tenths", "2.4000 ±0.0005 in", "2.4 +- .1", "0.1875..0.1880 in", "<= 0.0010 in", ">= 6 ozf",
	"4 mm H7", "0.1875 in RC4 hole", "-0/5 in", "1 0/-0.1", "6.5 uin/in/F", "12 months", "5 h6", "1..2..3", "\xff", "±", "1 in ±1 deg",
}

// checkError fails unless err is a *ParseError whose column lies in the text.
func checkError(t *testing.T, text string, err error) {
	var p *ParseError
	if !errors.As(err, &p) {
		t.Fatalf("%q: error of another type: %v", text, err)
	}
	if n := utf8.RuneCountInString(text); p.Column < 1 || p.Column > n+1 {
		t.Fatalf("%q: column %d of %d", text, p.Column, n)
	}
	if !utf8.ValidString(p.Error()) || p.Error() == "" {
		t.Fatalf("%q: message %q", text, p.Error())
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := Parse(text, Inch)
		if err != nil {
			checkError(t, text, err)
			return
		}
		again, err := Parse(q.String(), Inch)
		if err != nil {
			t.Fatalf("%q: %q does not read back: %v", text, q.String(), err)
		}
		if c, err := q.Cmp(again); err != nil || c != 0 || q.String() != again.String() || q.Decimals() != again.Decimals() {
			t.Fatalf("%q: %s reads back as %s (%v)", text, q, again, err)
		}
	})
}

func FuzzParseToleranced(f *testing.F) {
	for _, s := range seeds {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, text string, metric bool) {
		def := Inch
		if metric {
			def = Millimetre
		}
		q, err := ParseToleranced(text, def)
		if err != nil {
			checkError(t, text, err)
			return
		}
		again, err := ParseToleranced(q.String(), def)
		if err != nil {
			t.Fatalf("%q: %q does not read back: %v", text, q.String(), err)
		}
		if q.String() != again.String() || q.Form != again.Form || q.Class != again.Class {
			t.Fatalf("%q: %s reads back as %s", text, q, again)
		}
		for _, pair := range [][2]Quantity{{q.Nominal, again.Nominal}, {q.Lower, again.Lower}, {q.Upper, again.Upper}} {
			if pair[0].Rat().Cmp(pair[1].Rat()) != 0 || pair[0].IsZeroValue() != pair[1].IsZeroValue() {
				t.Fatalf("%q: %s reads back as %s", text, pair[0], pair[1])
			}
		}
		if q.HasLower() && q.HasUpper() && q.Lower.Rat().Cmp(q.Upper.Rat()) > 0 {
			t.Fatalf("%q: crossed limits", text)
		}
	})
}

func FuzzParseInterval(f *testing.F) {
	for _, s := range []string{"12 months", "90 days", "2 years", "6 weeks", "1 1/2 months", "-1 day"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		i, err := ParseInterval(text)
		if err != nil {
			checkError(t, text, err)
			return
		}
		if again, err := ParseInterval(i.String()); err != nil || again != i {
			t.Fatalf("%q: %s reads back as %s (%v)", text, i, again, err)
		}
	})
}
