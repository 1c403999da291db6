package report

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// Forecast is what a change is expected to do. Its fields stand in the order in
// which the page tells them; this order is that of the JSON.
type Forecast struct {
	AsOf   string `json:"as_of"`
	Change string `json:"change"`
	Title  string `json:"title"`
	State  string `json:"state"`
	Done   string `json:"done"`
	// KnownOn is the day whose knowledge counts, and KnownWhy why that one.
	KnownOn  string `json:"known_on"`
	KnownWhy string `json:"known_why"`
	// Planned says what the change means to make, one line a thing.
	Planned []string       `json:"planned"`
	Items   []ForecastItem `json:"items"`
}

// ForecastItem is what is expected of one characteristic.
type ForecastItem struct {
	Path    string `json:"path"`
	Title   string `json:"title"`
	Primary bool   `json:"primary"`
	Claim   string `json:"claim"`
	Judged  string `json:"judged"`
	Unit    string `json:"unit"`
	// Answer is the first sentence; where nothing can be foretold, why not.
	Answer     string `json:"answer"`
	Foretold   bool   `json:"foretold"`
	Pieces     []int  `json:"pieces"` // before and after
	PiecesFrom string `json:"pieces_from"`
	// How says whether the difference is added to readings or to the model.
	How    string         `json:"how"`
	Before *ForecastRange `json:"before,omitempty"`
	After  *ForecastRange `json:"after,omitempty"`
	Change *ForecastRange `json:"change,omitempty"`
	// Unlike is the change if the lots before and after differ in what is named
	// as far as it may vary.
	Unlike   *ForecastRange `json:"change_of_unlike_lots,omitempty"`
	UnlikeIn []string       `json:"unlike_in,omitempty"`
	// Settled is the change if every pin stands exactly where its survey or the
	// plan has it.
	Settled   *ForecastRange  `json:"change_with_pins_exact,omitempty"`
	SDBefore  *ForecastRange  `json:"spread_before,omitempty"`
	SDAfter   *ForecastRange  `json:"spread_after,omitempty"`
	Ratio     *ForecastRange  `json:"spread_ratio,omitempty"` // after over before
	Limits    Bounds          `json:"limits"`
	Goal      Bounds          `json:"goal"`
	Points    []ForecastPoint `json:"points"`
	From      []ForecastShare `json:"interval_from"`
	Unknown   string          `json:"unexplained,omitempty"` // of the readings before
	Idle      []string        `json:"planned_without_effect"`
	Assumed   []string        `json:"assumed"`
	Predicted string          `json:"predicted"` // as the key of the change takes it
	// Recorded is the prediction that the record holds, with its day.
	Recorded   string `json:"recorded"`
	RecordedOn string `json:"recorded_on"`
	f          *study.Foretold
}

// ForecastRange is a number with the interval that holds it 95 times in 100.
type ForecastRange struct {
	Value quantity.Quantity `json:"value"`
	Low   quantity.Quantity `json:"low"`
	High  quantity.Quantity `json:"high"`
}

// ForecastPoint is what is expected at one point. Worse is the chance that its
// level ends farther from zero.
type ForecastPoint struct {
	Point  string        `json:"point"`
	Before ForecastRange `json:"before"`
	After  ForecastRange `json:"after"`
	Change ForecastRange `json:"change"`
	Worse  float64       `json:"worse"`
	Word   string        `json:"word"`
}

// ForecastShare is what a source has of the width of the interval.
type ForecastShare struct {
	Name string  `json:"name"`
	Part float64 `json:"part"` // of the variance, 0 to 1
}

// Predict lays out what a change is expected to do. The error is for a record
// that is no change.
func Predict(s *study.Set, rec *ledger.Record) (*Forecast, error) {
	o := s.Predict(rec)
	if o == nil {
		return nil, fmt.Errorf("%s is a %s; a prediction is made for a change, such as CH-01", rec.ID(), orWord(string(rec.Kind()), "record that cannot be read"))
	}
	ch := o.Change
	out := &Forecast{
		AsOf: day(s.AsOf), Change: rec.ID(), Title: line(rec.Common.Title.S), State: s.StateOn(ch), Done: by(s, ch.Done),
		KnownOn: day(o.Day), KnownWhy: o.Why, Planned: []string{}, Items: []ForecastItem{},
	}
	for _, p := range ch.Planned {
		out.Planned = append(out.Planned, plannedWords(p))
	}
	for i, f := range o.Items {
		it := itemOf(s, f)
		it.Recorded, it.RecordedOn = size(ch.Predicted), ch.PredictedOn.String()
		if !it.Primary {
			it.Recorded, it.RecordedOn = line(ch.Also[i-(len(o.Items)-len(ch.Also))].Predicted.S), ""
		}
		out.Items = append(out.Items, it)
	}
	return out, nil
}

