// Package quantity holds the numbers of a shop exactly: a value, its unit and
// the decimals as they were written.
//
// Values are rationals in the base unit of their dimension (mm, deg, K, s, N),
// so 4.7752 mm and 0.1880 in are the same length and a comparison with a limit
// never depends on binary rounding. In float64, four-decimal inch sizes times
// 25.4 miss the correctly written millimetre value in about two of five cases.
//
// The inch is 25.4 mm and the pound-force 4.4482216152605 N, both exactly, and
// temperatures follow t(F) = t(C)*9/5 + 32 (NIST Special Publication 811,
// appendix B).
//
// A value that comes from a root or an angle function cannot be a rational. It
// is marked inexact and carries a bound on its error; a limit then answers
// below, inside, above or too close to call.
package quantity
