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

// document is what the template sees: one page, or several behind a summary.
type document struct {
	Title  string
	Style  template.CSS
	Footer string
	One    *pageView
	All    *collectionView
}

type collectionView struct {
	Title, Verdict, States string
	Rows                   [][]string // of the summary; the first holds the heads
	Summary                []summaryView
	Pages                  []*pageView
	Open                   []string
}

type summaryView struct {
	SummaryLine
	Key string
}

// pageView is what the template sees of one change. Key stands before its ids, and
// its headings are Up levels deeper than on a page of their own.
type pageView struct {
	*Page
	Key      string
	Up       int
	Views    []view
	Pins     [][]string
	Stations [][]string
	Found    []string
	Else     []string
	Window   string
	Facts    []fact
	Sides    []string
	DatesRow []fact
	Shown    []photoView // put into the page
	Named    []Photo     // only named
}

// view is what the template sees of one evidence.
type view struct {
	*Evidence
	On       *pageView
	Read     bool // there are readings
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

type photoView struct {
	Photo
	URI template.URL
}

// Head is a heading. An id is made unique on the page.
func (v *pageView) Head(level int, id, class, text string) template.HTML {
	tag := fmt.Sprintf("h%d", level+v.Up)
	out := "<" + tag
	if id != "" {
		out += ` id="` + template.HTMLEscapeString(v.Key+id) + `"`
	}
	if class != "" {
		out += ` class="` + template.HTMLEscapeString(class) + `"`
	}
	return template.HTML(out + ">" + template.HTMLEscapeString(text) + "</" + tag + ">") // escaped right here
}

// WriteHTML prints the page as one HTML file that needs nothing else: no
// script, no font, no picture from elsewhere. Text of the ledger is escaped;
// the only markup in it is that of the package itself.
func WriteHTML(w io.Writer, p *Page) error {
	return writeDocument(w, document{Title: p.Change + ": " + p.Title, Footer: p.footer(), One: viewOf(p, "", 0)})
}

// WriteHTML prints the collection as one HTML file, as that of a single change.
func (c *Collection) WriteHTML(w io.Writer) error {
	v := &collectionView{Title: c.Title, Verdict: c.Verdict, States: c.statesWords(), Rows: c.summaryRows(), Open: c.openLines()}
	for i, p := range c.Changes {
		key := fmt.Sprintf("c%d-", i+1)
		v.Pages = append(v.Pages, viewOf(p, key, 1))
		v.Summary = append(v.Summary, summaryView{c.Summary[i], key})
	}
	return writeDocument(w, document{Title: c.Title, Footer: c.footer(), All: v})
}

func writeDocument(w io.Writer, d document) error {
	t, err := template.New("page").Funcs(template.FuncMap{
		"minus": minus,
		"upper": upper,
		"or":    orWord,
		"state": stateClass,
	}).Parse(pageTemplate)
	if err != nil {
		return fmt.Errorf("the page's template: %w", err)
	}
	d.Style = template.CSS(pageStyle + svg.Style)
	var b strings.Builder
	if err := t.Execute(&b, d); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

func viewOf(p *Page, key string, up int) *pageView {
	v := &pageView{
		Page: p, Key: key, Up: up, Pins: p.Changed.pinRows(), Stations: p.stationRows(), Found: p.Changed.lines(), Else: p.ElseChanged.lines(),
		Window: p.ElseChanged.window(), Facts: p.Changed.facts(), Sides: p.sideLines(), DatesRow: p.Dates.facts(),
	}
	for i := range p.Evidence {
		e := &p.Evidence[i]
		if e.Before == nil && e.After == nil && e.Measured.facts() == nil {
			continue
		}
		ev := view{
			Evidence: e, On: v, Read: e.Before != nil || e.After != nil, Heading: e.heading(), Readings: e.readingRows(), Facts: e.Measured.facts(), Taken: e.Measured.takenRows(),
			Scale: e.scaleWords(), Written: e.readingWords(), First: i == 0, Predict: e.predictedWords(),
		}
		ev.Dots = template.HTML(e.DotPlot(fmt.Sprintf("%sdots%d", key, i+1), false))       // escaped by its writer
		ev.Outline = template.HTML(e.Outline(fmt.Sprintf("%soutline%d", key, i+1), false)) // as above
		if len(e.Points) > 0 {
			ev.Rows, ev.Numbers = e.pointRows(), "means"
			if e.Points[0].Spread != nil {
				ev.Numbers = "spreads"
			}
		}
		if ev.Told = e.foretoldRows(); ev.Told != nil {
			ev.ToldAs = e.foretoldWords()
		}
		v.Views = append(v.Views, ev)
	}
	for _, ph := range p.Photos {
		if ph.Data == "" {
			v.Named = append(v.Named, ph)
			continue
		}
		// The data URI was made by this package from a checked picture.
		v.Shown = append(v.Shown, photoView{ph, template.URL(ph.Data)})
	}
	return v
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
