package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteText prints a diagnosis for a person: the answer and what to do, then the
// numbers, the cures and the next measurement.
func (sh *DiagnosisSheet) WriteText(w io.Writer) error {
	var b strings.Builder
	b.WriteString(sh.Answer + "\n" + sh.Do + "\n" + sh.Spread + "\n")
	fmt.Fprintf(&b, "\n%s: %s\n  %s:%d\n\n", sh.Inspection, sh.heading(), line(sh.File), sh.Line)
	writeColumns(&b, "  ", sh.traitRows())
	if sh.Cannot != "" {
		fmt.Fprintf(&b, "  Shift, turn and size are not told apart: %s.%s\n", sh.Cannot, prefixed(" Not read: ", strings.Join(sh.Unread, ", ")))
	}
	for _, n := range sh.Notes {
		b.WriteString("  note: " + n + "\n")
	}
	if len(sh.Cures) > 0 {
		fmt.Fprintf(&b, "\nCures, most gain for work and risk first; typical step now %s\n", sh.Cures[0].Before)
		writeColumns(&b, "  ", sh.cureRows())
		if c := sh.caution(); c != "" {
			b.WriteString("  caution: " + c + "\n")
		}
	}
	if sh.Rivals != "" {
		fmt.Fprintf(&b, "\nOpen: %s\n", sh.Rivals)
		for _, l := range sh.nextLines() {
			b.WriteString("  " + l + "\n")
		}
	}
	if len(sh.States) > 1 {
		b.WriteString("\nAre the records right?\n")
		writeColumns(&b, "  ", sh.stateRows())
	}
	b.WriteString("\nTaken for granted\n")
	for _, a := range sh.Assumed {
		b.WriteString("  - " + a + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// heading says what was read, on how many, and which way.
func (sh *DiagnosisSheet) heading() string {
	return fmt.Sprintf("%s, %d %s on %s; + = %s (%s) stands out over %s (%s)", sh.Characteristic, sh.Pieces, verb(sh.Pieces, "assembly", "assemblies"), sh.On,
		sh.Proud.Part, sh.Proud.where(), sh.Other.Part, sh.Other.where())
}

// caution stands before the cures that cut, press or heat.
func (sh *DiagnosisSheet) caution() string {
	for _, c := range sh.Cures {
		if c.Cautions != "" {
			return c.Cautions
		}
	}
	return ""
}

func (s DiagnosisSide) where() string {
	if s.FaceDown {
		return s.Station + ", face down"
	}
	return s.Station
}

func (sh *DiagnosisSheet) traitRows() [][]string {
	unit := ""
	if len(sh.Traits) > 0 {
		unit = sh.Traits[0].Value.Unit().Name()
	}
	rows := [][]string{{"in " + unitWords(unit), "read", "1 s", "by records", "main source"}}
	for _, t := range sh.Traits {
		rows = append(rows, []string{t.Trait, number(t.Value), number(t.Error), number(t.Records), t.sourceText()})
	}
	return rows
}

// sourceText lists the suspects of a trait, or says why there are none.
func (t DiagnosisTrait) sourceText() string {
	if !t.Shown {
		text := "inside 2 s of nothing: leave it alone"
		if t.ShowsFrom > 0 {
			text += fmt.Sprintf("; if it is real, about %d assemblies show it", t.ShowsFrom)
		}
		return text
	}
	var parts []string
	for _, s := range t.Suspects {
		if s.Named || s.Probability >= 0.05 {
			text := fmt.Sprintf("%s %s", s.Source, sure(s.Probability))
			if len(parts) == 0 {
				text += fmt.Sprintf(" (adds %s ±%s)", number(s.Adds), number(s.SD))
			}
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, ", ")
}

func (sh *DiagnosisSheet) cureRows() [][]string {
	var rows [][]string
	for i, c := range sh.Cures {
		rows = append(rows, []string{fmt.Sprint(i + 1), "to " + number(c.After), c.Hours.String(), c.Do})
	}
	return rows
}

func (sh *DiagnosisSheet) stateRows() [][]string {
	var rows [][]string
	for _, s := range sh.States {
		rows = append(rows, []string{sure(s.Probability), s.State})
	}
	return rows
}

// nextLines say what would settle what is open.
func (sh *DiagnosisSheet) nextLines() []string {
	if len(sh.Next) == 0 {
		return []string{"no single measurement would tell them apart; a cure that serves either is the better trial"}
	}
	var out []string
	for _, n := range sh.Next[:min(2, len(sh.Next))] {
		text := "would settle it in most cases"
		if !n.Tells {
			text = fmt.Sprintf("narrows the difference from ±%s to ±%s (1 s)", number(n.Before), n.After)
		}
		out = append(out, n.Do+": "+text)
	}
	return out
}
