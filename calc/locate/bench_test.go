package locate

import (
	"math"
	"testing"
)

func benchmarkPattern(turn float64) ([2]Pin, [2]Hole) {
	pins, holes := flat(120, 120.02, 10.02, 9.98, 3)
	pins[1].ReliefAxis = turn
	return pins, holes
}

func BenchmarkTwoPinsOnLine(b *testing.B) {
	pins, holes := benchmarkPattern(0)
	for b.Loop() {
		if _, err := TwoPins(pins, holes); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTwoPinsTurned(b *testing.B) {
	pins, holes := benchmarkPattern(math.Pi / 3)
	for b.Loop() {
		if _, err := TwoPins(pins, holes); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTwoPinStudy is the whole study of a station: margin, angle range,
// and the play of a point in both senses.
func BenchmarkTwoPinStudy(b *testing.B) {
	for name, turn := range map[string]float64{"on line": 0, "turned 12°": 12 * math.Pi / 180} {
		pins, holes := benchmarkPattern(turn)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				p, err := Pattern(pins[:], holes[:])
				if err != nil {
					b.Fatal(err)
				}
				if r, ok := p.TwoPins(); !ok || r.Margin != p.Margin {
					b.Fatal("no two pins")
				}
				if _, _, err := p.AngleRange(); err != nil {
					b.Fatal(err)
				}
				if _, _, err := p.Play([2]float64{60, 80}, [2]float64{1, 0}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkFourPinMargin(b *testing.B) {
	for name, relieved := range map[string]int{"round": 0, "two relieved": 2, "four relieved": 4} {
		pins, holes := fourPins(relieved)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Pattern(pins, holes); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// fourPins is case PP10 of the reference file, with the last pins relieved
// along the diagonal.
func fourPins(relieved int) ([]Pin, []Hole) {
	pins := []Pin{{X: -80, Y: -50, D: 7.99}, {X: 80, Y: -50, D: 7.985}, {X: 80, Y: 50, D: 7.99}, {X: -80, Y: 50, D: 7.98}}
	holes := []Hole{{-79.996, -50.007, 8.02}, {80.009, -49.994, 8.024}, {79.99, 50.005, 8.018}, {-80.004, 50.011, 8.022}}
	for k := 4 - relieved; k < 4; k++ {
		pins[k].Kind, pins[k].Land = Relieved, 3
		pins[k].ReliefAxis = math.Atan2(pins[k].Y, pins[k].X)
	}
	return pins, holes
}

// The simulations of the size that a study uses: a million parts on two pins, a
// hundred thousand on four.
func BenchmarkSimulateTwoPins(b *testing.B) {
	for name, kind := range map[string]Kind{"round": Round, "relieved": Relieved} {
		pins, holes := benchmarkPattern(0)
		pins[1].Kind = kind
		holes[1].X = 120
		s := Scatter{
			Pins:  []Band{{0.005, 0.005, 0.004}, {0.005, 0.005, 0.004}},
			Holes: []Band{{0.02, 0.02, 0.009}, {0.02, 0.02, 0.009}},
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				c, err := Simulate(pins[:], holes[:], s, 1_000_000, 1)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*c.P, "%go-on")
			}
		})
	}
}

func BenchmarkSimulateFourPins(b *testing.B) {
	for name, relieved := range map[string]int{"round": 0, "two relieved": 2} {
		pins, holes := fourPins(relieved)
		s := Scatter{Holes: make([]Band, 4)}
		for k := range pins {
			holes[k].X, holes[k].Y = pins[k].X, pins[k].Y
			s.Holes[k] = Band{0.012, 0.012, 0.006}
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				c, err := Simulate(pins, holes, s, 100_000, 1)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(100*c.P, "%go-on")
			}
		})
	}
}
