package report

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

var entity = regexp.MustCompile(`&(#?\w+;)`)

// md makes text of a ledger fit for Markdown: on one line, with the letters
// escaped that would make it markup, raw HTML above all.
func md(s string) string {
	s = line(s)
	s = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "[", `\[`, "]", `\]`, "<", `\<`, "|", `\|`, "~~", `\~\~`).Replace(s)
	s = entity.ReplaceAllString(s, `\&$1`)
	// An underscore inside a word is no markup.
	var b strings.Builder
	runes := []rune(s)
	for i, r := range runes {
		if r == '_' && (i == 0 || i == len(runes)-1 || !letter(runes[i-1]) || !letter(runes[i+1])) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// mdStart is md for text that begins a line or a list item, where a sign could
// begin a list, a heading or a quotation.
func mdStart(s string) string {
	s = md(s)
	if s != "" && strings.ContainsRune(">#+-=", rune(s[0])) {
		return `\` + s
	}
	return s
}

func letter(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r > 0x7f
}

// mdTable writes a table; the first row is the head.
func mdTable(b *strings.Builder, rows [][]string) {
	for i, row := range rows {
		b.WriteString("| " + strings.Join(row, " | ") + " |\n")
		if i == 0 {
			b.WriteString("|" + strings.Repeat(" --- |", len(row)) + "\n")
		}
	}
	b.WriteByte('\n')
}

// WriteMarkdown prints the page as Markdown, with all its numbers in tables.
func WriteMarkdown(w io.Writer, p *Page) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s: %s\n\n", md(p.Change), md(p.Title))
	fmt.Fprintf(&b, "**%s** — %s\n\n", md(p.State), md(p.Dates.words()))
	if p.Where != "" {
		fmt.Fprintf(&b, "%s\n\n", mdStart(p.Where))
	}
	if p.Complaint != "" {
		fmt.Fprintf(&b, "Complaint (private): %s\n\n", md(p.Complaint))
	}
	fmt.Fprintf(&b, "**%s**\n\n", md(p.Verdict))
	for _, s := range p.Also {
		fmt.Fprintf(&b, "- %s\n", mdStart(s))
	}
	if len(p.Also) > 0 {
		b.WriteByte('\n')
	}
	for i := range p.Evidence {
		mdEvidence(&b, &p.Evidence[i], len(p.Evidence) > 1)
	}
	p.mdChanged(&b)
	p.mdRest(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

func mdEvidence(b *strings.Builder, e *Evidence, several bool) {
	if e.Before == nil && e.After == nil {
		return
	}
	level := "##"
	if several {
		level = "###"
		fmt.Fprintf(b, "## %s\n\n%s\n\n", md(e.heading()), md(e.Verdict))
	}
	if rows := e.readingRows(); rows != nil {
		fmt.Fprintf(b, "%s Every reading\n\n%s.\n\n", level, md(e.readingWords()))
		mdTable(b, escaped(rows))
	}
	if len(e.Points) > 0 {
		b.WriteString(level + " By point\n\n")
		mdTable(b, escaped(e.pointRows()))
	}
	if e.Prediction != nil {
		fmt.Fprintf(b, "%s Prediction and result\n\n%s.\n\n", level, md(upper(e.Prediction.Text)))
	}
	if rows := e.foretoldRows(); rows != nil {
		if e.Prediction == nil {
			fmt.Fprintf(b, "%s Prediction and result\n\n", level)
		}
		fmt.Fprintf(b, "%s.\n\n", md(e.foretoldWords()))
		mdTable(b, escaped(rows))
	}
	b.WriteString(level + " How measured\n\n")
	for _, f := range e.Measured.facts() {
		fmt.Fprintf(b, "- %s: %s\n", f.Name, md(f.Text))
	}
	b.WriteByte('\n')
	if rows := e.Measured.takenRows(); rows != nil {
		mdTable(b, escaped(rows))
	}
}

// escaped makes a table of ledger text fit for Markdown.
func escaped(rows [][]string) [][]string {
	for i := range rows {
		for j := range rows[i] {
			rows[i][j] = md(rows[i][j])
		}
	}
	return rows
}

func (p *Page) mdChanged(b *strings.Builder) {
	b.WriteString("## What was changed\n\n")
	for _, f := range p.Changed.facts() {
		fmt.Fprintf(b, "- %s: %s\n", f.Name, md(f.Text))
	}
	b.WriteByte('\n')
	if rows := p.Changed.pinRows(); rows != nil {
		mdTable(b, escaped(rows))
	}
	b.WriteString("## What else changed in the window\n\n")
	if w := p.ElseChanged.window(); w != "" {
		fmt.Fprintf(b, "%s.\n\n", md(w))
	}
	for _, l := range p.ElseChanged.lines() {
		fmt.Fprintf(b, "- %s\n", mdStart(l))
	}
	b.WriteByte('\n')
}

func (p *Page) mdRest(b *strings.Builder) {
	if p.Cost != nil {
		fmt.Fprintf(b, "## Cost (private)\n\n%s\n\n", mdStart(p.Cost.words()))
	}
	b.WriteString("## Side effects and neighbours\n\n")
	for _, l := range p.sideLines() {
		fmt.Fprintf(b, "- %s\n", mdStart(l))
	}
	fmt.Fprintf(b, "\n## How to go back\n\n%s\n\n", mdStart(orWord(p.RollBack, "not written down")))
	fmt.Fprintf(b, "## Re-check\n\n%s\n\n", md(upper(p.Recheck.Text)))
	fmt.Fprintf(b, "## Lesson\n\n%s\n", mdStart(orWord(p.Lesson, "not written down")))
	if len(p.Photos) > 0 {
		b.WriteString("\n## Photos\n\n")
		for _, ph := range p.Photos {
			fmt.Fprintf(b, "- %s (%s)\n", mdStart(ph.Alt), md(ph.File))
		}
	}
	fmt.Fprintf(b, "\n%s\n", md(p.footer()))
}
