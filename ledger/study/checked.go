package study

import (
	"math"
	"math/big"
	"sync"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// Zone says what a reading proves about a limit once the gauge's uncertainty
// is taken into account.
type Zone string

// The zones of ISO 14253-1: proven inside, proven outside, and between.
const (
	Conforms     Zone = "conforms"
	DoesNot      Zone = "does not conform"
	Doubtful     Zone = "doubtful"
	NoZone       Zone = "" // no limits
	WithoutU     Zone = "uncertainty not stated"
	OfLimitGauge Zone = "limit gauge"
)

// Checked is one reading with its full value against the limits of the day.
type Checked struct {
	Row     *ledger.Reading
	Point   string
	Written ledger.Size
	Full    quantity.Quantity // the reading itself, or nominal plus deviation
	// Side is where the full value lies; only if HasLimits.
	Side      quantity.Side
	HasLimits bool
	Zone      Zone
	Problem   string // why there is no full value
}

// Checks gives every reading of an inspection, void ones too, as a full value,
// with its side of the limits in force on that day and what it proves. A
// reading inside by the expanded uncertainty U conforms, one outside by more
// than U does not, between them it is doubtful (ISO 14253-1). All comparisons
// are exact. It is nil if the record is no inspection.
func (s *Set) Checks(rec *ledger.Record) []Checked {
	in, ok := rec.Data.(*ledger.Inspection)
	if !ok {
		return nil
	}
	day := s.AsOf
	if in.On.Set() {
		day = in.On.T
	}
	_, char := s.characteristic(in.Characteristic.S, day)
	var limits *quantity.Toleranced
	var points []string
	if char != nil {
		if char.Limits.Set() {
			limits = char.Limits.Tol
		}
		for _, p := range char.Points {
			points = append(points, p.ID.S)
		}
	}
	if in.Points != nil {
		points = names(in.Points)
	}
	g := s.Gauging(rec)
	rows := in.Rows()
	var out []Checked
	for i := range rows {
		for j, v := range rows[i].Values {
			c := Checked{Row: &rows[i], Written: v}
			if j < len(points) {
				c.Point = points[j]
			}
			c.Full, c.Problem = fullValue(in, limits, v)
			if limits != nil && c.Problem == "" {
				c.judge(*limits, g)
			}
			out = append(out, c)
		}
	}
	return out
}

// fullValue is the reading itself, or what it deviates from plus the deviation.
func fullValue(in *ledger.Inspection, limits *quantity.Toleranced, v ledger.Size) (quantity.Quantity, string) {
	if !in.DeviationIn.Set() {
		return v.Nominal(), ""
	}
	var from quantity.Quantity
	switch {
	case in.NominalIs.Set():
		from = in.NominalIs.Nominal()
	case limits != nil && (limits.Form == quantity.AtMost || limits.Form == quantity.AtLeast):
		// One limit is no nominal: such readings are counted from nothing.
		from = limits.Nominal.Scale(new(big.Rat))
	case limits != nil:
		from = limits.Nominal
	default:
		return quantity.Quantity{}, "a deviation, but nothing says from what (nominal_is)"
	}
	full, err := from.Add(v.Nominal())
	if err != nil {
		return quantity.Quantity{}, err.Error()
	}
	return full.WithDecimals(decimalsOfSum(full, from, v.Nominal())), ""
}

// decimalsOfSum is how many decimals a deviation added to what it is counted from
// deserves: those of the finer of the two in the unit of the sum, so that 30
// tenths from 0 are 0.0030 in. It is -1, for as many as there are, where one of
// them was written as a fraction, or the sum does not end within so many.
func decimalsOfSum(sum, from, dev quantity.Quantity) int {
	if from.Decimals() < 0 && from.Sign() != 0 || dev.Decimals() < 0 {
		return -1
	}
	step := stepIn(dev.Unit(), sum.Unit())
	if !step.known {
		return -1
	}
	n := max(0, from.Decimals(), dev.Decimals()+step.decimals)
	if step.decimal {
		return n
	}
	v, err := sum.In(sum.Unit())
	if err != nil {
		return -1
	}
	// It ends within n decimals if its denominator divides 10 to the n.
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
	if ten.Rem(ten, v.Denom()).Sign() != 0 {
		return -1
	}
	return n
}

// unitStep is how many decimals one of a unit takes in another one: 4 for tenths
// in inches, -3 for mm in um. decimal is set if it is a power of ten.
type unitStep struct {
	decimals       int
	known, decimal bool
}

// unitSteps keeps what was asked for, by the names of the units: a ledger has
// thousands of readings in two or three of them.
var unitSteps sync.Map

func stepIn(of, in quantity.Unit) unitStep {
	key := [2]string{of.Name(), in.Name()}
	if s, ok := unitSteps.Load(key); ok {
		return s.(unitStep)
	}
	var s unitStep
	if one, err := quantity.New(big.NewRat(1, 1), of).In(in); err == nil && one.Sign() > 0 {
		f, _ := one.Float64()
		s.known, s.decimals = true, int(math.Ceil(-math.Log10(f)))
		ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(s.decimals, -s.decimals))), nil)
		power := new(big.Rat).SetInt(ten)
		if s.decimals > 0 {
			power.Inv(power)
		}
		s.decimal = power.Cmp(one) == 0
	}
	unitSteps.Store(key, s)
	return s
}

func (c *Checked) judge(limits quantity.Toleranced, g *Gauging) {
	side, err := limits.Side(c.Full)
	if err != nil {
		return
	}
	c.Side, c.HasLimits = side, true
	switch {
	case g != nil && g.Attribute:
		c.Zone = OfLimitGauge
		return
	case g == nil || !g.Gauge.U.Set() || g.Gauge.U.Nominal().Unit().Difference().Dim() != c.Full.Dim():
		c.Zone = WithoutU
		return
	}
	u := g.Gauge.U.Nominal().Rat()
	y := c.Full.Rat()
	c.Zone = Conforms
	if limits.HasLower() {
		c.Zone = worse(c.Zone, zone(new(big.Rat).Sub(y, limits.Lower.Rat()), u))
	}
	if limits.HasUpper() {
		c.Zone = worse(c.Zone, zone(new(big.Rat).Sub(limits.Upper.Rat(), y), u))
	}
}

// zone judges how far a value lies inside one limit.
func zone(inside, u *big.Rat) Zone {
	switch {
	case inside.Cmp(u) >= 0:
		return Conforms
	case new(big.Rat).Neg(inside).Cmp(u) > 0:
		return DoesNot
	}
	return Doubtful
}

func worse(a, b Zone) Zone {
	if a == DoesNot || b == DoesNot {
		return DoesNot
	}
	if a == Doubtful || b == Doubtful {
		return Doubtful
	}
	return Conforms
}
