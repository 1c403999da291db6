package study

import (
	"slices"
	"sort"
	"strings"
	"unicode"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/redact"
)

// Leak is a word in a text for the public that must not leave the shop.
type Leak struct {
	Rec  *ledger.Record
	At   ledger.Span // the text that holds it
	Word string
	Why  string
}

// PublicText prepares a text for readers outside the shop: on one line, as it
// will be printed, with days cut down to their month, and without sizes,
// tolerances, tolerance classes and feeds (redact.Own). Differences such as 2
// tenths may stand, and what a cutter or a bought part is called by.
//
// What cannot be taken out without spoiling the text is listed: the private
// words of tenths.toml, names of people, ids, serial numbers and certificates,
// alloys, programs and offsets, prices. They are found whatever their case, and whatever
// spaces and signs stand between their letters. A text with leaks must not be
// published.
func (s *Set) PublicText(rec *ledger.Record, t ledger.Text) (string, []Leak) {
	text := redact.Plain(ledger.Printable(t.S))
	var out []Leak
	add := func(word, why string) {
		if l := (Leak{rec, t.Span, word, why}); !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	// What is invisible on the page parts no word.
	read := redact.Fold(t.S)
	for _, sec := range s.secrets() {
		if sec.word.In(read) {
			add(sec.word.Text, sec.why)
		}
	}
	for _, g := range redact.Giveaways(text) {
		add(g.Word, g.Why)
	}
	own := s.ownSizes()
	own.Unit = s.unitOf(rec)
	return own.Sizes(redact.Months(text)), out
}

// ownSizes is what tells the shop's own sizes from others, but for the unit.
func (s *Set) ownSizes() redact.Own {
	s.known.Do(func() {
		name := func(t ledger.Text) { s.own.Names = append(s.own.Names, t.S) }
		size := func(z ledger.Size) {
			if !z.Set() {
				return
			}
			if mm, err := z.Nominal().As(quantity.Millimetre); err == nil {
				s.own.Nominals = append(s.own.Nominals, mm.Float())
			}
		}
		for _, r := range s.L.Records {
			name(r.Common.ID)
			switch d := r.Data.(type) {
			case *ledger.Part:
				size(d.Thickness)
				for _, f := range d.Features {
					name(f.ID)
					size(f.Size)
					size(f.Nominal)
				}
				for _, c := range d.Characteristic {
					name(c.ID)
					size(c.Limits)
					for _, p := range c.Points {
						name(p.ID)
					}
				}
			case *ledger.Fixture:
				for _, st := range d.Stations {
					name(st.ID)
					for _, l := range st.Locators {
						name(l.ID)
						size(l.Size)
						size(l.Nominal)
					}
				}
			}
		}
	})
	return s.own
}

// secret is a word of the ledger that is private wherever it stands.
type secret struct {
	word redact.Word
	why  string
}

// secrets lists the private words of the ledger, sorted.
func (s *Set) secrets() []secret {
	s.private.Do(func() { s.words = s.findSecrets() })
	return s.words
}

func (s *Set) findSecrets() []secret {
	var out []secret
	add := func(why string, words ...string) {
		for _, w := range words {
			if w = redact.Plain(ledger.Printable(w)); w != "" {
				out = append(out, secret{redact.Word{Text: w}, why})
			}
		}
	}
	// Steel and aluminium may be told, 6061 may not.
	alloy := func(material ledger.Text) {
		for _, w := range strings.FieldsFunc(material.S, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("-,;/()", r) }) {
			if strings.ContainsAny(w, "0123456789") && len(redact.Letters(w)) > 2 {
				add("an alloy", w)
			}
		}
	}
	people := map[string]bool{}
	person := func(by ledger.Text) {
		if by.S == "" || people[by.S] {
			return
		}
		people[by.S] = true
		for _, w := range redact.Names(by.S) {
			out = append(out, secret{w, "the name of a person"})
		}
	}
	for _, t := range s.L.Config.Private {
		add("a private word of "+ledger.ConfigName, t.S)
	}
	for _, r := range s.L.Records {
		switch d := r.Data.(type) {
		case *ledger.Gauge:
			add("the id of a gauge", d.ID.S)
			add("a serial number", d.Serial.S)
			for _, c := range d.Calibration {
				add("a certificate", c.Certificate.S)
				// The number, and the laboratory behind it.
				for _, part := range strings.FieldsFunc(c.Certificate.S, func(r rune) bool { return r == ',' || r == ';' }) {
					if len(redact.Letters(part)) > 2 {
						add("a certificate", part)
					}
				}
			}
		case *ledger.Part:
			alloy(d.Material)
		case *ledger.Machine:
			add("a serial number", d.Serial.S)
		case *ledger.Fixture:
			alloy(d.Material)
			for _, r := range d.Refits {
				person(r.By)
			}
			for _, st := range d.Stations {
				add("a work offset", st.Offset.S)
				for _, z := range st.Found {
					person(z.By)
				}
				for _, l := range st.Locators {
					for _, v := range l.Surveys {
						person(v.By)
					}
				}
			}
		case *ledger.Tool:
			add("an offset of a tool", d.Offset.S)
		case *ledger.Plan:
			for _, op := range d.Operations {
				add("a program", op.Program.S)
			}
		case *ledger.Inspection:
			person(d.By)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].word.Text < out[j].word.Text })
	return slices.CompactFunc(out, func(a, b secret) bool { return a.word == b.word })
}
