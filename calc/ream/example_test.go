package ream_test

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/calc/ream"
)

func ExampleLimits() {
	for _, text := range []string{"0.1875 +0.0005/-0 in", "20 mm H7"} {
		hole, err := quantity.ParseToleranced(text, quantity.Inch)
		if err != nil {
			fmt.Println(err)
			return
		}
		reamer, err := ream.Limits(hole)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: reamer %s to %s\n", hole, reamer.Lower, reamer.Upper)
	}
	// Output:
	// 0.1875 +0.0005/-0 in: reamer 0.1877 in to 0.1879 in
	// 20 mm H7: reamer 20.009 mm to 20.017 mm
}

// A reamer from the drawer: what room does it leave?
func ExamplePlace() {
	hole, err := quantity.ParseToleranced("0.1875 +0.0005/-0 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, text := range []string{"0.1876 in", "0.1875 in"} {
		reamer, err := quantity.Parse(text, quantity.Inch)
		if err != nil {
			fmt.Println(err)
			return
		}
		p, err := ream.Place(hole, reamer)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %s; may cut %s under and %s over its size\n", reamer, p.Position, p.OverLow, p.UnderTop)
	}
	// Output:
	// 0.1876 in: low side; may cut 0.0001 in under and 0.0004 in over its size
	// 0.1875 in: outside; may cut 0.0000 in under and 0.0005 in over its size
}

func ExampleStockFor() {
	drill, err := quantity.Parse("0.182 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	reamer, err := quantity.Parse("0.1876 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := ream.StockFor(drill, reamer)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s on the diameter: %s (%s to %s)\n", s.Amount, s.Verdict, s.Least, s.Most)
	// Output: 0.0056 in on the diameter: usual (0.004 in to 0.012 in)
}
