// Package report puts what the studies found into the forms that people keep:
// the before and after page of a change, the list of improvements, the due
// list, and the page of a record.
//
// Each is a plain data structure first, which is also its JSON: the order of
// the fields is the documented order. The writers only lay it out. The package
// computes nothing that a study holds, and no raw HTML of a ledger reaches a
// page.
package report

import (
	"io"
	"math"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// WriteJSON prints a page, log, due list or sheet as one JSON document.
func WriteJSON(w io.Writer, v any) error {
	return ledger.WriteJSON(w, v)
}

// day prints a day; empty if it is not known.
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

// number is the text of a quantity without its unit; empty for none.
func number(q quantity.Quantity) string {
	if q.IsZeroValue() {
		return ""
	}
	return strings.TrimSuffix(strings.TrimSuffix(q.String(), q.Unit().Name()), " ")
}

// textOf is the text of a quantity, empty for none.
func textOf(q quantity.Quantity) string {
	if q.IsZeroValue() {
		return ""
	}
	return q.String()
}

// nominal is a size of a record without its tolerance; the zero Quantity if
// absent.
func nominal(s ledger.Size) quantity.Quantity {
	if !s.Set() {
		return quantity.Quantity{}
	}
	return s.Nominal()
}

// size is a size as written, with its tolerance; empty if absent.
func size(s ledger.Size) string {
	if !s.Set() {
		return ""
	}
	return s.Tol.String()
}

// line makes text fit for one line of a page, with single spaces.
func line(s string) string { return strings.Join(strings.Fields(ledger.Printable(s)), " ") }

// plural puts an s to a word unless there is one of it.
func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}

// known gives 0 for what is not a number, so that no NaN reaches JSON.
func known(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}
