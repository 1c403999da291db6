package report

import (
	"fmt"
	"math"
	"strings"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Predictions says how good the predictions of a list of changes have been.
type Predictions struct {
	// Made are those with an interval that stood in the record before the
	// readings after; Held those whose interval holds what was found.
	Made int `json:"made"`
	Held int `json:"held"`
	// ShareLow and ShareHigh bound the true share that holds, at 95 %.
	ShareLow  float64 `json:"share_low"`
	ShareHigh float64 `json:"share_high"`
	// MeanError is the mean distance from the prediction over the half-width of
	// its interval; right intervals give about 0.4.
	MeanError  float64  `json:"mean_error"`
	Missed     []string `json:"missed"` // changes whose interval does not hold the result
	Late       int      `json:"late"`
	NoInterval int      `json:"no_interval"`
	Open       int      `json:"open"` // no result yet
	Text       string   `json:"text"`
}

// fewPredictions is the number under which a share of predictions says little.
const fewPredictions = 20

func predictionsOf(s *study.Set, changes []*ledger.Record) *Predictions {
	t := s.Track(changes)
	if t.Made+t.Late+t.NoInterval+t.Open == 0 {
		return nil
	}
	p := &Predictions{Made: t.Made, Held: t.Held, Late: t.Late, NoInterval: t.NoInterval, Open: t.Open, Missed: []string{}}
	for _, rec := range t.Missed {
		p.Missed = append(p.Missed, line(rec.ID()))
	}
	var parts []string
	if t.Made > 0 {
		p.ShareLow, p.ShareHigh, p.MeanError = round2(t.Share.Low), round2(t.Share.High), round2(t.Error)
		parts = append(parts, fmt.Sprintf("%d of %d predictions with an interval held what was found", t.Held, t.Made), shareWords(t))
		parts = append(parts, fmt.Sprintf("what was found lay %.1f of the half-width from the prediction on average; right intervals give about 0.4", t.Error))
		if len(p.Missed) > 0 {
			parts = append(parts, "Not held: "+strings.Join(p.Missed, ", "))
		}
	} else {
		parts = append(parts, "No prediction with an interval has a result yet")
	}
	var left []string
	for _, c := range []struct {
		n    int
		word string
	}{{t.NoInterval, "without an interval"}, {t.Late, "not written before the readings"}, {t.Open, "without a result to hold it against"}} {
		if c.n > 0 {
			left = append(left, fmt.Sprintf("%d %s", c.n, c.word))
		}
	}
	if left != nil {
		parts = append(parts, "Not counted: "+strings.Join(left, ", "))
	}
	p.Text = joinSentences(parts...)
	return p
}

// shareWords says what so many cases tell of the 95 in 100 that are claimed.
func shareWords(t study.Track) string {
	low, high := math.Floor(100*t.Share.Low), math.Ceil(100*t.Share.High)
	span := fmt.Sprintf("the true share can be anything from %.0f %% to %.0f %%", low, high)
	switch {
	case t.Share.High < study.Confidence:
		return "that is fewer than the 95 in 100 that they claim, so the intervals are too narrow: " + span
	case t.Made < fewPredictions:
		return "that does not contradict the 95 in 100 that they claim, but so few say little: " + span
	}
	return "that goes with the 95 in 100 that they claim: " + span
}
