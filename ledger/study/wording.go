package study

import (
	"regexp"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"

	"tenths/calc/quantity"
	"tenths/ledger/redact"
)

var (
	wordOrNumber = regexp.MustCompile(`[\pL\p{Mn}µ]+|\d*\.?\d+|[<>=≤≥±+-]+`)
	plusMinus    = strings.NewReplacer("+/-", "±", "+-", "±", "<=", "≤", ">=", "≥")
)

// sameWording reports whether two texts say the same: the same numbers with their
// units in the same order, whatever unit a length is given in, and the same words
// but for a slip of a letter. Case, spaces and stops do not count.
func sameWording(a, b string) bool {
	return slices.EqualFunc(wording(a), wording(b), sameToken)
}

// token is a word, a sign, or a number with its unit.
type token struct {
	word   string
	number quantity.Quantity
}

func wording(text string) []token {
	found := wordOrNumber.FindAllString(plusMinus.Replace(strings.ToLower(redact.Plain(text))), -1)
	var out []token
	for i := 0; i < len(found); i++ {
		n, err := quantity.Parse(found[i], quantity.One)
		if err != nil {
			out = append(out, token{word: found[i]})
			continue
		}
		if i+1 < len(found) {
			if _, ok := quantity.LookupUnit(found[i+1]); ok {
				if q, err := quantity.Parse(found[i]+" "+found[i+1], quantity.One); err == nil {
					n = q
					i++
				}
			}
		}
		out = append(out, token{number: n})
	}
	return out
}

func sameToken(a, b token) bool {
	if a.word == "" || b.word == "" {
		d, err := a.number.Cmp(b.number)
		return a.word == b.word && err == nil && d == 0
	}
	letters := max(len([]rune(a.word)), len([]rune(b.word)))
	return a.word == b.word || levenshtein.ComputeDistance(a.word, b.word) <= letters/4
}

// sameAmount reports whether two texts give the same size with the same limits, in
// whatever units.
func sameAmount(a, b string) bool {
	x, errX := quantity.ParseToleranced(a, quantity.Unit{})
	y, errY := quantity.ParseToleranced(b, quantity.Unit{})
	if errX != nil || errY != nil {
		return a == b
	}
	same := func(p, q quantity.Quantity) bool {
		if p.IsZeroValue() || q.IsZeroValue() {
			return p.IsZeroValue() && q.IsZeroValue()
		}
		d, err := p.Cmp(q)
		return err == nil && d == 0
	}
	return same(x.Nominal, y.Nominal) && same(x.Lower, y.Lower) && same(x.Upper, y.Upper)
}
