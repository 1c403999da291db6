package locate_test

import (
	"fmt"

	"tenths/calc/locate"
)

// Two round pins 120 mm apart; the holes of the part are 0.05 mm farther apart
// than their clearance allows. Relieving the second pin is the cure.
func ExampleTwoPins() {
	pins := [2]locate.Pin{{D: 9.98}, {X: 120, D: 9.98}}
	holes := [2]locate.Hole{{D: 10.02}, {X: 120.05, D: 10.02}}
	r, err := locate.TwoPins(pins, holes)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("goes on: %v, mismatch %.3f mm, allowed ±%.3f mm, limit: %v\n", r.GoesOn, r.Mismatch, r.Allowance, r.Limit)

	land, err := locate.LargestLand(holes[1].D, pins[1].D, r.Mismatch, r.C1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("relieve pin 2 along the line, land at most %.2f mm\n", land)

	pins[1].Kind, pins[1].Land = locate.Relieved, 4
	r, err = locate.TwoPins(pins, holes)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("land 4 mm: goes on: %v, allowed ±%.3f mm\n", r.GoesOn, r.Allowance)
	// Output:
	// goes on: false, mismatch 0.050 mm, allowed ±0.040 mm, limit: pitch
	// relieve pin 2 along the line, land at most 6.64 mm
	// land 4 mm: goes on: true, allowed ±0.069 mm
}

// How far the far end of a part, half a pitch beyond the second pin, can swing.
func ExamplePlay() {
	pins := [2]locate.Pin{{D: 9.98}, {X: 120, D: 9.98}}
	holes := [2]locate.Hole{{D: 10.00}, {X: 120, D: 10.00}}
	plus, minus, err := locate.Play(pins, holes, [2]float64{180, 0}, [2]float64{0, 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("+%.3f mm, -%.3f mm\n", plus, minus)
	// Output: +0.020 mm, -0.020 mm
}

// The exact reach of a stock relieved pin, and what the usual first-order
// formula claims.
func ExampleReach() {
	e, err := locate.Reach(10.02, 9.98, 3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("exact ±%.4f mm, first order ±%.4f mm\n", e, 10.02*(10.02-9.98)/(2*3))
	// Output: exact ±0.0652 mm, first order ±0.0668 mm
}
