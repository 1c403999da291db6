package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteText prints the list for a person, operation by operation.
func (l *RestartList) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Before %s, %s, is cut again on %s\n", line(l.Plan), l.Title, l.AsOf)
	if l.Since != "" {
		fmt.Fprintf(&b, "%d %s since %s (%s)\n", l.Days, plural(l.Days, "day"), l.Since, line(l.SinceFrom))
	} else {
		fmt.Fprintf(&b, "%s; --since says it\n", upper(line(l.SinceFrom)))
	}
	open := 0
	for _, it := range l.Items {
		if it.Standing == "open" {
			open++
		}
	}
	fmt.Fprintf(&b, "%d %s open by the records (marked !), the others are looked at after any pause\n", open, pick(open, "thing is", "things are"))
	last := "\x00"
	for _, it := range l.Items {
		if it.Operation != last {
			last = it.Operation
			fmt.Fprintf(&b, "\n%s\n", orWord(last, "Before all operations"))
		}
		mark := "-"
		if it.Standing == "open" {
			mark = "!"
		}
		fmt.Fprintf(&b, "  %s %s\n      why: %s [%s]  %s:%d\n", mark, it.What, it.Why, it.Source, line(it.File), it.Line)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
