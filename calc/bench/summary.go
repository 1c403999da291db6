package bench

import (
	"errors"

	"tenths/calc/quantity"
	"tenths/calc/stats"
)

// Summary asks what a group of readings says.
type Summary struct {
	Readings   []string `arg:"" optional:"" sep:"none" help:"The readings in the order they were made, the unit at the end: '12 10 8 10 11 9 tenths'."`
	Resolution string   `placeholder:"VALUE" help:"What one count of the gauge is."`
}

// About implements Question.
func (Summary) About() string {
	return "What a group of readings says: mean, spread and median with their intervals, where the next part will lie, whether the readings drift, and what the rounding of the gauge hides. Confidence 95 %."
}

// Examples implements Question.
func (Summary) Examples() []string {
	return []string{"'12 10 8 10 10 9 13 12 10 10 11 10 12 10 11 11 10 10 11 10 tenths' --resolution 1tenths"}
}

// SummaryAnswer is the answer to Summary; what does not apply is null.
type SummaryAnswer struct {
	N             int               `json:"n"`
	Mean          quantity.Quantity `json:"mean"`
	MeanLow       quantity.Quantity `json:"mean_low"`
	MeanHigh      quantity.Quantity `json:"mean_high"`
	StandardError Rough             `json:"standard_error"`
	SD            Rough             `json:"sd"`
	SDLow         Rough             `json:"sd_low"`
	SDHigh        Rough             `json:"sd_high"`
	Median        quantity.Quantity `json:"median"`
	Min           quantity.Quantity `json:"min"`
	Max           quantity.Quantity `json:"max"`
	Range         quantity.Quantity `json:"range"`
	NextLow       quantity.Quantity `json:"next_part_low"`
	NextHigh      quantity.Quantity `json:"next_part_high"`
	Follows       Rough             `json:"autocorrelation"` // of each reading with the one before
	// Of the parts behind the rounding.
	PartsSD  Rough             `json:"parts_sd"`
	FitMean  quantity.Quantity `json:"fit_mean"`
	FitSD    Rough             `json:"fit_sd"`
	Resolved *bool             `json:"spread_resolved"` // null without a resolution
	Sheet
}

// Ask implements Question (package stats).
func (q Summary) Ask(o Options) (Answer, error) {
	w, g := oneGroup(o, words(q.Readings), q.Resolution)
	if w.err != nil {
		return nil, w.err
	}
	s, err := stats.Summarize(g.before.Values)
	if err != nil {
		return nil, err
	}
	a := &SummaryAnswer{Sheet: newSheet(), N: s.N, Mean: g.shown(s.Mean), Median: g.shown(s.Median), Min: g.read(s.Min), Max: g.read(s.Max), Range: g.read(s.Range())}
	spread := func(v float64) Rough { return Rough{Quantity: quantity.FromFloat(v, g.unit), digits: 2} }
	if s.N < 2 {
		a.say("mean %s: one reading, of which no spread can be known", a.Mean)
		a.step("mean = the reading")
		a.cite("common practice: five readings and more")
		a.mind("one reading is a demonstration, no proof")
		return done(a, w)
	}
	mean, err := s.MeanIn(confidence)
	if err != nil {
		return nil, err
	}
	sd, err := s.SDIn(confidence)
	if err != nil {
		return nil, err
	}
	next, err := stats.Prediction(s.Mean, s.SD, s.N, confidence)
	if err != nil {
		return nil, err
	}
	a.MeanLow, a.MeanHigh, a.StandardError = g.shown(mean.Low), g.shown(mean.High), spread(s.SE())
	a.SD, a.SDLow, a.SDHigh = spread(s.SD), spread(sd.Low), spread(sd.High)
	a.NextLow, a.NextHigh = g.shown(next.Low), g.shown(next.High)
	a.say("mean %s (95 %%: %s to %s), %s", a.Mean, a.MeanLow, a.MeanHigh, counted(s.N, "reading", "readings"))
	a.say("spread (standard deviation, n - 1) %s (95 %%: %s to %s)", a.SD, a.SDLow, a.SDHigh)
	a.say("median %s, from %s to %s, range %s", a.Median, a.Min, a.Max, a.Range)
	a.say("the next part lies between %s and %s, with 95 %% confidence", a.NextLow, a.NextHigh)
	a.step("interval of the mean = mean ± t·sd/sqrt(n), t(97.5 %%) with %d degrees of freedom; standard error sd/sqrt(n) = %s", s.N-1, a.StandardError)
	a.step("interval of the spread = sd·sqrt((n - 1)/chi²)")
	a.step("next part = mean ± t·sd·sqrt(1 + 1/n)")
	a.cite("NIST/SEMATECH e-Handbook 1.3.5.2 and 1.3.5.8; prediction: Vardeman and Jobe, Basic Engineering Data Collection and Analysis")
	a.mind("the intervals of the spread and of the next part suppose normal readings of a process that stays as it is")
	if err := a.order(g.before.Values); err != nil {
		return nil, err
	}
	if err := a.rounding(s, g, spread); err != nil {
		return nil, err
	}
	return done(a, w)
}

// order says whether the readings follow each other.
func (a *SummaryAnswer) order(values []float64) error {
	const enough = 8 // below it hardly any order stands out
	r, stands, err := stats.Lag1(values)
	if err != nil || len(values) < enough {
		return err
	}
	a.Follows = Rough{Quantity: quantity.FromFloat(r, quantity.One), digits: 2}
	if !stands {
		return nil
	}
	what := "drifts"
	if r < 0 {
		what = "alternates"
	}
	a.say("in the order given it %s: each reading follows the one before (autocorrelation %s); the intervals then say too much", what, a.Follows)
	a.cite("autocorrelation at lag 1: NIST/SEMATECH e-Handbook 1.3.5.12 and 1.3.3.1")
	return nil
}

// rounding says what the count of the gauge hides.
func (a *SummaryAnswer) rounding(s stats.Summary, g groups, spread func(float64) Rough) error {
	count := g.before.Resolution
	if count == 0 {
		return nil
	}
	behind, ok := stats.Sheppard(s.SD, count)
	a.Resolved = &ok
	if ok {
		a.PartsSD = spread(behind)
		a.say("of that spread, rounding to the count is a part; the parts themselves have about %s", a.PartsSD)
		a.step("spread of the parts = sqrt(sd² - count²/12) (Sheppard) = %s", a.PartsSD)
		a.cite("Sheppard's correction, 1898 (from memory); the 0.6 of a count from which it holds follows from the normal distribution")
	} else {
		a.say("the readings vary by less than 0.6 of a count: the spread of the parts, and where in the count their mean lies, cannot be told from them")
		a.mind("more readings on this gauge do not help; a finer count does")
	}
	fit, err := stats.FitRounded(g.before.Values, count)
	switch {
	case errors.Is(err, stats.ErrNotIdentified):
		a.mind("no distribution can be fitted: %s", err)
		return nil
	case err != nil:
		return err
	}
	a.FitMean, a.FitSD = g.shown(fit.Mean), spread(fit.SD)
	a.say("a normal distribution fitted to the rounded readings has mean %s and spread %s", a.FitMean, a.FitSD)
	a.step("likeliest mean and spread when each reading only says that the part lies within half a count (divisor n)")
	return nil
}