// plannedWords tells one planned state by its keys.
func plannedWords(p ledger.Planned) string {
	what := p.What.S
	p.What = ledger.Ref{} // it stands before the rest
	sec := &Section{}
	writtenKeys(sec, reflect.ValueOf(p))
	var parts []string
	for _, f := range sec.Facts {
		parts = append(parts, f.Name+" "+f.Text)
	}
	return line(what) + ": " + orWord(strings.Join(parts, ", "), "nothing is said of it")
}

func itemOf(s *study.Set, f *study.Foretold) ForecastItem {
	ev := f.Ev
	it := ForecastItem{Primary: ev.Primary, Claim: ev.Claim, Pieces: []int{}, Points: []ForecastPoint{}, From: []ForecastShare{}, Idle: []string{}, Assumed: []string{}, f: f}
	if ev.Char != nil {
		it.Path = ev.CharRec.ID() + "/" + ev.Char.ID.S
		it.Title = line(orWord(ev.Char.Title.S, ev.Char.ID.S))
	}
	if f.Skip != "" {
		it.Answer = "Nothing is foretold: " + line(f.Skip) + "."
		return it
	}
	it.Foretold, it.Unit, it.Predicted = true, f.Unit.Name(), f.Text()
	it.Judged = forecastJudged(f)
	it.Pieces, it.PiecesFrom = f.Pieces[:], f.PiecesFrom
	it.Limits, it.Goal = forecastBounds(f, ev.Char.Limits), forecastBounds(f, ev.Char.Goal)
	span := func(i study.Interval) *ForecastRange { return &ForecastRange{f.Q(i.Value), f.Q(i.Low), f.Q(i.High)} }
	if !f.PerPoint {
		it.Before, it.After, it.Change = span(f.Before), span(f.After), span(f.Change)
		if f.Measured {
			it.Before = &ForecastRange{Value: f.Q(f.Before.Value)}
		}
		if ev.Claim == "spread" {
			it.SDBefore, it.SDAfter = span(f.SDBefore), span(f.SDAfter)
			r := func(v float64) quantity.Quantity { return study.Rounded(quantity.FromFloat(v, quantity.One), 2) }
			it.Ratio = &ForecastRange{r(f.Ratio.Value), r(f.Ratio.Low), r(f.Ratio.High)}
		}
	}
	if unlike, what, ok := f.Open(); ok {
		it.Unlike, it.UnlikeIn = span(unlike), what
	}
	if settled, ok := f.PinsSettled(); ok {
		it.Settled = span(settled)
	}
	for _, p := range f.Points {
		pt := ForecastPoint{Point: p.Point, Before: *span(p.Before), After: *span(p.After), Change: *span(p.Change), Worse: math.Round(100*p.Worse) / 100, Word: worseWord(p.Worse)}
		if f.Measured {
			pt.Before = ForecastRange{Value: f.Q(p.Before.Value)}
		}
		it.Points = append(it.Points, pt)
	}
	for _, sh := range f.Shares {
		it.From = append(it.From, ForecastShare{line(sh.Name), math.Round(100*sh.Part) / 100})
	}
	for _, name := range f.Idle {
		it.Idle = append(it.Idle, line(name))
	}
	for _, text := range f.Assumed {
		it.Assumed = append(it.Assumed, line(text))
	}
	if f.Beside > 0 {
		it.Unknown = fmt.Sprintf("the readings before lie farther from the model than looseness, pins and gauge explain, by about %s at a point: that may go with the change or stay, so the interval is wider by it", textOf(f.Q(f.Beside)))
	}
	it.How = howWords(f)
	it.Answer = it.answer()
	return it
}

// forecastJudged says what of a piece is judged, in words.
func forecastJudged(f *study.Foretold) string {
	switch n := len(f.Points); {
	case n == 0:
		return "each reading"
	case n == 1:
		return "at " + f.Points[0].Point
	case f.PerPoint:
		return fmt.Sprintf("each of %d points", n)
	default:
		return fmt.Sprintf("largest of %d points", n)
	}
}

// forecastBounds are limits in the unit of the forecast, counted from its base.
func forecastBounds(f *study.Foretold, s ledger.Size) Bounds {
	lower, upper := f.Ev.Bounds(s)
	in := func(q quantity.Quantity) quantity.Quantity {
		if out, err := q.As(f.Unit); err == nil && !q.IsZeroValue() {
			return out
		}
		return q
	}
	return Bounds{in(lower), in(upper), size(s)}
}

func worseWord(p float64) string {
	switch {
	case p >= study.GetsWorse:
		return "▲ gets worse"
	case p >= study.MayGetWorse:
		return fmt.Sprintf("△ may get worse, %.0f in 100", 100*p)
	}
	return ""
}

