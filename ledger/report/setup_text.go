package report

import (
	"fmt"
	"io"
	"strings"
)

// cautionsDefer stands on every sheet with cautions.
const cautionsDefer = "The cautions are the usual ones and the list is not complete: local codes, the maker of the machine, the data sheets and licensed practice decide."

// heading names the sheet.
func (p *SetupPage) heading() string { return strings.TrimSpace(p.Operation + " " + p.Title) }

// partLine says what is made, in which state.
func (s *SetupSheets) partLine() string {
	return s.Part + prefixed(" ", s.PartTitle) + prefixed(", rev ", s.PartRev) + prefixed(", ", s.PartState) + prefixed(", ", s.Material)
}

// planLine says by which plan, as of which day.
func (s *SetupSheets) planLine() string {
	batch := ""
	if s.Pieces > 0 {
		batch = fmt.Sprintf(", batch of %d", s.Pieces)
	}
	return "plan " + s.Plan + prefixed(" rev ", s.PlanRev) + ", " + s.PlanState + batch + ", as of " + s.AsOf
}

// setupTable is a table of the sheet with its heading.
type setupTable struct {
	Name string
	Rows [][]Fact
}

func (p *SetupPage) clampTables() []setupTable {
	return filled(setupTable{"Clamps", p.Clamps}, setupTable{"Locators", p.Locators})
}

func (p *SetupPage) toolTables() []setupTable {
	return filled(setupTable{"Tools", p.Tools}, setupTable{"Gauges", p.Gauges})
}

func (p *SetupPage) checkTables() []setupTable { return filled(setupTable{"Checks", p.Checks}) }

func filled(tables ...setupTable) []setupTable {
	var out []setupTable
	for _, t := range tables {
		if len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// before says what stands before a step, if anything does.
func (s SheetStep) before() string {
	if s.N == 0 {
		return "Before all steps"
	}
	return fmt.Sprintf("Before step %d", s.N)
}

// missing says which usual cautions nobody wrote down.
func (s SheetStep) missing() string {
	if len(s.Missing) == 0 {
		return ""
	}
	return "usual for " + listed(s.Kinds) + " and not written in the plan: " + strings.Join(s.Missing, "; ")
}

// words is the step itself.
func (s SheetStep) words() string {
	text := s.Text
	if text == "" {
		text = "as the operation says"
	}
	if s.Tool != "" {
		text += " (" + s.Tool + ")"
	}
	if s.Where != "" {
		text += ", " + s.Where
	}
	return text
}

// ifBadHeading says where the list for a bad reading comes from.
func (p *SetupPage) ifBadHeading() string {
	if p.IfBadUsual {
		return "On a bad reading (common practice; the plan says nothing)"
	}
	return "On a bad reading"
}

// WriteMarkdown prints the sheets one after the other, with a rule between them.
func (s *SetupSheets) WriteMarkdown(w io.Writer) error {
	var b strings.Builder
	for i := range s.Pages {
		if i > 0 {
			b.WriteString("---\n\n")
		}
		s.mdPage(&b, &s.Pages[i])
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (s *SetupSheets) mdPage(b *strings.Builder, p *SetupPage) {
	fmt.Fprintf(b, "# %s\n\n", md(p.heading()))
	fmt.Fprintf(b, "%s  \n%s, operation %d of %d\n\n", md(s.partLine()), md(s.planLine()), p.N, p.Of)
	if len(p.First) > 0 {
		b.WriteString("**Look at this first**\n\n")
		for _, t := range p.First {
			fmt.Fprintf(b, "- %s\n", mdStart(t))
		}
		b.WriteByte('\n')
	}
	if len(p.Place) > 0 {
		b.WriteString("## Set-up\n\n")
		for _, f := range p.Place {
			fmt.Fprintf(b, "- %s: %s\n", f.Name, md(f.Text))
		}
		b.WriteByte('\n')
	}
	if len(p.Seating) > 0 {
		b.WriteString("## Seat and clamp\n\n")
		mdNumbered(b, p.Seating)
	}
	mdTables(b, p.clampTables())
	mdTables(b, p.toolTables())
	mdTables(b, p.checkTables())
	b.WriteString("## Steps\n\n")
	for _, st := range p.Steps {
		if len(st.Cautions) > 0 {
			fmt.Fprintf(b, "> **CAUTION. %s:** %s\n\n", st.before(), md(strings.Join(st.Cautions, "; ")))
		}
		if m := st.missing(); m != "" {
			fmt.Fprintf(b, "> **CAUTION. %s:** %s\n\n", st.before(), md(m))
		}
		if st.N > 0 {
			fmt.Fprintf(b, "%d. %s\n\n", st.N, mdStart(st.words()))
		}
	}
	if p.Note != "" {
		fmt.Fprintf(b, "Note: %s\n\n", md(p.Note))
	}
	if len(p.IfBad) > 0 {
		fmt.Fprintf(b, "## %s\n\n", p.ifBadHeading())
		mdNumbered(b, p.IfBad)
	}
	if p.Hazard {
		b.WriteString(cautionsDefer + "\n\n")
	}
}

func mdNumbered(b *strings.Builder, list []string) {
	for i, t := range list {
		fmt.Fprintf(b, "%d. %s\n", i+1, mdStart(t))
	}
	b.WriteByte('\n')
}

func mdTables(b *strings.Builder, tables []setupTable) {
	for _, t := range tables {
		fmt.Fprintf(b, "## %s\n\n", t.Name)
		var head []string
		for _, c := range t.Rows[0] {
			head = append(head, c.Name)
		}
		rows := [][]string{head}
		for _, r := range t.Rows {
			var cells []string
			for _, c := range r {
				cells = append(cells, c.Text)
			}
			rows = append(rows, cells)
		}
		mdTable(b, escaped(rows))
	}
}
