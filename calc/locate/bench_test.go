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

func BenchmarkPlay(b *testing.B) {
	pins, holes := benchmarkPattern(0)
	for b.Loop() {
		if _, _, err := Play(pins, holes, [2]float64{60, 80}, [2]float64{1, 0}); err != nil {
			b.Fatal(err)
		}
	}
}
