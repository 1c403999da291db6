package fit_test

import (
	"fmt"

	"tenths/calc/fit"
	"tenths/calc/quantity"
)

func ExampleLimits() {
	for _, text := range []string{"25 mm H7", "0.1875 in RC4 shaft", "1 in H7"} {
		m, err := fit.Limits(text, quantity.Inch)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s: %s to %s (%s)\n", m.Limits, m.Min, m.Max, m.Standard)
	}
	// Output:
	// 25 mm H7: 25.000 mm to 25.021 mm (ISO 286-2)
	// 0.1875 in RC4 shaft: 0.1866 in to 0.1871 in (ANSI B4.1)
	// '1 in H7', column 6: H7 is a metric class and the nominal is in inches; write the nominal in mm, or an inch fit such as RC4 hole; the two systems do not give the same limits
}

func ExampleParse() {
	f, err := fit.Parse("25 mm H7/k6", quantity.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s %s: %s fit, clearance %s to %s, usually %s to %s\n", f.Standard, f.Name, f.Kind,
		f.MinClearance, f.MaxClearance, f.RSSMin.Format(quantity.Millimetre, 3), f.RSSMax.Format(quantity.Millimetre, 3))
	// Output: ISO 286-2 H7/k6: transition fit, clearance -0.015 mm to 0.019 mm, usually -0.010 mm to 0.014 mm
}

// A reamed hole and a ground pin that has been measured.
func ExampleOf() {
	hole, err := quantity.ParseToleranced("0.1875 +0.0005/-0 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	pin, err := quantity.ParseToleranced("0.1873 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := fit.Of(hole, pin)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %s to %s\n", f.Kind, f.MinClearance, f.MaxClearance)
	// Output: clearance: 0.0002 in to 0.0007 in
}

// A slip fit for a 3/16 in pin: which class of the standard keeps it?
func ExampleChoose() {
	nominal, err := quantity.Parse("3/16 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	wanted, err := quantity.ParseToleranced("0.0002..0.0012 in", quantity.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	fits, err := fit.Choose(nominal, wanted)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range fits {
		fmt.Printf("%s %s: %s to %s\n", f.Standard, f.Name, f.MinClearance, f.MaxClearance)
	}
	// Output: ANSI B4.1 RC3: 0.0004 in to 0.0012 in
}
