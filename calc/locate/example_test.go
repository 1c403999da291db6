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

// A cover with three holes on three pins: which pins are in the way, and how
// far can the middle of the cover still move.
func ExamplePattern() {
	pins := []locate.Pin{{D: 7.99}, {X: 140, D: 7.99}, {X: 60, Y: 110, D: 9.985}}
	holes := []locate.Hole{{X: 0.006, Y: -0.004, D: 8.02}, {X: 139.993, Y: 0.009, D: 8.022}, {X: 60.003, Y: 110.012, D: 10.02}}
	p, err := locate.Pattern(pins, holes)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("goes on: %v, margin %.4f mm, %d pins bind\n", p.GoesOn, p.Margin, len(p.Binds))
	plus, minus, err := p.Play([2]float64{70, 40}, [2]float64{1, 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("middle: +%.4f mm, -%.4f mm\n", plus, minus)
	// Output:
	// goes on: true, margin 0.0076 mm, 3 pins bind
	// middle: +0.0081 mm, -0.0140 mm
}

// How many good parts go on, and does the worst of them.
func ExampleSimulate() {
	pins := []locate.Pin{{D: 9.99}, {X: 120, D: 9.99}}
	holes := []locate.Hole{{D: 10.01}, {X: 120, D: 10.01}}
	drawing := []locate.Band{{X: 0.015, Y: 0.015, D: 0.006}, {X: 0.015, Y: 0.015, D: 0.006}}
	c, err := locate.Simulate(pins, holes, locate.Scatter{Holes: drawing}, 100_000, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f %% go on, standard error %.1f %%\n", 100*c.P, 100*c.StdErr)
	w, err := locate.Worst(pins, holes, nil, drawing)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("worst good part goes on: %v, %.3f mm of radius missing\n", w.GoesOn, -w.Margin)
	// Output:
	// 88.3 % go on, standard error 0.1 %
	// worst good part goes on: false, 0.008 mm of radius missing
}
