package formula

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Error says what is wrong with a formula or its inputs, and where.
type Error struct {
	Text   string // the whole formula
	Column int    // code point of the trouble in Text, from 1
	Msg    string // what is wrong
	Hint   string // what would be right; may be empty
}

// Error is one sentence: the formula, the column, what is wrong, what would be
// right.
func (e *Error) Error() string {
	s := fmt.Sprintf("%s, column %d: %s", quote(e.Text), e.Column, e.Msg)
	if e.Hint != "" {
		s += "; " + e.Hint
	}
	return s
}

// quote shows text from outside in quotes, on one line, without control
// characters, and cut when long.
func quote(s string) string {
	rs := []rune(s)
	cut := ""
	if len(rs) > 60 {
		rs, cut = rs[:60], "..."
	}
	for i, r := range rs {
		switch {
		case unicode.IsSpace(r):
			rs[i] = ' '
		case !unicode.IsPrint(r):
			rs[i] = utf8.RuneError
		}
	}
	return "'" + string(rs) + cut + "'"
}

// column is the code point, from 1, at a byte offset of text.
func column(text string, offset int) int {
	return utf8.RuneCountInString(text[:max(0, min(offset, len(text)))]) + 1
}

// article puts "a" or "an" before a kind of quantity.
func article(kind string) string {
	if strings.HasPrefix(kind, "a") {
		return "an " + kind
	}
	return "a " + kind
}

// argError is a complaint of a function about one of its arguments; arg -1
// means the function itself.
type argError struct {
	arg       int
	msg, hint string
}

func (e *argError) Error() string { return e.msg }

func complain(arg int, hint, format string, a ...any) error {
	return &argError{arg: arg, msg: fmt.Sprintf(format, a...), hint: hint}
}
