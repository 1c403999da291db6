package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteMarkdown prints the page as Markdown, with all its numbers in tables.
func WriteMarkdown(w io.Writer, p *Page) error {
	m := mdPage{Page: p}
	m.write()
	fmt.Fprintf(&m.b, "\n%s\n", md(p.footer()))
	_, err := io.WriteString(w, m.b.String())
	return err
}

// mdPage writes one page; up is how many levels its headings stand deeper than on
// a page of their own.
type mdPage struct {
	*Page
	b  strings.Builder
	up int
}

func (m *mdPage) head(level int, text string) {
	fmt.Fprintf(&m.b, "%s %s\n\n", strings.Repeat("#", level+m.up), text)
}

func (m *mdPage) para(format string, args ...any) { fmt.Fprintf(&m.b, format+"\n\n", args...) }

func (m *mdPage) list(lines []string) {
	for _, l := range lines {
		fmt.Fprintf(&m.b, "- %s\n", mdStart(l))
	}
	if len(lines) > 0 {
		m.b.WriteByte('\n')
	}
}

func (m *mdPage) facts(list []fact) {
	for _, f := range list {
		fmt.Fprintf(&m.b, "- %s: %s\n", f.Name, md(f.Text))
	}
	m.b.WriteByte('\n')
}

func (m *mdPage) table(rows [][]string) {
	if rows != nil {
		mdTable(&m.b, escaped(rows))
	}
}

func (m *mdPage) write() {
	p := m.Page
	m.head(1, md(p.Change)+": "+md(p.Title))
	m.para("**%s** — %s", md(p.State), md(p.Dates.words()))
	if p.Where != "" {
		m.para("%s", mdStart(p.Where))
	}
	if p.Complaint != "" {
		m.para("What was wrong (private): %s", md(p.Complaint))
	}
	m.para("**%s**", md(p.Verdict))
	m.list(p.Also)
	for i := range p.Evidence {
		m.evidence(&p.Evidence[i], i, len(p.Evidence) > 1)
	}
	m.changed()
	m.rest()
}

func (m *mdPage) evidence(e *Evidence, i int, several bool) {
	level := 2
	if several {
		level = 3
		m.head(2, md(e.heading()))
	}
	if e.Before == nil && e.After == nil {
		if list := e.Measured.facts(); list != nil {
			m.head(level, "How measured")
			m.facts(list)
		}
		return
	}
	if several {
		if i > 0 { // the first stands at the top
			m.para("%s", md(e.Verdict))
		}
	}
	if rows := e.readingRows(); rows != nil {
		m.head(level, "Every reading")
		m.para("%s.", md(e.readingWords()))
		m.table(rows)
	}
	if len(e.Points) > 0 {
		m.head(level, "By point")
		m.table(e.pointRows())
	}
	if e.Drift != nil {
		m.head(level, "With the parts cut")
		m.para("%s.", md(upper(e.Drift.Text)))
	}
	m.head(level, "Prediction and result")
	m.para("%s.", md(e.predictedWords()))
	if rows := e.foretoldRows(); rows != nil {
		m.para("%s.", md(e.foretoldWords()))
		m.table(rows)
	}
	m.head(level, "How measured")
	m.facts(e.Measured.facts())
	m.table(e.Measured.takenRows())
}

func (m *mdPage) changed() {
	m.head(2, "What was changed")
	m.facts(m.Changed.facts())
	m.table(m.Changed.pinRows())
	m.list(m.Changed.lines())
	m.head(2, "What else changed in the window")
	if w := m.ElseChanged.window(); w != "" {
		m.para("%s.", md(w))
	}
	m.list(m.ElseChanged.lines())
}

func (m *mdPage) rest() {
	p := m.Page
	if p.Cost != nil {
		m.head(2, "Cost (private)")
		m.para("%s", mdStart(p.Cost.Words()))
	}
	m.head(2, "Side effects and neighbours")
	m.list(p.sideLines())
	m.table(p.stationRows())
	m.head(2, "How to go back")
	m.para("%s", mdStart(orWord(p.RollBack, "not written down")))
	m.head(2, "Re-check")
	m.para("%s", md(p.Recheck.Words()))
	m.head(2, "Lesson")
	fmt.Fprintf(&m.b, "%s\n", mdStart(orWord(p.Lesson, "not written down")))
	if len(p.Photos) > 0 {
		m.b.WriteByte('\n')
		m.head(2, "Photos")
		for _, ph := range p.Photos {
			fmt.Fprintf(&m.b, "- %s (%s)\n", mdStart(ph.Alt), md(ph.File))
		}
	}
}
