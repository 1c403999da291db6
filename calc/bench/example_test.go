package bench_test

import (
	"fmt"
	"os"

	"tenths/calc/bench"
)

func ExampleLimits() {
	a, err := bench.Limits{Size: []string{"25 mm H7"}}.Ask(bench.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	a.WriteText(os.Stdout)
	// Output:
	// 25 mm H7: 25.000 mm to 25.021 mm (ISO 286-2)
	//   upper deviation +0.021 mm, lower deviation 0.000 mm
	//
	// formula   largest size = nominal + upper deviation = 25 mm + 0.021 mm = 25.021 mm
	//           smallest size = nominal + lower deviation = 25 mm + 0.000 mm = 25.000 mm
	//
	// source    ISO 286-2 limits, by the grades, fundamental deviations and delta rule of ISO 286-1
	//
	// cautions  name the standard on the drawing: the same letters in ANSI B4.1 are other limits
}

// The keys of an answer are those of its struct.
func ExampleFit() {
	a, err := bench.Fit{Hole: "0.1875 +0.0005/-0 in", Shaft: "0.1873in"}.Ask(bench.Options{Units: "tenths"})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := a.(*bench.FitAnswer)
	fmt.Println(f.Kind, f.MinClearance, "to", f.MaxClearance)
	// Output: clearance 2 tenths to 7 tenths
}

// Two pins: the answer comes first, in words.
func ExamplePins() {
	a, err := bench.Pins{Hole: "0.1875 +0.0005/-0 in", Pin: "0.1873in", HolePitch: "2.4000 ±0.0005 in"}.Ask(bench.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range a.(*bench.PinsAnswer).Answer {
		fmt.Println(line)
	}
	// Output:
	// not every good part goes on: the pins allow a pitch error of ±0.00020 in, and it may be 0.0005 in; 0.00030 in are missing
	// a part in the middle of all limits goes on, with 0.00022 in on the hole radius
	// what binds first: pin 1, round face; pin 2, round face (pitch)
	// a round second pin would have to be 0.18670 in at most
	// relieve the second pin along the line of the pins, with lands of 0.046 in at most
}

func ExampleBore() {
	a, err := bench.Bore{Limits: "0.1875 +0.0005/-0 in", Entered: []string{"0.1870 in X plus"}, Refused: []string{"0.1873 in X minus"}}.Ask(bench.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	next := a.(*bench.BoreAnswer).Next
	fmt.Println(next.Decision, next.Change)
	fmt.Println("then between", next.AfterMin, "and", next.AfterMax)
	// Output:
	// go on 0.00032 in
	// then between 0.18751 in and 0.18794 in
}

// What is missing or wrong is said with what to type.
func ExampleStack() {
	for _, q := range []bench.Stack{
		{Formula: "housing - spacer", Inputs: []string{"housing=1.500 ±0.004 in"}},
		{Formula: "housing - spacer", Inputs: []string{"housing=1.500 ±0.004", "spacer=0.6 in"}},
	} {
		if _, err := q.Ask(bench.Options{}); err != nil {
			fmt.Println(err)
		}
	}
	// Output:
	// 'housing - spacer', column 11: 'spacer' has no value; values are given for housing
	// housing: '1.500 ±0.004', column 13: the unit is missing; units are in, mm, cm, m, um, thou, tenths, uin, deg, arcmin, arcsec, F, C, K, dF, dC, s, min, h, days, weeks, N, lbf, ozf, %, ppm, parts
}
