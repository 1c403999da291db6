package fit_test

import (
	"errors"
	"testing"
	"unicode/utf8"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"25 mm H7/g6", "0.5 in RC4", "3/16 in rc3", "25H7/k6", "1 1/2 in FN2", "25 mm g6/H7", "25 mm H7", "0.5 in RC4 hole",
		"0 mm H7/g6", "-1 in RC4", "25 mm H7 / h6 ", "H7/g6", "/", "mm2/g6", "\xff H7/g6", "25\nmm H7/g6", "25 mm JS7/h6", "0.001 mm H7/d9", "\xechole",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := fit.Parse(text, quantity.Millimetre)
		if err != nil {
			var p *quantity.ParseError
			if !errors.As(err, &p) {
				t.Fatalf("%q: error of another type: %v", text, err)
			}
			if n := utf8.RuneCountInString(text); p.Column < 1 || p.Column > n+1 {
				t.Fatalf("%q: column %d of %d", text, p.Column, n)
			}
			if p.Error() == "" || !utf8.ValidString(p.Error()) {
				t.Fatalf("%q: message %q", text, p.Error())
			}
			return
		}
		if got.Standard == "" || got.Name == "" {
			t.Fatalf("%q: a fit without its standard: %+v", text, got)
		}
		if got.MinClearance.Rat().Cmp(got.MaxClearance.Rat()) > 0 {
			t.Fatalf("%q: clearances crossed", text)
		}
		again, err := fit.Parse(got.Hole.Nominal.String()+" "+got.Name, quantity.Millimetre)
		if err != nil {
			t.Fatalf("%q: does not read back: %v", text, err)
		}
		if again.MinClearance.Rat().Cmp(got.MinClearance.Rat()) != 0 || again.MaxClearance.Rat().Cmp(got.MaxClearance.Rat()) != 0 || again.Kind != got.Kind {
			t.Fatalf("%q: reads back as another fit", text)
		}
	})
}
