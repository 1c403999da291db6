package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/report/svg"
	"tenths/ledger/study"
)

//go:embed forecast.gohtml
var forecastTemplate string

// forecastView is what the template sees of one item.
type forecastView struct {
	*ForecastItem
	Outline template.HTML
	Rows    [][]string
	Shares  string
	Remarks []string
}

// WriteHTML prints the forecast as one HTML file that needs nothing else.
func (fc *Forecast) WriteHTML(w io.Writer) error {
	t, err := template.New("forecast").Funcs(template.FuncMap{"minus": minus, "upper": upper, "state": stateClass, "or": orWord}).Parse(forecastTemplate)
	if err != nil {
		return fmt.Errorf("the page's template: %w", err)
	}
	data := struct {
		*Forecast
		Style    template.CSS
		Standing string
		Views    []forecastView
	}{Forecast: fc, Style: template.CSS(pageStyle + svg.Style), Standing: fc.standing()}
	for i := range fc.Items {
		it := &fc.Items[i]
		v := forecastView{ForecastItem: it, Rows: it.pointRows(), Shares: it.shareWords(), Remarks: it.remarks()}
		v.Outline = template.HTML(it.Outline(fmt.Sprintf("outline%d", i+1), false)) // escaped by its writer
		data.Views = append(data.Views, v)
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

// Outline draws the step at each point before and as it is predicted; empty
// unless there are three points or more whose places are known.
func (it *ForecastItem) Outline(id string, alone bool) string {
	if it.f == nil || len(it.f.Points) < 3 {
		return ""
	}
	var names []string
	for _, p := range it.f.Points {
		names = append(names, p.Point)
	}
	o, ok := outlineOf(it.f.Ev, names)
	if !ok {
		return ""
	}
	o.ID, o.Alone, o.Title = id, alone, it.Title+": mean step at each point, before and as predicted"
	before := svg.OutlineSeries{Kind: svg.Foretold}
	head := "before, computed"
	if it.f.Measured {
		before.Kind, head = svg.Was, "before, measured "+it.f.Ev.Before.In.On.String()
	}
	after := svg.OutlineSeries{Kind: svg.Foretold}
	var words []string
	for _, p := range it.f.Points {
		before.Steps = append(before.Steps, outlineStep(it.f, p.Before))
		after.Steps = append(after.Steps, outlineStep(it.f, p.After))
		words = append(words, fmt.Sprintf("%s %s to %s", p.Point, number(it.f.Q(p.Before.Value)), number(it.f.Q(p.After.Value))))
	}
	o.Panels = []svg.OutlinePanel{{Head: head, Series: []svg.OutlineSeries{before}}, {Head: "after, predicted", Series: []svg.OutlineSeries{after}}}
	o.Desc = "Arrows at the points of the outline show the mean step in " + it.Unit + ", outwards is plus: " + strings.Join(words, "; ") + "."
	picture, _ := o.Draw()
	return picture
}

// outlineStep is a number of a prediction as a step in mm.
func outlineStep(f *study.Foretold, i study.Interval) svg.OutlineStep {
	mm := func(v float64) float64 { return quantity.FromFloat(v, f.Unit).FloatIn(quantity.Millimetre) }
	out := svg.OutlineStep{Value: mm(i.Value), Low: math.NaN(), High: math.NaN(), Text: number(f.Q(i.Value))}
	if i.Low < i.High {
		out.Low, out.High = mm(i.Low), mm(i.High)
	}
	return out
}
