package study

import (
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Leak is a word in a text for the public that must not leave the shop.
type Leak struct {
	Rec  *ledger.Record
	At   ledger.Span // the text that holds it
	Word string
	Why  string
}

// secret is a word of the ledger that is private wherever it stands.
type secret struct{ word, why string }

// Patterns of what gives a program, a day, a price or a size away. Program
// blocks are made of the words of ISO 6983-1; O and digits is common practice.
var (
	programNumber = regexp.MustCompile(`(^|[^\pL\pN])([Oo]\d{3,5})($|[^\pL\pN])`)
	programBlock  = regexp.MustCompile(`(^|[^\pL\pN])([Nn]\d{1,5}\s*[GgMmTt]\d{1,3}|[Gg]\d{1,3}\s*[XYZABCxyzabc]-?\d*\.?\d)`)
	workOffset    = regexp.MustCompile(`(^|[^\pL\pN])([Gg]5[4-9](\.\d+)?)($|[^\pL\pN])`)
	fullDate      = regexp.MustCompile(`(^|\D)(\d{4}-\d{2})-\d{2}($|\D)`)
	money         = regexp.MustCompile(`([$€£¥]\s?\d[\d.,]*|\d[\d.,]*\s?[$€£¥])`)
	exactNumber   = regexp.MustCompile(`(^|[^\pL\pN.])[-+±−]?(\d*\.\d{3,})\s*(in\b|mm\b|inch\b|")?`)
)

// largestDifference is the largest number, in mm, that three decimals and more
// may write before it counts as a size: steps, gaps and clearances are smaller.
const largestDifference = 0.8

// PublicText prepares a text for readers outside the shop. Days are cut down to
// their month and exact sizes are taken out of it; trade sizes such as 3/16, and
// differences such as 2 tenths, may stand. What cannot be taken out without
// spoiling the text is listed: the private words of tenths.toml, ids, serial
// numbers and certificates of gauges, work offsets and programs, program
// numbers and blocks, prices. A text with leaks must not be published.
func (s *Set) PublicText(rec *ledger.Record, t ledger.Text) (string, []Leak) {
	var out []Leak
	add := func(word, why string) {
		if l := (Leak{rec, t.Span, word, why}); !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	for _, sec := range s.secrets() {
		if holds(t.S, sec.word) {
			add(sec.word, sec.why)
		}
	}
	for _, p := range []struct {
		re  *regexp.Regexp
		sub int
		why string
	}{
		{programNumber, 2, "a program number"},
		{programBlock, 2, "a line of a program"},
		{workOffset, 2, "a work offset"},
		{money, 1, "a price"},
	} {
		for _, m := range p.re.FindAllStringSubmatch(t.S, -1) {
			add(m[p.sub], p.why)
		}
	}
	return s.withoutSizes(rec, fullDate.ReplaceAllString(t.S, "${1}${2}${3}")), out
}

// withoutSizes takes the exact sizes out of a text.
func (s *Set) withoutSizes(rec *ledger.Record, text string) string {
	unit := s.unitOf(rec)
	var b strings.Builder
	done := 0
	for _, m := range exactNumber.FindAllStringSubmatchIndex(text, -1) {
		v, err := strconv.ParseFloat(text[m[4]:m[5]], 64)
		if m[6] < 0 && !unit.Same(quantity.Millimetre) || m[6] >= 0 && text[m[6]:m[7]] != "mm" {
			v *= 25.4
		}
		if err != nil || math.Abs(v) <= largestDifference {
			continue
		}
		b.WriteString(text[done:m[3]] + "(size)")
		done = m[5] // the word behind may be a unit, or "in" a hole
	}
	return b.String() + text[done:]
}

// secrets lists the private words of the ledger, sorted.
func (s *Set) secrets() []secret {
	var out []secret
	add := func(why string, texts ...ledger.Text) {
		for _, t := range texts {
			if w := strings.TrimSpace(t.S); w != "" {
				out = append(out, secret{w, why})
			}
		}
	}
	add("a private word of "+ledger.ConfigName, s.L.Config.Private...)
	for _, r := range s.L.Records {
		switch d := r.Data.(type) {
		case *ledger.Gauge:
			add("the id of a gauge", d.ID)
			add("a serial number", d.Serial)
			for _, c := range d.Calibration {
				add("a certificate", c.Certificate)
			}
		case *ledger.Fixture:
			for _, st := range d.Stations {
				add("a work offset", st.Offset)
			}
		case *ledger.Plan:
			for _, op := range d.Operations {
				add("a program", op.Program)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].word < out[j].word })
	return slices.CompactFunc(out, func(a, b secret) bool { return a.word == b.word })
}

// holds reports whether the word stands in the text, whatever its case, not as
// a part of a longer word.
func holds(text, word string) bool {
	text, word = strings.ToLower(text), strings.ToLower(word)
	for from := 0; ; {
		i := strings.Index(text[from:], word)
		if i < 0 {
			return false
		}
		start, end := from+i, from+i+len(word)
		before, _ := utf8.DecodeLastRuneInString(text[:start])
		after, _ := utf8.DecodeRuneInString(text[end:])
		if !(wordRune(before) && startsWord(word)) && !(wordRune(after) && endsWord(word)) {
			return true
		}
		from = start + 1
	}
}

func wordRune(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}

func startsWord(w string) bool { r, _ := utf8.DecodeRuneInString(w); return wordRune(r) }

func endsWord(w string) bool { r, _ := utf8.DecodeLastRuneInString(w); return wordRune(r) }
