package study

import (
	"math"
	"sync"

	"tenths/calc/locate"
)

// asked holds the answers of a study that are computed only when somebody asks.
type asked struct {
	doubt   sync.Once
	margin  float64
	known   bool
	chance  sync.Once
	share   locate.Chance
	drawn   bool
	largest sync.Once
	sizes   []float64
}

// MarginInDoubt is the margin of the worst good part, in mm, if every survey in
// force were wrong by all of its uncertainty, in whatever direction hurts most:
// the positions of the pins are taken to lie in a square of ±U. It is false if
// no survey states an uncertainty, or it cannot be computed.
func (l *Locating) MarginInDoubt() (float64, bool) {
	l.asked.doubt.Do(func() {
		any := false
		for i := range l.Pins {
			any = any || l.Pins[i].U > 0
		}
		if !any || l.Skip != "" {
			return
		}
		if w, err := l.setUp(true).worst(); err == nil {
			l.asked.margin, l.asked.known = w.Margin, true
		}
	})
	return l.asked.margin, l.asked.known
}

// InDoubt is how much more or less could be missing of a station on which not
// every good part goes, in mm, if every survey in force were wrong by all of its
// uncertainty: of two pins in their pitch, of more in the radius of every hole.
// It is false if no survey states an uncertainty.
func (l *Locating) InDoubt() (float64, bool) {
	low, known := l.MarginInDoubt()
	if len(l.Pins) == 2 {
		return l.Pins[0].U + l.Pins[1].U, known
	}
	return l.Worst.Margin - low, known
}

// How many parts are drawn: enough for a standard error of 0.1 % on two pins and
// 0.2 % on more, and quick.
const (
	drawnOnTwo  = 200_000
	drawnOnMore = 50_000
	drawnSeed   = 1
)

// Chance draws good parts at random and tells what share of them goes on. Every
// size and coordinate lies evenly and by itself within its limits; a pin that
// was surveyed stands where it was found. The same ledger gives the same
// answer. It is false for a station that takes every good part, where nothing
// needs to be drawn, and where nothing could be computed.
func (l *Locating) Chance() (locate.Chance, bool) {
	l.asked.chance.Do(func() {
		if l.Skip != "" || l.Worst.GoesOn {
			return
		}
		s, n := l.setUp(false), drawnOnMore
		if len(l.Pins) == 2 {
			n = drawnOnTwo
		}
		c, err := locate.Simulate(s.pins, s.holes, locate.Scatter{Pins: s.pinBands, Holes: s.holeBand}, n, drawnSeed)
		l.asked.share, l.asked.drawn = c, err == nil
	})
	return l.asked.share, l.asked.drawn
}

// LargestPins gives, for each pin, the largest diameter in mm with which every
// good part goes on, the other pins as they are, rounded down to the step in
// which pins are made; 0 where no diameter above half of the hole does.
func (l *Locating) LargestPins() []float64 {
	l.asked.largest.Do(func() {
		l.asked.sizes = make([]float64, len(l.Pins))
		if l.Skip != "" {
			return
		}
		s := l.setUp(false)
		for k := range l.Pins {
			if c, ok := s.clearance([]int{k}); ok {
				l.asked.sizes[k] = l.stepDown(s.holes[k].D - s.holeBand[k].D - c)
			}
		}
	})
	return l.asked.sizes
}

// clearance is the least clearance, in mm of diameter, that some pins must all
// have in their smallest holes for every good part to go on. It is false where
// even half of a hole is not enough, or a pin would be narrower than its land.
// The tolerance of these pins in diameter is given up: the answer is for the
// largest.
func (s setUp) clearance(which []int) (float64, bool) {
	most := math.Inf(1)
	for _, k := range which {
		hole := s.holes[k].D - s.holeBand[k].D
		most = min(most, hole/2)
		if s.pins[k].Kind == locate.Relieved {
			most = min(most, hole-s.pins[k].Land)
		}
	}
	less := widest(-most, 0, searchTol, func(less float64) bool {
		t := s.with(func(pins []locate.Pin) {
			for _, k := range which {
				pins[k].D = s.holes[k].D - s.holeBand[k].D + less
			}
		})
		t.pinBands = append([]locate.Band(nil), s.pinBands...)
		for _, k := range which {
			t.pinBands[k].D = 0
		}
		return t.allGoOn()
	})
	return -less, !math.IsNaN(less)
}

// searchTol, mm, is how closely diameters are searched: far below the step in which
// pins are made.
const searchTol = 1e-9

// widest is the largest value between low and high that serves, found by halving
// to within tol; not a number if even low does not.
func widest(low, high, tol float64, serves func(float64) bool) float64 {
	switch {
	case serves(high):
		return high
	case !serves(low):
		return math.NaN()
	}
	for high-low > tol {
		if mid := (low + high) / 2; serves(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
