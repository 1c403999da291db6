// Package bench answers the questions of the bench: texts as a person types them
// in, an answer with its formula, source and cautions out. It knows no records.
//
// A question is a struct of texts, one for each value that can be given; its Ask
// reads them, lets the other packages of calc compute, and puts the answer
// together. All arithmetic on sizes is theirs; what is put together here (an
// interval of two results, a sum of two limits) is exact.
//
// Answers marshal to JSON with the keys of their structs, in the order of the
// fields; every quantity is {"value", "unit", "text"}, and null where there is
// none. The text has the digits that the number deserves, the value has all.
package bench

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Options are what all questions have in common.
type Options struct {
	// Units is the unit of the answer: in, mm, thou, tenths, um, uin. Feeds,
	// forces and stresses follow its system. Empty: the units of the question.
	Units string
}

// Question is one subject of the bench.
type Question interface {
	// About says in a few sentences what is answered, for help.
	About() string
	// Examples are what a person types after the name of the subject, words as a
	// shell takes them, quoted where it must be; the most usual one first.
	Examples() []string
	// Ask answers. The error says which value is wrong and what would be right.
	Ask(Options) (Answer, error)
}

// Answer is what a question comes to. It also marshals to JSON.
type Answer interface {
	// WriteText prints the answer first, then the formula with its numbers, the
	// source and the cautions.
	WriteText(io.Writer) error
}

// Sheet is what all answers have in common.
type Sheet struct {
	Answer   []string `json:"answer"`   // in words, the answer itself first
	Formula  []string `json:"formula"`  // with the numbers in it
	Source   []string `json:"source"`   // standard, textbook, or common practice
	Cautions []string `json:"cautions"` // what the numbers leave out, and the usual cautions
}

// newSheet has no list that would marshal to null.
func newSheet() Sheet {
	return Sheet{Answer: []string{}, Formula: []string{}, Source: []string{}, Cautions: []string{}}
}

func (s *Sheet) say(format string, a ...any) { s.Answer = append(s.Answer, fmt.Sprintf(format, a...)) }
func (s *Sheet) step(format string, a ...any) {
	s.Formula = append(s.Formula, fmt.Sprintf(format, a...))
}
func (s *Sheet) cite(format string, a ...any) { s.Source = append(s.Source, fmt.Sprintf(format, a...)) }
func (s *Sheet) mind(format string, a ...any) {
	s.Cautions = append(s.Cautions, fmt.Sprintf(format, a...))
}

// pageWidth is the width that text is wrapped to.
const pageWidth = 98

// WriteText implements Answer.
func (s Sheet) WriteText(w io.Writer) error {
	var b strings.Builder
	indent := ""
	for _, line := range s.Answer {
		b.WriteString(hang(line, indent, "    "))
		indent = "  "
	}
	for _, part := range []struct {
		name  string
		lines []string
	}{{"formula", s.Formula}, {"source", s.Source}, {"cautions", s.Cautions}} {
		for i, line := range part.lines {
			first := "        "
			if i == 0 {
				first = part.name + strings.Repeat(" ", len(first)-len(part.name))
				b.WriteByte('\n')
			}
			b.WriteString(hang(line, first+"  ", "            "))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// hang wraps a line at spaces. Spaces at its beginning, and runs of them in a
// line that needs no wrapping, are kept: tables stay tables.
func hang(line, first, next string) string {
	if utf8.RuneCountInString(first+line) <= pageWidth {
		return strings.TrimRight(first+line, " ") + "\n"
	}
	var b strings.Builder
	own := line[:len(line)-len(strings.TrimLeft(line, " "))]
	indent, next := first+own, next+own
	at := indent
	for _, word := range strings.Fields(line) {
		if at != indent && utf8.RuneCountInString(at)+1+utf8.RuneCountInString(word) > pageWidth {
			b.WriteString(at + "\n")
			indent = next
			at = indent
		}
		if at != indent {
			at += " "
		}
		at += word
	}
	return b.String() + at + "\n"
}
