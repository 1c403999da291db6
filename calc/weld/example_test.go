package weld_test

import (
	"fmt"

	"tenths/calc/quantity"
	"tenths/calc/weld"
)

// An 8 mm dowel hole, 20 mm deep with a drill point, filled with 0.9 mm wire.
func ExampleLay() {
	v, err := weld.Fill(quantity.Quantity{}, weld.Hole{Diameter: read("8 mm"), Depth: read("20 mm"), Point: read("118 deg")})
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := weld.Lay(weld.Wire{Volume: v.Total, Diameter: read("0.9 mm"), Efficiency: read("0.95"), Feed: read("6 m/min")})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Total.Format(v.Total.Unit(), 0), "of metal,", l.Length.Format(l.Length.Unit(), 2), "of wire,", weld.Text(l.Used)+",", l.Time.Format(l.Time.Unit(), 0), "of arc")
	fmt.Println(l.Cautions[len(l.Cautions)-1].Text)
	// Output:
	// 1046 mm³ of metal, 1.73 m of wire, 8.64 g, 17 s of arc
	// Local codes and licensed practice decide; this list is a reminder and not complete.
}

// Filling a hole has no travel, so the total counts.
func ExampleArc_Heat() {
	h, err := weld.Arc{Process: weld.MAG, Volts: read("20"), Amps: read("120"), Time: read("17.3 s")}.Heat()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(weld.Text(h.Total), "into the work")
	// Output: 33.2 kJ into the work
}

func read(text string) quantity.Quantity {
	q, err := quantity.Parse(text, quantity.One)
	if err != nil {
		panic(err)
	}
	return q
}
