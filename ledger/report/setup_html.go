package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/report/svg"
)

//go:embed setup.gohtml
var setupTemplate string

//go:embed setup.css
var setupStyle string

// sizeColumns hold numbers that a narrow column must not part from their units.
var sizeColumns = []string{"size", "height", "diameter", "stick-out", "force", "at least", "at most", "goal"}

// setupView is what the template sees of one page.
type setupView struct {
	*SetupPage
	Heading, IfBadHeading  string
	Holds, Takes, Measures []setupTable
	Doing                  []stepView
	Drawn                  template.HTML
}

type stepView struct {
	SheetStep
	Before, Lacks, Words string
}

// WriteHTML prints the sheets as one HTML file that needs nothing else; on paper, A4 or
// Letter, each operation begins a page of its own.
func (s *SetupSheets) WriteHTML(w io.Writer) error {
	t, err := template.New("setup").Funcs(template.FuncMap{"minus": minus, "quantity": func(column string) bool { return slices.Contains(sizeColumns, column) }}).Parse(setupTemplate)
	if err != nil {
		return fmt.Errorf("the template of setup sheets: %w", err)
	}
	data := struct {
		*SetupSheets
		Style                    template.CSS
		PartLine, PlanLine, Says string
		Views                    []setupView
	}{SetupSheets: s, Style: template.CSS(pageStyle + setupStyle + svg.Style), PartLine: s.partLine(), PlanLine: s.planLine(), Says: cautionsDefer}
	for i := range s.Pages {
		p := &s.Pages[i]
		v := setupView{SetupPage: p, Heading: p.heading(), IfBadHeading: p.ifBadHeading(), Holds: p.clampTables(), Takes: p.toolTables(), Measures: p.checkTables(),
			Drawn: template.HTML(p.Picture)} // escaped by its writer
		for _, st := range p.Steps {
			v.Doing = append(v.Doing, stepView{st, st.before(), st.missing(), st.words()})
		}
		data.Views = append(data.Views, v)
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}
