package quantity

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Interval is a stretch of the calendar: months and days. Months have no fixed
// length, so it is no Quantity.
type Interval struct{ Months, Days int }

// maxInterval bounds an interval: a century.
const maxMonths, maxDays = 1200, 36525

// ParseInterval reads a whole number of days, weeks, months or years: "12
// months", "90 days", "2 years", "6 weeks". Every error is a *ParseError.
func ParseInterval(text string) (Interval, error) {
	s, err := newScanner(text)
	if err != nil {
		return Interval{}, err
	}
	n, err := s.number()
	if err != nil {
		return Interval{}, err
	}
	const want = "write a whole number of days, weeks, months or years, like 12 months"
	if !n.value.IsInt() || n.value.Sign() <= 0 || !n.value.Num().IsInt64() {
		return Interval{}, s.fail(n.pos, "an interval is a whole number above zero", want)
	}
	count := n.value.Num().Int64()
	if count > maxDays {
		return Interval{}, s.fail(n.pos, "an interval is at most a century", "")
	}
	s.skipSpace()
	w, pos := s.word(), s.pos
	s.pos += len([]rune(w))
	var i Interval
	switch strings.TrimSuffix(w, "s") {
	case "day":
		i.Days = int(count)
	case "week":
		i.Days = 7 * int(count)
	case "month":
		i.Months = int(count)
	case "year":
		i.Months = 12 * int(count)
	default:
		return Interval{}, s.fail(pos, "the interval has no unit of the calendar", want)
	}
	if i.Months > maxMonths || i.Days > maxDays {
		return Interval{}, s.fail(n.pos, "an interval is at most a century", "")
	}
	return i, s.finish()
}

// After is the date one interval after t: the months first, with a day that
// the month does not have moved back to its last (31 January and one month is
// 28 or 29 February), then the days. Clock and location of t are kept.
func (i Interval) After(t time.Time) time.Time {
	y, m, d := t.Date()
	first := time.Date(y, m+time.Month(i.Months), 1, t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), t.Location())
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(d, last)-1+i.Days)
}

// String is the interval in its largest whole units: "2 years", "6 weeks",
// "1 month and 3 days".
func (i Interval) String() string {
	var parts []string
	if i.Months != 0 || i.Days == 0 {
		parts = append(parts, counted(i.Months, 12, "month", "year"))
	}
	if i.Days != 0 {
		parts = append(parts, counted(i.Days, 7, "day", "week"))
	}
	return strings.Join(parts, " and ")
}

// counted writes n small units, or large ones where n is a multiple.
func counted(n, per int, small, large string) string {
	word := small
	if n != 0 && n%per == 0 {
		n, word = n/per, large
	}
	if n == 1 || n == -1 {
		return fmt.Sprintf("%d %s", n, word)
	}
	return strconv.Itoa(n) + " " + word + "s"
}
