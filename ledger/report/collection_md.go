package report

import (
	"fmt"
	"io"
)

// WriteMarkdown prints the summary, each page, and what is still open.
func (c *Collection) WriteMarkdown(w io.Writer) error {
	m := mdPage{up: 1}
	fmt.Fprintf(&m.b, "# %s\n\n", md(c.Title))
	m.para("**%s**", md(c.Verdict))
	if rows := c.summaryRows(); rows != nil {
		m.head(1, "Summary")
		m.para("%s.", md(c.statesWords()))
		m.table(rows)
	}
	for _, p := range c.Changes {
		m.Page = p
		m.write()
		m.b.WriteByte('\n')
	}
	m.head(1, "Still open")
	m.list(c.openLines())
	fmt.Fprintf(&m.b, "%s\n", md(c.footer()))
	_, err := io.WriteString(w, m.b.String())
	return err
}

// summaryRows is the table of the summary, head first; nil for no change.
func (c *Collection) summaryRows() [][]string {
	if len(c.Summary) == 0 {
		return nil
	}
	rows := [][]string{{"change", "done", "what was changed", "what was measured", "before → after", "by the readings", "state"}}
	for _, l := range c.Summary {
		rows = append(rows, []string{l.Change, l.Done, l.Title, l.What, l.Numbers, l.Effect, l.State})
	}
	return rows
}

// statesWords says how often the records hold which state.
func (c *Collection) statesWords() string {
	text := "By the records"
	for i, t := range c.States {
		sep := ","
		if i == 0 {
			sep = ":"
		}
		text += fmt.Sprintf("%s %d %s", sep, t.N, t.State)
	}
	return text
}

func (c *Collection) openLines() []string {
	out := []string{}
	for _, o := range c.Open {
		out = append(out, fmt.Sprintf("%s %s: %s", o.Change, o.Title, o.What))
	}
	if len(out) == 0 {
		out = append(out, "nothing that the records know of")
	}
	return out
}

func (c *Collection) footer() string {
	return (&Page{AsOf: c.AsOf, Shop: c.Shop, Private: c.Private}).footer()
}
