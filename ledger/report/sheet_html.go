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

//go:embed sheet.gohtml
var sheetTemplate string

// sheetSection is a section with its picture as markup.
type sheetSection struct {
	Section
	Picture template.HTML
}

// WriteHTML prints the sheet as one HTML file that needs nothing else, with its
// pictures. What they show stands in words beside them. It holds everything that
// the record holds and is not for the public.
func (sh *Sheet) WriteHTML(w io.Writer) error {
	t, err := template.New("sheet").Funcs(template.FuncMap{"minus": minus, "upper": upper, "state": stateClass}).Parse(sheetTemplate)
	if err != nil {
		return fmt.Errorf("the sheet's template: %w", err)
	}
	style := pageStyle + svg.Style + svg.TrackStyle
	if sh.Kind == string(ledger.KindPlan) {
		style += svg.PlanStyle
	}
	data := struct {
		*Sheet
		Style template.CSS
		Pages []sheetSection
	}{Sheet: sh, Style: template.CSS(style)}
	for _, s := range sh.Sections {
		data.Pages = append(data.Pages, sheetSection{s, template.HTML(s.Picture)}) // escaped by its writer
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}
