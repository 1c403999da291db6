package dowel_test

import (
	"fmt"

	"tenths/calc/dowel"
	"tenths/calc/quantity"
)

// A bought 3/16 in dowel in a hole reamed .1875 +.0005/-0.
func ExamplePin_In() {
	nominal, err := quantity.Parse("3/16 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	hole, err := quantity.ParseToleranced("0.1875 +0.0005/-0 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	pins, err := dowel.Find(nominal)
	if err != nil {
		fmt.Println(err)
		return
	}
	seat, err := pins[0].In(hole)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("slips:", seat.Slips)
	fmt.Println(seat.Why)
	// Output:
	// slips: false
	// the 3/16 in dowel (ASME B18.8.2, standard series) is made 0.1876 in to 0.1878 in, 0.0001 in to 0.0003 in over nominal; in this hole it can be tight by 0.0003 in or loose by 0.0004 in, so some pins slip and some do not; a slip hole must be over 0.1878 in
}

func ExampleNearest() {
	size, err := quantity.Parse("3.18 mm", quantity.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	near, err := dowel.Nearest(size, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(near[0].Pin, near[0].Diameter)
	// Output: 1/8 in dowel (ASME B18.8.2, standard series) 0.1252 ±0.0001 in
}
