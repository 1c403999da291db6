package quantity_test

import (
	"fmt"
	"time"

	"tenths/calc/quantity"
)

func ExampleParse() {
	for _, text := range []string{"0.1880 in", "3/32 in", "0,1875 in"} {
		q, err := quantity.Parse(text, quantity.Inch)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(q, "=", q.Format(quantity.Millimetre, 4))
	}
	// Output:
	// 0.1880 in = 4.7752 mm
	// 3/32 in = 2.3812 mm
	// '0,1875 in', column 2: a comma is not the decimal mark here; write 0.1875, with a point
}

func ExampleToleranced_Side() {
	hole, err := quantity.ParseToleranced("0.1875 +0.0005/-0 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, text := range []string{"0.1880 in", "4.7752 mm", "0.18801 in"} {
		q, err := quantity.Parse(text, quantity.Inch)
		if err != nil {
			fmt.Println(err)
			return
		}
		side, err := hole.Side(q)
		fmt.Println(q, "is", side, hole, err)
	}
	// Output:
	// 0.1880 in is inside 0.1875 +0.0005/-0 in <nil>
	// 4.7752 mm is inside 0.1875 +0.0005/-0 in <nil>
	// 0.18801 in is above 0.1875 +0.0005/-0 in <nil>
}

func ExampleInterval_After() {
	i, err := quantity.ParseInterval("1 month")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(i.After(time.Date(2024, 1, 31, 0, 0, 0, 0, time.UTC)).Format(time.DateOnly))
	// Output: 2024-02-29
}
