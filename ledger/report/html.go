package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/report/svg"
)

//go:embed page.gohtml
var pageTemplate string

//go:embed page.css
var pageStyle string

// leadingMinus is a hyphen that stands for a minus sign: before a number, not
// inside a date or an id.
var leadingMinus = regexp.MustCompile(`(^|[\s(])-(\d|\.\d)`)

// minus puts minus signs where hyphens stand for them.
func minus(s string) string { return leadingMinus.ReplaceAllString(s, "${1}\u2212${2}") }

// view is what the template sees of one evidence.
type view struct {
	*Evidence
	Heading  string
	Dots     template.HTML
	Outline  template.HTML
	Readings [][]string
	Rows     [][]string
	Numbers  string // what the rows hold
	Facts    []fact
	Taken    [][]string
	Scale    string
	Written  string
	Predict  string
	Told     [][]string
	ToldAs   string
	First    bool
}

// WriteHTML prints the page as one HTML file that needs nothing else: no
// script, no font, no picture from elsewhere. Text of the ledger is escaped;
// the only markup in it is that of the package itself.
func WriteHTML(w io.Writer, p *Page) error {
	t, err := template.New("page").Funcs(template.FuncMap{
		"minus": minus,
		"upper": upper,
		"or":    orWord,
		"state": stateClass,
	}).Parse(pageTemplate)
	if err != nil {
		return fmt.Errorf("the page's template: %w", err)
	}
	data := struct {
		*Page
		Style    template.CSS
		Views    []view
		Pins     [][]string
		Else     []string
		Window   string
		Facts    []fact
		Sides    []string
		Footer   string
		DatesRow []fact
		Photos   []photoView
	}{
		Page: p, Style: template.CSS(pageStyle + svg.Style), Pins: p.Changed.pinRows(), Else: p.ElseChanged.lines(), Window: p.ElseChanged.window(),
		Facts: p.Changed.facts(), Sides: p.sideLines(), Footer: p.footer(), DatesRow: p.Dates.facts(),
	}
	for i := range p.Evidence {
		e := &p.Evidence[i]
		if e.Before == nil && e.After == nil {
			continue
		}
		v := view{Evidence: e, Heading: e.heading(), Readings: e.readingRows(), Facts: e.Measured.facts(), Taken: e.Measured.takenRows(), Scale: e.scaleWords(), Written: e.readingWords(), First: i == 0}
		v.Dots = template.HTML(e.DotPlot(fmt.Sprintf("dots%d", i+1), false))       // escaped by its writer
		v.Outline = template.HTML(e.Outline(fmt.Sprintf("outline%d", i+1), false)) // as above
		if len(e.Points) > 0 {
			v.Rows, v.Numbers = e.pointRows(), "means"
			if e.Points[0].Spread != nil {
				v.Numbers = "spreads"
			}
		}
		if v.Told = e.foretoldRows(); v.Told != nil {
			v.ToldAs = e.foretoldWords()
		}
		if e.Prediction != nil {
			v.Predict = upper(e.Prediction.Text)
		}
		data.Views = append(data.Views, v)
	}
	for _, ph := range p.Photos {
		// The data URI was made by this package from a checked picture.
		data.Photos = append(data.Photos, photoView{ph, template.URL(ph.Data)})
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

type photoView struct {
	Photo
	URI template.URL
}

// facts lists the days that are known, in their order.
func (d Dates) facts() []fact {
	var out []fact
	for _, f := range []fact{{"proposed", d.Opened}, {"before", d.Before}, {"done", d.Done}, {"after", d.After}, {"undone", d.RolledBack}} {
		if f.Text != "" {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b fact) int {
		return strings.Compare(strings.TrimPrefix(a.Text, "about "), strings.TrimPrefix(b.Text, "about "))
	})
	return out
}

// stateClass sets a state apart by its frame.
func stateClass(state string) string {
	switch state {
	case "verified effective":
		return "good"
	case "harmful", "rolled back", "not effective":
		return "bad"
	}
	return "open"
}
