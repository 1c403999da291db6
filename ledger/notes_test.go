package ledger

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func filled(text string) string { return strings.Repeat(text, MaxNotes/len(text)) }

// costly lists notes of full length, each of which takes Markdown from half a
// second to several seconds to read.
func costly() map[string]string {
	return map[string]string{
		"quotations":             filled(">"),
		"quotations with spaces": filled("> "),
		"quotations and lists":   filled("> - "),
		"numbered lists":         filled("1. "),
		"numbered lists, )":      filled("1) "),
		"a list above lines":     strings.Repeat("1. ", 15) + filled("\n")[:MaxNotes-45],
		"open links":             filled("[a](b"),
		"open links in a table":  "a|b\n-|-\n" + filled("[a](b")[:MaxNotes-12],
		"open pictures":          filled("![a](<b"),
		"brackets":               filled("[a](b("),
		"round brackets":         filled("[a](((("),
		"lines of open links":    filled("[a](b\n"),
		"quoted open links":      filled("> [a](b\n"),
		"strokes":                "x [y " + filled("~")[:MaxNotes-5],
		"emphasis":               "x [y " + filled("a*b_")[:MaxNotes-5],
	}
}

// ordinary lists long notes as people write them.
func ordinary() map[string]string {
	return map[string]string{
		"text":       filled("The pins of *station A* were [surveyed](IN-1.md) again; nothing moved.\n\n"),
		"paragraphs": filled(strings.Repeat("Nothing moved at all in this week. ", 40) + "![a](b.jpg)\n\n"),
		"checklist":  filled("- [x] survey **A** on the table\n"),
		"nested":     filled("- A\n  - B\n    - C\n      1. D\n> quoted\n> > twice\n\n"),
		"table":      "| a | b |\n|---|---|\n" + filled("| a [b](c.jpg) | 1.2345 and some more words to fill it |\n")[:30000],
	}
}

func TestCostlyNotesAreRefused(t *testing.T) {
	for name, notes := range costly() {
		l := loadOne(t, good+notes)
		if assert.Len(t, l.Problems, 1, name) {
			assert.Contains(t, l.Problems[0].Msg, "the notes are not read: ", name)
			assert.Equal(t, Unreadable, l.Problems[0].Kind)
			assert.GreaterOrEqual(t, l.Problems[0].Span.Start, len(good))
		}
		require.NotNil(t, l.Record("T1"), "the keys are read all the same")
		assert.Empty(t, l.Record("T1").Body.Links)
		// As notes without a record they name nothing, and cost nothing.
		assert.Empty(t, load(t, map[string]string{"README.md": notes}).Problems)
	}
	for name, notes := range ordinary() {
		assert.Empty(t, listed(loadOne(t, good+notes)), name)
	}
}

// BenchmarkNotes shows what the costliest notes take that are still read.
func BenchmarkNotes(b *testing.B) {
	cases := ordinary()
	for _, unit := range []string{">", "> ", "> - ", "1. ", "- ", "[a](b", "![", "![a](<b", "~", "a*b_", "[a](((("} {
		// The longest of its kind below the bounds.
		for n := MaxNotes; n > 100; n = n * 9 / 10 {
			one := strings.Repeat(unit, n/len(unit))
			lines := strings.Repeat(unit, 3) + strings.Repeat("a\n", n/2-8)
			for name, text := range map[string]string{"one line of " + unit: one, "lines below " + unit: lines} {
				if i, _ := tangled([]byte(text)); i < 0 && cases[name] == "" {
					cases[name] = text
				}
			}
		}
	}
	for name, text := range cases {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				readNotes([]byte(text), 0)
			}
		})
	}
}

// Notes are text: what is none is said at its byte.
func TestNotesAreText(t *testing.T) {
	for _, tc := range []struct{ notes, where, want string }{
		{"fine\nü \xff here\n", "8:3", "a byte that is not UTF-8 stands in the notes here"},
		{"latin-1: Gr\xf6\xdfe\n", "7:12", "a byte that is not UTF-8 stands in the notes here"},
		{"surrogate \xed\xa0\x80\n", "7:11", "a byte that is not UTF-8 stands in the notes here"},
		{"zero\n\n\x00\n", "9:1", "a zero byte stands in the notes here"},
	} {
		l := loadOne(t, good+tc.notes)
		require.Len(t, l.Problems, 1, "%q", tc.notes)
		assert.Equal(t, fmt.Sprintf("a.md:%s: %s, so they are not read", tc.where, tc.want), listed(l)[0])
		require.NotNil(t, l.Record("T1"))
	}
	assert.Empty(t, loadOne(t, good+"Größe ±0.5 µm, \ufffd is a letter like any other\n").Problems)
}
