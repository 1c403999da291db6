package freedom_test

import (
	"fmt"

	"tenths/calc/freedom"
)

// A plate on a seat, a round pin and a pin that was relieved the wrong way.
func ExampleSpace() {
	ls := freedom.Seat([3]float64{0, 0, 0}, [3]float64{200, 0, 0}, [3]float64{100, 120, 0})
	pin := freedom.RoundPin([3]float64{40, 60, 0})
	ls = append(ls, pin[0], pin[1], freedom.RelievedPin([3]float64{160, 60, 0}, 1.5707963267948966))
	f, err := freedom.Space(ls, freedom.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("fixed:", f.Fixed())
	for _, m := range f.Free {
		fmt.Println("free to", m)
	}
	for _, g := range f.Groups {
		fmt.Println("fighting:", g.Members)
	}
	// Output:
	// fixed: false
	// free to turn about Z through (40, 60, 0) mm
	// fighting: [3 5]
}

// What a locator that stands proud does to a hole far outside the span.
func ExampleFreedom_Influence() {
	up := [3]float64{0, 1, 0}
	f, err := freedom.Plane([]freedom.Locator{
		{At: [3]float64{20, 0, 0}, Normal: up},
		{At: [3]float64{80, 0, 0}, Normal: up},
		{At: [3]float64{0, 30, 0}, Normal: [3]float64{1, 0, 0}},
	}, freedom.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	a, err := f.Influence([3]float64{200, 60, 0}, up)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("for each 0.01 mm under it: %.3f and %.3f mm\n", 0.01*a[0], 0.01*a[1])
	// Output: for each 0.01 mm under it: -0.020 and 0.030 mm
}
