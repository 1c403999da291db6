package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"

	"tenths/ledger"
	"tenths/ledger/report/svg"
)

//go:embed diagnosis.gohtml
var diagnosisTemplate string

// traitStyle lets the words of the last column wrap, and no name before them.
const traitStyle = ".traits td:last-child{white-space:normal}.traits tbody th{white-space:nowrap}\n"

// WriteHTML prints a diagnosis as one HTML file that needs nothing else.
func (sh *DiagnosisSheet) WriteHTML(w io.Writer) error {
	t, err := template.New("diagnosis").Funcs(template.FuncMap{"minus": minus}).Parse(diagnosisTemplate)
	if err != nil {
		return fmt.Errorf("the template of a diagnosis: %w", err)
	}
	data := struct {
		*DiagnosisSheet
		Style     template.CSS
		Where     string
		Outline   template.HTML
		Traits    [][]string
		CureRows  [][]string
		Now       string
		Caution   string
		NextLines []string
		StateRows [][]string
	}{
		DiagnosisSheet: sh, Style: template.CSS(pageStyle + svg.Style + traitStyle), Where: sh.heading(),
		Outline: template.HTML(sh.outline()), // escaped by its writer
		Traits:  sh.traitRows(), Caution: sh.caution(),
	}
	if len(sh.Cures) > 0 {
		data.Now = sh.Cures[0].Before.String()
		data.CureRows = [][]string{{"", "typical step", "work", "what to do", "risk"}}
		for i, r := range sh.cureRows() {
			data.CureRows = append(data.CureRows, append(r, sh.Cures[i].Risk))
		}
	}
	if len(sh.States) > 1 {
		data.StateRows = append([][]string{{"probability", "state"}}, sh.stateRows()...)
	}
	if sh.Rivals != "" {
		data.NextLines = sh.nextLines()
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

// outline draws the mean step that was read at each point beside the one that the
// records make one expect.
func (sh *DiagnosisSheet) outline() string {
	d := sh.d
	if len(d.Points) < 3 {
		return ""
	}
	o := svg.Outline{ID: "steps", Title: sh.Title + ": mean step at each point of the outline"}
	var read, told []svg.OutlineStep
	var words []string
	for i, p := range d.Points {
		o.Points = append(o.Points, svg.OutlinePoint{Name: p.ID, X: p.At.X, Y: p.At.Y, NX: p.At.NX, NY: p.At.NY})
		by := d.Expected(p.ID)
		read = append(read, svg.OutlineStep{Value: d.Means[i], Text: number(sh.Points[i].Mean)})
		told = append(told, svg.OutlineStep{Value: by, Low: by, High: by, Text: number(sh.Points[i].Records)})
		words = append(words, fmt.Sprintf("%s %s, by the records %s", p.ID, number(sh.Points[i].Mean), number(sh.Points[i].Records)))
	}
	for _, pin := range d.Seam.Proud.Pins {
		o.Marks = append(o.Marks, svg.OutlineMark{Name: pin.Feature.ID.S, X: pin.X, Y: pin.Y})
	}
	o.Panels = []svg.OutlinePanel{
		{Head: "read " + sh.On, Series: []svg.OutlineSeries{{Kind: svg.Now, Steps: read}}},
		{Head: "by the records", Series: []svg.OutlineSeries{{Kind: svg.Foretold, Steps: told}}},
	}
	o.Desc = "Arrows at the points of the outline show the mean step in " + d.ReadIn().Name() + ", outwards is plus: " + strings.Join(words, "; ") + "."
	picture, _ := o.Draw()
	if picture == "" {
		return ""
	}
	return picture + "<figcaption>Mean step at each point. Dashed: by the records alone.</figcaption>\n"
}
