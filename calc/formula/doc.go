// Package formula reads and evaluates the formulas of derived dimensions, with
// units, tolerances and the share of each input.
//
// The grammar is that of Go expressions, cut down to numbers, names,
// parentheses, + - * /, and the functions abs, min, max, sqrt, hypot, sin, cos,
// tan, asin, acos, atan, atan2, pow and if. The first argument of if(a < b, x, y)
// is a condition: < <= > >= == != compare two values of one dimension, && || !
// join comparisons. Numbers are kept exact. The units
//
//	in inch inches mm cm um µm thou tenths tenth uin µin microinch
//	deg arcmin arcsec K dF dC N lbf lb ozf oz ppm
//
// are names that are already there, as is pi: 25.4*mm. F and C follow a number
// and make a temperature, 68*F; temperatures only subtract from each other, and
// take differences. Everything else is refused by name, with its column.
//
// Values stay exact rationals through + - * /, pow and roots of squares. Other
// roots and angles are floating point with a bound on the error (see package
// quantity).
//
// Tolerances are carried in two ways. The worst case is exact for formulas that
// are linear in the toleranced inputs, for those in which no input is used twice,
// and for those that only rise or only fall with each input; all others are
// enclosed by a bounded search; see Method. The root sum square takes the slopes
// at the middle of the limits, as in the Guide to the Expression of Uncertainty in
// Measurement (JCGM 100:2008, 5.1.2), with half-widths in the place of standard
// uncertainties; where a condition can turn over within the tolerances there is
// none. Simulate draws the inputs instead (JCGM 101:2008), each by its Spread, and
// inputs of a Common source together.
package formula