func howWords(f *study.Foretold) string {
	pieces := fmt.Sprintf("for %d %s before and %d after (%s)", f.Pieces[0], plural(f.Pieces[0], "piece"), f.Pieces[1], f.PiecesFrom)
	if f.Measured && f.Ev.Claim == "spread" {
		return fmt.Sprintf("the ratio is computed, and the spread that was measured on %s is multiplied by it, %s", f.Ev.Before.In.On, pieces)
	}
	if f.Measured {
		return fmt.Sprintf("the difference is computed and added to what was measured on %s, %s", f.Ev.Before.In.On, pieces)
	}
	return "computed alone: no readings before were there yet, " + pieces
}

// spanText writes a number with its interval.
func spanText(r *ForecastRange) string {
	out := number(r.Value)
	if !r.Low.IsZeroValue() {
		out += " (" + number(r.Low) + " … " + number(r.High) + ")"
	}
	return out
}

// answer is the sentence that stands first.
func (it *ForecastItem) answer() string {
	head := it.Title
	if it.Judged != "each reading" {
		head += ", " + it.Judged
	}
	unit := unitWord(it.Unit)
	n := fmt.Sprintf("%d against %d pieces", it.Pieces[0], it.Pieces[1])
	worse := it.worseWords()
	switch {
	case it.f.PerPoint:
		return joinSentences(head + ": each point is judged by itself, so there is no one number; " + n + worse)
	case it.Claim == "spread":
		return joinSentences(fmt.Sprintf("%s: spread (s) %s → %s%s, after over before %s, %s", head, number(it.SDBefore.Value), number(it.SDAfter.Value), unit, spanText(it.Ratio), n) + worse)
	}
	text := fmt.Sprintf("%s: change %s%s, %s → %s, %s", head, spanText(it.Change), unit, number(it.Before.Value), number(it.After.Value), n)
	if b := it.Limits; !b.Upper.IsZeroValue() {
		text += "; limit " + number(b.Upper)
		if g := it.Goal; !g.Upper.IsZeroValue() {
			text += ", goal " + number(g.Upper)
		}
	}
	return joinSentences(text + worse)
}

func (it *ForecastItem) worseWords() string {
	var sure, may []string
	for _, p := range it.Points {
		switch {
		case p.Worse >= study.GetsWorse:
			sure = append(sure, p.Point)
		case p.Worse >= study.MayGetWorse:
			may = append(may, p.Point)
		}
	}
	out := ""
	if sure != nil {
		out += ". " + strings.Join(sure, ", ") + " gets worse"
	}
	if may != nil {
		out += ". " + strings.Join(may, ", ") + " may get worse"
	}
	return out
}

// pointRows is the table of points, head first.
func (it *ForecastItem) pointRows() [][]string {
	if len(it.Points) == 0 || it.Claim == "spread" {
		return nil
	}
	rows := [][]string{{"point", "before", "after", "95 % interval", "change", "95 % interval", ""}}
	for _, p := range it.Points {
		rows = append(rows, []string{p.Point, number(p.Before.Value), number(p.After.Value), intervalText(p.After), number(p.Change.Value), intervalText(p.Change), p.Word})
	}
	return rows
}

func intervalText(r ForecastRange) string {
	if r.Low.IsZeroValue() {
		return ""
	}
	return number(r.Low) + " … " + number(r.High)
}

// remarks says how the numbers came about and what they leave open.
func (it *ForecastItem) remarks() []string {
	var out []string
	if it.How != "" {
		out = append(out, it.How)
	}
	if it.Settled != nil {
		out = append(out, fmt.Sprintf("with every pin exactly where its survey or the plan has it, the change is %s%s: the rest of the interval is what is not known of the pins", spanText(it.Settled), unitWord(it.Unit)))
	}
	if it.Unlike != nil {
		out = append(out, fmt.Sprintf("both lots are taken to be alike in %s; if they are not, the change is %s%s", strings.Join(it.UnlikeIn, " and in "), spanText(it.Unlike), unitWord(it.Unit)))
	}
	if it.Unknown != "" {
		out = append(out, it.Unknown)
	}
	if len(it.Idle) > 0 {
		out = append(out, "planned, but nothing that this is computed from: "+strings.Join(it.Idle, ", "))
	}
	return append(out, it.Assumed...)
}

// shareWords says what the width of the interval comes from.
func (it *ForecastItem) shareWords() string {
	var parts []string
	for _, s := range it.From {
		if s.Part >= 0.005 {
			parts = append(parts, fmt.Sprintf("%s %.0f %%", s.Name, 100*s.Part))
		}
	}
	return strings.Join(parts, ", ")
}
