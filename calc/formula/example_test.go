package formula_test

import (
	"fmt"

	"tenths/calc/formula"
	"tenths/calc/quantity"
)

func ExampleParse() {
	for _, text := range []string{"hole - cutter", "2*r^2", "25.4 mm", "2pi*r"} {
		e, err := formula.Parse(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(e, "needs", e.Names())
	}
	// Output:
	// hole - cutter needs [hole cutter]
	// '2*r^2', column 4: ^ is not a power here: the grammar reads it as exclusive or; write a*a or pow(a, 2)
	// '25.4 mm', column 6: an operator is missing between 25.4 and mm; write 25.4*mm
	// '2pi*r', column 2: an operator is missing between 2 and pi; write 2*pi
}

// A gap between a housing and three parts in it.
func ExampleExpr_Eval() {
	e, err := formula.Parse("housing - 2*bearing - spacer")
	if err != nil {
		fmt.Println(err)
		return
	}
	var inputs []formula.Input
	for _, in := range [][2]string{{"housing", "1.500 +0.010/-0.004 in"}, {"bearing", "0.438 +0/-0.015 in"}, {"spacer", "0.600 ±0.003 in"}} {
		v, err := quantity.ParseToleranced(in[1], quantity.Inch)
		if err != nil {
			fmt.Println(err)
			return
		}
		inputs = append(inputs, formula.Input{Name: in[0], Value: v})
	}
	r, err := e.Eval(inputs, formula.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("gap", r.Value)
	fmt.Println("worst case", r.WorstLower, "to", r.WorstUpper, "by", r.Method)
	fmt.Println("root sum square", r.Centre, "±", r.RSS.Format(quantity.Inch, 4))
	for _, c := range r.Contributors {
		fmt.Printf("%s: %s times ±%s, %.0f %% of the worst case\n", c.Name, c.Sensitivity, c.HalfWidth, 100*c.WorstShare)
	}
	// Output:
	// gap 0.024 in
	// worst case 0.017 in to 0.067 in by linear
	// root sum square 0.042 in ± 0.0168 in
	// housing: 1 times ±0.007 in, 28 % of the worst case
	// bearing: -2 times ±0.0075 in, 60 % of the worst case
	// spacer: -1 times ±0.003 in, 12 % of the worst case
}
