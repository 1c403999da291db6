package stats_test

import (
	"fmt"

	"tenths/calc/stats"
)

// Six assemblies before and six after a change, step at the seam in tenths of a
// thousandth of an inch, one indicator read to half a tenth (invented data).
func ExampleCompare() {
	before := stats.Sample{Values: []float64{13.0, 12.0, 13.5, 16.5, 17.5, 9.0}, Resolution: 0.5, Gauge: "G4"}
	after := stats.Sample{Values: []float64{14.5, 12.0, 7.0, 9.0, 3.0, 5.0}, Resolution: 0.5, Gauge: "G4"}
	c, err := stats.Compare(before, after, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f (%.1f to %.1f): %s\n", c.Difference, c.Low, c.High, c.Verdict)
	// Output: -5.2 (-10.1 to -0.3): shown
}

// By scatter alone p is below 2 %, yet the means differ by less than half of
// what the gauge shows as one count.
func ExampleCompare_resolution() {
	before := stats.Sample{Values: []float64{2, 2, 3, 2, 3, 2, 3, 2, 3, 2, 3, 2}, Resolution: 1}
	after := stats.Sample{Values: []float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}, Resolution: 1}
	c, err := stats.Compare(before, after, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("p = %.3f, %.2f count: %s (%s)\n", c.Sampling.P, c.DifferenceCounts, c.Verdict, c.Reason)
	fmt.Printf("the gauge shows nothing under %.2f count\n", c.Floor.Limit/c.Count)
	// Output:
	// p = 0.017, -0.42 count: cannot tell (below the resolution floor)
	// the gauge shows nothing under 0.87 count
}

// What five parts before and five after can show, in units of the part-to-part
// standard deviation.
func ExampleSmallestShift() {
	shift, err := stats.SmallestShift(5, 1, stats.UsualPower)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f s\n", shift)
	// Output: 2.0 s
}

// "None bad in thirty" still leaves room for one in ten.
func ExampleNoneBad() {
	p, err := stats.NoneBad(30, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at most %.0f %% bad\n", 100*p)
	// Output: at most 10 % bad
}

// Three of twenty needed a mallet before, none of twenty after.
func ExampleFisherExact() {
	r, err := stats.FisherExact(3, 20, 0, 20)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("p = %.2f\n", r.TwoSided)
	// Output: p = 0.23
}
