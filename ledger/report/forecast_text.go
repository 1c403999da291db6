package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteText prints a forecast for a person: the answer, the points, and what the
// numbers rest on.
func (fc *Forecast) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", fc.Change, fc.Title)
	b.WriteString(fc.standing() + "\n")
	for i := range fc.Items {
		it := &fc.Items[i]
		b.WriteString("\n")
		if it.Path != "" {
			b.WriteString(it.Path + "  ")
		}
		b.WriteString(it.Answer + "\n")
		if it.Recorded != "" {
			fmt.Fprintf(&b, "  The record predicts %s%s.\n", it.Recorded, prefixed(", written on ", it.RecordedOn))
		}
		if !it.Foretold {
			continue
		}
		if rows := it.pointRows(); rows != nil {
			fmt.Fprintf(&b, "  By point, in %s\n", unitWords(it.Unit))
			writeColumns(&b, "    ", rows)
		}
		if shares := it.shareWords(); shares != "" {
			b.WriteString("  The interval comes from: " + shares + "\n")
		}
		for _, r := range it.remarks() {
			b.WriteString("  - " + r + "\n")
		}
	}
	if len(fc.Items) == 0 {
		b.WriteString("\nNothing is foretold: the change names no characteristic.\n")
	}
	if len(fc.Planned) > 0 {
		b.WriteString("\nPlanned\n")
		for _, p := range fc.Planned {
			b.WriteString("  " + p + "\n")
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// standing says how far the change is and what was known.
func (fc *Forecast) standing() string {
	out := fc.State + prefixed(", done ", fc.Done)
	return out + fmt.Sprintf("; from what was known on %s (%s)", fc.KnownOn, fc.KnownWhy)
}
