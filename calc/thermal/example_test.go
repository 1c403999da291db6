package thermal_test

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/calc/thermal"
)

// An aluminium part with holes 4 in apart, on a steel fixture, the shop at 88 F.
func ExamplePitch() {
	al, err := warm("23.6 ppm/K", "88 F")
	if err != nil {
		fmt.Println(err)
		return
	}
	steel, err := warm("11.7 ppm/K", "88 F")
	if err != nil {
		fmt.Println(err)
		return
	}
	pitch, err := quantity.Parse("4 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := thermal.Pitch(pitch, al, steel, quantity.Quantity{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("the part is longer by", m.Difference.Format(quantity.Inch, 5))
	// Output: the part is longer by 0.00053 in
}

// One inch of aluminium, read with a steel scale at 80 F.
func ExampleAtReference() {
	var m thermal.Measurement
	var err error
	if m.Reading, err = quantity.Parse("1.0000 in", quantity.Inch); err != nil {
		fmt.Println(err)
		return
	}
	if m.Part, err = warm("23.6 ppm/K", "80 F"); err != nil {
		fmt.Println(err)
		return
	}
	if m.Gauge, err = warm("11.7 ppm/K", "80 F"); err != nil {
		fmt.Println(err)
		return
	}
	c, err := thermal.AtReference(m)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(c.Size.Format(quantity.Inch, 5), "at 68 F")
	// Output: 0.99992 in at 68 F
}

func warm(expansion, at string) (thermal.Body, error) {
	alpha, err := quantity.Parse(expansion, quantity.Unit{})
	if err != nil {
		return thermal.Body{}, err
	}
	temp, err := quantity.Parse(at, quantity.Unit{})
	return thermal.Body{Expansion: alpha, At: temp}, err
}
