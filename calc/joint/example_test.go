package joint_test

import (
	"fmt"

	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// An 8 mm dowel in steel, 40 mm of metal round it, 16 mm long, 8 um of
// interference. Modulus and friction are one choice of several: see Materials
// and Frictions.
func ExamplePress() {
	steel := joint.Member{E: read("210000 N/mm²"), Nu: read("0.3")}
	p, err := joint.Press(joint.Fit{
		Diameter: read("8 mm"), HubOutside: read("40 mm"), Least: read("0.004 mm"), Most: read("0.008 mm"), Hub: steel, Shaft: steel,
		Length: read("16 mm"), PressFriction: read("0.12"),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	newton := read("1 N").Unit()
	fmt.Println("pressure up to", p.Tight.Pressure)
	fmt.Println("press in with up to", p.PressForce.Format(newton, 0)+", comes out at", p.PullOut.Format(newton, 0), "or more")
	// Output:
	// pressure up to 100.8 N/mm²
	// press in with up to 4864 N, comes out at 2432 N or more
}

// A 50 mm hub with 0.059 mm of interference, to go on with 0.025 mm of room.
func ExampleAssemble() {
	t, err := joint.Assemble(joint.Assembly{Diameter: read("50 mm"), Interference: read("0.059 mm"), Clearance: read("0.025 mm"), Hub: read("11.7 ppm/K")})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("heat the hub to", t.HubAt.Format(read("0 C").Unit(), 0))
	fmt.Println(t.Notes[0])
	// Output:
	// heat the hub to 164 C
	// an oil bath reaches about 150 C; the hub needs more (one page of shrink-fit practice)
}

func ExampleBlindSeat() {
	s, err := joint.BlindSeat(joint.Seat{Diameter: read("8 mm"), Depth: read("20 mm"), Entered: read("16 mm"), Force: read("5000 N")})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("air pushes back with", s.PushBack.Format(read("1 N").Unit(), 0))
	fmt.Println("oil would be at", s.Liquid.Format(read("1 N/mm²").Unit(), 0))
	// Output:
	// air pushes back with 20 N
	// oil would be at 99 N/mm²
}

// Sources differ on Poisson's ratio of 304; none is called the right one.
func ExampleRange() {
	m, err := joint.FindMaterial("304")
	if err != nil {
		fmt.Println(err)
		return
	}
	low, high, differ, standing := joint.Range(m.Poisson)
	fmt.Println(low, "to", high, differ, standing)
	// Output: 0.27 to 0.305 true seen
}

func read(text string) quantity.Quantity {
	q, err := quantity.Parse(text, quantity.One)
	if err != nil {
		panic(err)
	}
	return q
}
