package lint

import (
	"fmt"
	"io"
	"strings"

	"tenths/ledger"
)

// WriteText prints the findings for a person: the place, what is wrong, why it
// matters, what to do.
func WriteText(w io.Writer, res *Result, prefix string) error {
	var b strings.Builder
	for _, f := range res.Findings {
		fmt.Fprintf(&b, "%s:%d:%d: %s: %s [%s]\n", ledger.Printable(prefix+f.File), f.Start.Line, f.Start.Column, f.Severity, ledger.Printable(f.Message), f.Rule)
		for _, r := range f.Related {
			fmt.Fprintf(&b, "    see  %s:%d:%d: %s\n", ledger.Printable(prefix+r.File), r.Line, r.Column, ledger.Printable(r.Message))
		}
		fmt.Fprintf(&b, "    why  %s\n", ledger.Printable(f.Why))
		if f.Fix != "" {
			fmt.Fprintf(&b, "    do   %s\n", ledger.Printable(f.Fix))
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
		fmt.Fprintf(&b, "%s [%s]\n", ledger.Printable(line), f.Rule)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
