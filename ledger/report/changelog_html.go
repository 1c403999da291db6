package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"tenths/ledger"
)

//go:embed log.gohtml
var logTemplate string

//go:embed log.css
var logStyle string

// logGroup and logEntry are what the template sees of a group and an entry.
type logGroup struct {
	Name    string
	Entries []logEntry
}

type logEntry struct {
	Change, Date, Heading, Where, Said, Class, Anchor string
	Short, Came                                       string // in the table of all
	Facts                                             []fact
}

// WriteHTML prints the log as one HTML file that needs nothing else: no script,
// no font, no picture. By month the newest stands first. Text of the ledger is
// escaped.
func (l *Log) WriteHTML(w io.Writer) error {
	t, err := template.New("log").Funcs(template.FuncMap{"minus": minus}).Parse(logTemplate)
	if err != nil {
		return fmt.Errorf("the list's template: %w", err)
	}
	data := struct {
		Title, Period, Feed, Empty, Footer string
		Predictions                        string
		Style                              template.CSS
		Said, Gone                         []string
		Groups                             []logGroup
		Totals                             [][]string
	}{
		Title: l.title(), Period: l.period(), Empty: l.empty(), Footer: l.footer(), Style: template.CSS(pageStyle + logStyle),
		Gone: l.gone(), Groups: l.htmlGroups(), Totals: l.totals(),
	}
	if text := l.leftOut(); text != "" {
		data.Said = append(data.Said, text)
	}
	if l.Predictions != nil {
		data.Predictions = l.Predictions.Text
	}
	if l.Public && l.public.Feed.Set() && l.public.Site.Set() {
		if data.Feed, err = l.address("atom"); err != nil {
			return err
		}
	}
	var b strings.Builder
	if err := t.Execute(&b, data); err != nil {
		return err
	}
	_, err = io.WriteString(w, ledger.PrintableLines(b.String()))
	return err
}

// htmlGroups lays the groups out, by month the newest first.
func (l *Log) htmlGroups() []logGroup {
	var out []logGroup
	anchors := map[string]int{}
	for _, g := range l.newestFirst() {
		hg := logGroup{Name: upper(g.Name)}
		for _, e := range g.Entries {
			var where []string
			if l.By != ByMonth || e.RolledBack != "" || e.Date != g.Name {
				where = append(where, e.when())
			}
			if e.Part != "" && l.By != ByPart && e.Outcome == "" {
				where = append(where, e.Part)
			}
			came := e.State
			if e.Outcome != "" {
				came = outcomeShort[e.State]
			}
			hg.Entries = append(hg.Entries, logEntry{Change: e.Change, Date: orWord(e.Date, "no date"), Heading: e.heading(), Where: strings.Join(where, " · "), Said: e.said(), Class: e.class(), Anchor: anchor(e.Change, anchors), Short: e.short(), Came: came, Facts: e.facts()})
		}
		out = append(out, hg)
	}
	return out
}

// class sets the outcome apart; the frame of a success only where nothing speaks
// against it.
func (e Entry) class() string {
	if e.State == "verified effective" && (e.Caveat != "" || len(e.Results) == 0 || e.ElseChanged > 0) {
		return "open"
	}
	return stateClass(e.State)
}

// newestFirst gives the groups of a log by month from the newest to the oldest;
// others as they are.
func (l *Log) newestFirst() []LogGroup {
	if l.By != ByMonth {
		return l.Groups
	}
	groups := slices.Clone(l.Groups)
	slices.Reverse(groups)
	for i := range groups {
		groups[i].Entries = slices.Clone(groups[i].Entries)
		slices.Reverse(groups[i].Entries)
	}
	return groups
}

// anchor is the name of an entry in the page, the same whenever it is printed;
// seen counts those that stand in several groups.
func anchor(change string, seen map[string]int) string {
	name := "c-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, change)
	if seen[name]++; seen[name] > 1 {
		name = fmt.Sprintf("%s--%d", name, seen[name])
	}
	return name
}

// footer says how the numbers are meant.
func (l *Log) footer() string {
	text := "Intervals are 95 %; they show that something changed, not why. A tenth is 0.0001 in (2.54 µm)."
	switch {
	case l.For == Customers:
		return "“Shown” means that readings before and after differ by more than their own scatter and the gauge could make them differ. It does not say why."
	case l.Public:
		return text + " (size) and (class) stand where a size or a class of fit of ours was taken out."
	}
	return text + " Private: this list holds what must not leave the shop."
}
