package ledger

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// MaxNotes is the longest text below the front matter that is read, in bytes.
const MaxNotes = 64 << 10

// Bounds on how much work notes may make. The time that reading Markdown takes
// grows with the lines times the quotations and lists that they stand in, and
// within a paragraph with its length times the signs that could be markup.
// Notes at the bounds take about 0.1 s; those that people write are far below
// (BenchmarkNotes).
const (
	maxNesting    = 20          // quotations and lists that one line opens
	maxNestedWork = 50_000      // lines times the deepest nesting
	maxSignWork   = 100_000_000 // bytes of a paragraph times its signs
)

// readNotes reads the notes that begin at byte offset of the file, or says why
// they are not read, and from where.
func readNotes(src []byte, offset int) (body Body, at int, msg, fix string) {
	notes := src[offset:]
	if n := len(notes); n > MaxNotes {
		return body, offset, fmt.Sprintf("the notes are %d bytes long; notes of more than %d bytes are not read", n, MaxNotes),
			"keep long texts in a file of their own beside the record, and link it"
	}
	if i := notText(notes); i >= 0 {
		what := "a byte that is not UTF-8 stands"
		if notes[i] == 0 {
			what = "a zero byte stands"
		}
		return body, offset + i, what + " in the notes here, so they are not read", "save the file as UTF-8 text, or remove the byte"
	}
	if i, why := tangled(notes); i >= 0 {
		return body, offset + i, "the notes are not read: " + why, "write it plainer; a table or a long text may stand in a file of its own"
	}
	return parseBody(src, offset), 0, "", ""
}

// notText finds the first byte that is zero or no UTF-8; -1 if there is none.
func notText(b []byte) int {
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRune(b[i:])
		if r == 0 || r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// tangled finds where notes would take too long to read; -1 if nowhere.
func tangled(notes []byte) (int, string) {
	deepest, deepestAt, lines := 0, 0, 0
	start, signs := 0, 0 // of the paragraph
	for at := 0; at < len(notes); {
		l, next := line(notes, at)
		depth, bullet := nesting(l)
		if depth > maxNesting {
			return at, fmt.Sprintf("this line stands in %d quotations and lists within each other, more than %d", depth, maxNesting)
		}
		if depth > deepest {
			deepest, deepestAt = depth, at
		}
		lines++
		if lines*deepest > maxNestedWork {
			return deepestAt, fmt.Sprintf("%d lines and more follow quotations and lists that are nested %d deep here", maxNestedWork/deepest, deepest)
		}
		if bullet || len(bytes.TrimSpace(l)) == 0 {
			start, signs = at, 0
		}
		for _, c := range l {
			if strings.IndexByte("*_~`[]()<>!&", c) >= 0 {
				signs++
			}
		}
		if signs*(next-start) > maxSignWork {
			return start, fmt.Sprintf("the paragraph that begins here holds %d signs that could be markup and no blank line", signs)
		}
		at = next
	}
	return -1, ""
}

// nesting counts the signs of quotations and lists that a line begins with.
// bullet says that the first is one of a list, which ends a paragraph.
func nesting(l []byte) (depth int, bullet bool) {
	for i := 0; i < len(l); i++ {
		switch c := l[i]; {
		case c == ' ' || c == '\t':
			continue
		case c == '>':
			depth++
			continue
		case c == '-' || c == '*' || c == '+':
			if i+1 < len(l) && l[i+1] != ' ' && l[i+1] != '\t' {
				return depth, bullet
			}
			bullet = bullet || depth == 0 && i+1 < len(l)
			depth++
			continue
		case c >= '0' && c <= '9':
			for i < len(l) && l[i] >= '0' && l[i] <= '9' {
				i++
			}
			if i < len(l) && (l[i] == '.' || l[i] == ')') {
				depth++
				continue
			}
		}
		return depth, bullet
	}
	return depth, bullet
}
