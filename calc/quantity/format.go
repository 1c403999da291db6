package quantity

import (
	"math/big"
	"strconv"
	"strings"
)

// maxDecimals bounds the decimals that are ever shown.
const maxDecimals = 40

// shortDecimals is the longest exact expansion of a computed value that is
// shown in full.
const shortDecimals = 8

// String shows the quantity with its unit as it was written: "0.1880 in",
// "3/32 in", trailing zeros kept. A computed value is shown exactly when its
// decimal expansion ends within eight decimals, and otherwise rounded half to
// even to what its unit deserves: 0.000001 in, 0.00001 mm, 0.00001 deg, six
// significant digits for combined units.
func (q Quantity) String() string {
	if q.IsZeroValue() {
		return "no value"
	}
	return withUnit(q.number(), q.unit)
}

// number is the text of String without the unit.
func (q Quantity) number() string {
	if q.fraction != "" {
		return q.fraction
	}
	v := q.unit.fromBase(q.value)
	if q.decimals >= 0 {
		return fixed(v, q.decimals)
	}
	if n, exact := v.FloatPrec(); exact && q.bound == nil && n <= shortDecimals {
		return fixed(v, n)
	}
	return rounded(v, q.unit.is().places)
}

// Format shows the quantity in unit u with the given number of decimals,
// rounded half to even, and never as minus zero. A unit of another dimension
// is replaced by the unit of q.
func (q Quantity) Format(u Unit, decimals int) string {
	if q.IsZeroValue() {
		return "no value"
	}
	v, err := q.In(u)
	if err != nil || u.IsZero() {
		u = q.unit
		v = u.fromBase(q.value)
	}
	return withUnit(fixed(v, decimals), u)
}

// Plain is the number alone in the unit of q, for machines: exact when the
// decimal expansion ends, otherwise the shortest decimal that reads back as
// the same float64.
func (q Quantity) Plain() string {
	if q.IsZeroValue() {
		return ""
	}
	v := q.unit.fromBase(q.value)
	if n, exact := v.FloatPrec(); exact && q.bound == nil && n <= maxDecimals {
		return fixed(v, max(n, q.decimals))
	}
	f, _ := v.Float64()
	if f == 0 {
		f = 0 // no minus zero
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

func withUnit(number string, u Unit) string {
	if u.is().name == "" {
		return number
	}
	return number + " " + u.is().name
}

// rounded shows v with the given decimals, or with six significant digits when
// places is negative; zeros at the end say nothing here and are dropped.
func rounded(v *big.Rat, places int) string {
	if places < 0 {
		f, _ := new(big.Rat).Abs(v).Float64()
		places = 0
		for f != 0 && f < 99999.5 && places < maxDecimals {
			f *= 10
			places++
		}
	}
	s := fixed(v, places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// fixed writes v with exactly n decimals, rounded half to even.
func fixed(v *big.Rat, n int) string {
	n = max(0, min(n, maxDecimals))
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
	num := new(big.Int).Mul(new(big.Int).Abs(v.Num()), scale)
	q, rem := new(big.Int).QuoRem(num, v.Denom(), new(big.Int))
	half := rem.Lsh(rem, 1).Cmp(v.Denom())
	if half > 0 || half == 0 && q.Bit(0) == 1 {
		q.Add(q, big.NewInt(1))
	}
	s := q.String()
	if len(s) <= n {
		s = strings.Repeat("0", n+1-len(s)) + s
	}
	if n > 0 {
		s = s[:len(s)-n] + "." + s[len(s)-n:]
	}
	if v.Sign() < 0 && q.Sign() != 0 {
		s = "-" + s
	}
	return s
}
