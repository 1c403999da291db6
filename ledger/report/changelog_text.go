package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteMarkdown prints the log as Markdown.
func (l *Log) WriteMarkdown(w io.Writer) error {
	var b strings.Builder
	head := "Shop improvements"
	if l.Public {
		head = "Improvements"
	}
	fmt.Fprintf(&b, "# %s\n\n%s\n\n", head, md(l.period()))
	for _, g := range l.Groups {
		fmt.Fprintf(&b, "## %s\n\n", md(upper(g.Name)))
		for _, e := range g.Entries {
			e.markdown(&b, l.By)
		}
	}
	if len(l.Groups) == 0 {
		b.WriteString("No change was carried out in this time.\n\n")
	}
	b.WriteString("## Totals\n\n")
	rows := [][]string{{"what came out", "changes"}}
	for _, t := range l.Totals {
		if t.N > 0 {
			rows = append(rows, []string{t.State, fmt.Sprint(t.N)})
		}
	}
	if len(rows) > 1 {
		mdTable(&b, rows)
	} else {
		b.WriteString("None.\n\n")
	}
	if p := l.Predictions; p != nil {
		fmt.Fprintf(&b, "## Predictions\n\n%s\n", md(p.Text))
	}
	_, err := io.WriteString(w, strings.TrimRight(b.String(), "\n")+"\n")
	return err
}

func (l *Log) period() string {
	text := "As of " + l.AsOf
	switch {
	case l.Since != "" && l.Until != "":
		text += ", work done from " + l.Since + " to " + l.Until
	case l.Since != "":
		text += ", work done since " + l.Since
	case l.Until != "":
		text += ", work done until " + l.Until
	}
	return text + ". What did not help, and what could not be told, is listed too."
}

func (e Entry) markdown(b *strings.Builder, by By) {
	fmt.Fprintf(b, "### %s: %s\n\n", md(e.Change), md(e.Title))
	when := e.Date
	if e.RolledBack != "" {
		when += ", undone " + e.RolledBack
	}
	fmt.Fprintf(b, "%s — **%s**", md(orWord(when, "no date")), md(e.State))
	if e.Part != "" && by != ByPart {
		fmt.Fprintf(b, " — %s", md(e.Part))
	}
	b.WriteString("\n\n")
	item := func(name, text string) {
		if text != "" {
			fmt.Fprintf(b, "- %s: %s\n", name, md(text))
		}
	}
	item("you will notice", e.Notice)
	item("changed", e.Kind)
	item("why", e.Cause)
	for _, r := range e.Results {
		text := r.Text
		if !strings.HasPrefix(text, r.What) {
			text = r.What + ": " + text
		}
		item("result", joinSentences(text, r.Note))
	}
	if len(e.Results) == 0 {
		item("judged by", orWord(e.Criterion, "no readings before and after"))
	}
	if e.WorsePoints > 0 {
		item("got worse", fmt.Sprintf("%d %s", e.WorsePoints, plural(e.WorsePoints, "point")))
	}
	if e.ElseChanged > 0 {
		item("not alone", fmt.Sprintf("%d other %s changed at the same time, so the result may not be due to this change", e.ElseChanged, plural(e.ElseChanged, "thing")))
	}
	item("side effects", e.SideEffects)
	item("lesson", e.Lesson)
	item("applies from", e.AppliesFrom)
	b.WriteByte('\n')
}
