package quantity

import (
	"strconv"
	"strings"
)

// Dim is a dimension: the exponents of length, angle, temperature difference,
// time and force. The zero value is a plain number.
type Dim [5]int8

// The dimensions of the units that the package knows. A temperature such as
// 68 F has the dimension TemperatureDifference and a unit whose Point reports
// true.
var (
	Number                = Dim{}
	Length                = Dim{1}
	Angle                 = Dim{0, 1}
	TemperatureDifference = Dim{0, 0, 1}
	Time                  = Dim{0, 0, 0, 1}
	Force                 = Dim{0, 0, 0, 0, 1}
)

// dimNames are the words for the exponents, in the order of Dim.
var dimNames = [5]string{"length", "angle", "temperature difference", "time", "force"}

// Times is the dimension of a product. Exponents stop at ±127.
func (d Dim) Times(o Dim) Dim {
	for i := range d {
		d[i] = clampExponent(int(d[i]) + int(o[i]))
	}
	return d
}

// Over is the dimension of a quotient. Exponents stop at ±127.
func (d Dim) Over(o Dim) Dim {
	for i := range d {
		d[i] = clampExponent(int(d[i]) - int(o[i]))
	}
	return d
}

func clampExponent(n int) int8 {
	return int8(max(-127, min(127, n)))
}

// String names the dimension in words: "length", "area", "plain number",
// "length/temperature difference", "1/length".
func (d Dim) String() string {
	if d == Number {
		return "plain number"
	}
	return joinFactors(d, dimNames, func(name string, n int) string {
		switch {
		case n == 1:
			return name
		case name == "length" && n == 2:
			return "area"
		case name == "length" && n == 3:
			return "volume"
		}
		return name + "^" + strconv.Itoa(n)
	})
}

// joinFactors writes a dimension as factors over factors: a·b/c/d.
func joinFactors(d Dim, names [5]string, power func(name string, n int) string) string {
	var above, below []string
	for i, n := range d {
		switch {
		case n > 0:
			above = append(above, power(names[i], int(n)))
		case n < 0:
			below = append(below, power(names[i], -int(n)))
		}
	}
	if len(above) == 0 {
		above = []string{"1"}
	}
	return strings.Join(append([]string{strings.Join(above, "·")}, below...), "/")
}
