package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteMarkdown prints the log as Markdown.
func (l *Log) WriteMarkdown(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n\n", md(l.title()), md(l.period()))
	for _, g := range l.Groups {
		fmt.Fprintf(&b, "## %s\n\n", md(upper(g.Name)))
		for _, e := range g.Entries {
			e.markdown(&b, l.By)
		}
	}
	if len(l.Groups) == 0 {
		fmt.Fprintf(&b, "%s\n\n", l.empty())
	}
	if text := l.leftOut(); text != "" {
		fmt.Fprintf(&b, "%s\n\n", md(text))
	}
	if len(l.Withdrawn) > 0 {
		b.WriteString("## Withdrawn\n\n")
		for _, text := range l.gone() {
			fmt.Fprintf(&b, "- %s\n", md(text))
		}
		b.WriteByte('\n')
	}
	b.WriteString("## Totals\n\n")
	if rows := l.totals(); rows != nil {
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

// empty says that nothing is listed.
func (l *Log) empty() string {
	if l.compared {
		return "Nothing became known since then."
	}
	return "No change was carried out in this time."
}

func (e Entry) markdown(b *strings.Builder, by By) {
	fmt.Fprintf(b, "### %s: %s\n\n", md(e.Change), md(e.heading()))
	fmt.Fprintf(b, "%s — **%s**", md(e.when()), md(e.said()))
	if e.Part != "" && by != ByPart && e.Outcome == "" {
		fmt.Fprintf(b, " — %s", md(e.Part))
	}
	b.WriteString("\n\n")
	for _, f := range e.facts() {
		fmt.Fprintf(b, "- %s: %s\n", md(f.Name), md(f.Text))
	}
	b.WriteByte('\n')
}
