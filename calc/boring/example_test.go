package boring_test

import (
	"fmt"

	"tenths/calc/boring"
	"tenths/calc/quantity"
)

// A 16 mm hole with a 10 mm cutter: the centre runs on 6 mm, and 800 mm/min at
// the wall is 300 at the centre.
func ExampleHelix() {
	var c boring.Cut
	for _, in := range []struct {
		to   *quantity.Quantity
		text string
	}{{&c.Hole, "16 mm"}, {&c.Cutter, "10 mm"}, {&c.Pitch, "0.5 mm"}, {&c.WallFeed, "800 mm/min"}} {
		q, err := quantity.Parse(in.text, quantity.Unit{})
		if err != nil {
			fmt.Println(err)
			return
		}
		*in.to = q
	}
	p, err := boring.Helix(c)
	if err != nil {
		fmt.Println(err)
		return
	}
	mmMin, _ := quantity.LookupUnit("mm/min")
	fmt.Println("path", p.Diameter, "feed", p.CentreFeed.Format(mmMin, 0), "ramp", p.Ramp.Format(quantity.Degree, 2))
	// Output: path 6 mm feed 300 mm/min ramp 1.52 deg
}

// What two pins of class Z say of a hole (invented sizes).
func ExampleBracket() {
	z, err := boring.Bracket(quantity.Quantity{}, fact("0.1870 +0.0001/-0 in", true), fact("0.1873 +0/-0.0001 in", false))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(z)
	// Output: between 0.1870 in and 0.1873 in
}

// A hole on its way to 0.1875 to 0.1880 in (invented sizes), before and after
// the pass that was given.
func ExampleNext() {
	limits, err := quantity.ParseToleranced("0.1875 +0.0005/-0 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	job := boring.Job{Limits: limits, Start: []boring.Fact{fact("0.1870 +0.00004/-0 in", true), fact("0.1873 +0/-0.00004 in", false)}}
	for range 2 {
		step, err := boring.Next(job)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %s\n", step.Decision, step.Why)
		job.Passes = []boring.Pass{{
			Change: step.Change,
			Facts:  []boring.Fact{fact("0.1876 +0.00004/-0 in", true), fact("0.1878 +0/-0.00004 in", false)},
		}}
	}
	// Output:
	// go on: the hole lies between 0.18700 in and 0.18730 in; with 0.00032 in more on the radius it comes to lie between 0.18751 in and 0.18794 in, not above 0.1880 in
	// stop: the hole lies between 0.18760 in and 0.18780 in, inside 0.1875 +0.0005/-0 in
}

func fact(gauge string, entered bool) boring.Fact {
	g, err := quantity.ParseToleranced(gauge, quantity.Inch)
	if err != nil {
		panic(err)
	}
	return boring.Fact{Gauge: g, Entered: entered}
}
