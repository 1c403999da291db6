package lint

import (
	"fmt"
	"io"
	"strings"
	"unicode"
)

// WriteText prints the findings for a person: the place, what is wrong, why it
// matters, what to do.
func WriteText(w io.Writer, res *Result, prefix string) error {
	var b strings.Builder
	for _, f := range res.Findings {
		fmt.Fprintf(&b, "%s:%d:%d: %s: %s [%s]\n", clean(prefix+f.File), f.Start.Line, f.Start.Column, f.Severity, clean(f.Message), f.Rule)
		for _, r := range f.Related {
			fmt.Fprintf(&b, "    see  %s:%d:%d: %s\n", clean(prefix+r.File), r.Line, r.Column, clean(r.Message))
		}
		fmt.Fprintf(&b, "    why  %s\n", clean(f.Why))
		if f.Fix != "" {
			fmt.Fprintf(&b, "    do   %s\n", clean(f.Fix))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// HookLines is how many lines a commit is interrupted with at most.
const HookLines = 7

// WriteHook prints the findings as a short list, most important first.
func WriteHook(w io.Writer, res *Result, prefix string) error {
	var b strings.Builder
	list := res.ByImportance()
	for i, f := range list {
		if i == HookLines-1 && len(list) > HookLines {
			fmt.Fprintf(&b, "and %d more: tenths lint --staged\n", len(list)-i)
			break
		}
		line := fmt.Sprintf("%s %s:%d %s", f.Severity, prefix+f.File, f.Start.Line, f.Message)
		if f.Fix != "" && f.Severity == Error {
			line += "; " + f.Fix
		}
		fmt.Fprintf(&b, "%s [%s]\n", clean(line), f.Rule)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// clean keeps control characters of a ledger from reaching a terminal.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, s)
}
