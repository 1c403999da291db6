package clamp_test

import (
	"fmt"

	"tenths/calc/clamp"
)

// A block on four rests, one strap clamp on top, a side cut of 1000 N carried
// by friction alone.
func ExampleHold() {
	up, down := [3]float64{0, 0, 1}, [3]float64{0, 0, -1}
	var rests []clamp.Contact
	for _, p := range [][3]float64{{-50, -30, 0}, {-50, 30, 0}, {50, -30, 0}, {50, 30, 0}} {
		rests = append(rests, clamp.Contact{At: p, Normal: up, Mu: 0.2})
	}
	strap := clamp.Contact{At: [3]float64{0, 0, 40}, Normal: down, Mu: 0.15}
	cut := clamp.Load{Force: [3]float64{1000, 0, 0}, At: [3]float64{0, 0, 20}}
	h, err := clamp.Hold(rests, []clamp.Contact{strap}, []clamp.Load{cut}, clamp.Options{Safety: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at least %.0f N, a lower bound: %v\n", h.Total, h.LowerBound)
	// Output: at least 5714 N, a lower bound: true
}

// A casting on three rests whose weight lies outside them.
func ExampleSeat() {
	up := [3]float64{0, 0, 1}
	rests := []clamp.Contact{
		{At: [3]float64{0, 0, 0}, Normal: up},
		{At: [3]float64{100, 0, 0}, Normal: up},
		{At: [3]float64{0, 60, 0}, Normal: up},
	}
	s, err := clamp.Seat(rests, clamp.Load{Force: [3]float64{0, 0, -300}, At: [3]float64{75, 30, 25}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("stays: %v, lifts at %v\n", s.Stays, s.Lifts)
	// Output: stays: false, lifts at [0]
}
