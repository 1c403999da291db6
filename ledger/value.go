package ledger

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger/keyindex"
)

// Span is a range of bytes in a record's file; the zero Span means absent.
type Span = keyindex.Span

// Text is a piece of text. Fields that allow only certain words hold one too.
type Text struct {
	S string
	Span
}

// Ref names a record or a value of one by its path, such as FX1/A/P1.
type Ref struct {
	S string
	Span
}

// Binding gives a name of a formula its value by path.
type Binding struct {
	Name string
	Ref
}

// Named says something of a name of a formula, as text or as a number.
type Named struct {
	Name string
	Text
}

// Int is a whole number.
type Int struct {
	N int
	Span
}

// Flag is a yes or no.
type Flag struct {
	B bool
	Span
}

// Date is a calendar day. An entry from an old notebook may be a year or a
// month, or "about 2021": About is then set and T is the first day meant.
type Date struct {
	T     time.Time
	About bool
	Span
}

// String prints the day as year-month-day.
func (d Date) String() string {
	if !d.Set() {
		return ""
	}
	if d.About {
		return "about " + d.T.Format("2006-01")
	}
	return d.T.Format(time.DateOnly)
}

// By reports whether the day is given and not later than t.
func (d Date) By(t time.Time) bool { return d.Set() && !d.T.After(t) }

// Size is a quantity with or without a tolerance. Raw is the text as written.
// Tol is nil if the key is absent.
type Size struct {
	Tol *quantity.Toleranced
	Raw string
	Span
}

// Nominal returns the quantity without its tolerance. It must not be called on
// an absent size.
func (s Size) Nominal() quantity.Quantity { return s.Tol.Nominal }

// Pair is a point, a shift or a direction in the plane. A key whose field says
// space:"yes" takes a third member, Z, along the axis out of the seat.
type Pair struct {
	X, Y, Z Size
	Span
}

// Set reports whether the members of the plane are there.
func (p Pair) Set() bool { return p.X.Set() && p.Y.Set() }

// member is X, Y or Z by its name.
func (p *Pair) member(axis string) *Size {
	switch axis {
	case "x":
		return &p.X
	case "y":
		return &p.Y
	}
	return &p.Z
}

// Period is a length of calendar time, such as 12 months.
type Period struct {
	V   quantity.Interval
	Raw string
	Span
}

// Count is "7 of 20": how many of how many.
type Count struct {
	Hit, Of int
	Span
}

// ParseCount reads "7 of 20".
func ParseCount(s string) (hit, of int, err error) {
	a, b, ok := strings.Cut(s, " of ")
	if ok {
		hit, err = strconv.Atoi(strings.TrimSpace(a))
		if err == nil {
			of, err = strconv.Atoi(strings.TrimSpace(b))
		}
	}
	if !ok || err != nil {
		return 0, 0, fmt.Errorf("cannot read %q as a count; write it like \"7 of 20\"", s)
	}
	if hit < 0 || of < 1 || hit > of {
		return 0, 0, fmt.Errorf("%q counts more than there are; write it like \"7 of 20\"", s)
	}
	return hit, of, nil
}

// ParseDate reads a day (2025-04-07), a month (2025-04) or a year (2025), each
// with "about" before it if it is from memory.
func ParseDate(s string) (t time.Time, about bool, err error) {
	rest, isAbout := strings.CutPrefix(s, "about ")
	for _, layout := range []string{time.DateOnly, "2006-01", "2006"} {
		if t, err := time.Parse(layout, rest); err == nil {
			return t, isAbout || layout != time.DateOnly, nil
		}
	}
	return time.Time{}, false, fmt.Errorf("cannot read %q as a day; write year-month-day like 2025-04-07, or \"about 2021\"", s)
}
