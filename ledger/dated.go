package ledger

import (
	"reflect"
	"time"
)

// Dated says for which days a value holds as it is taken.
type Dated struct {
	// What is the dated entry that it stands in, such as a survey; empty for a
	// key of which only was entries give days.
	What string
	// From is the first day, zero if it held from the beginning; Until the first
	// day on which something else held, zero if it still holds.
	From, Until time.Time
}

// Dated gives the days for which the value that a path names holds as it stood
// on a day.
func (t Target) Dated(day time.Time) Dated {
	if loc, ok := t.Node.(*Locator); ok && t.computed == ComputedOff {
		if sv, ok := loc.SurveyOn(day); ok {
			return Dated{What: "survey", From: sv.On.T, Until: loc.outlived(sv.On.T)}
		}
		return Dated{}
	}
	switch n := t.Node.(type) {
	case *Survey:
		d := Dated{What: "survey", From: n.On.T}
		if loc, ok := t.Owner.(*Locator); ok {
			d.Until = loc.outlived(n.On.T)
		}
		return d
	case *Calibration:
		return Dated{What: "check", From: n.On.T}
	case *Seat:
		return Dated{What: "seat measured", From: n.On.T}
	case *Inspection:
		return Dated{What: "readings", From: n.On.T}
	}
	d := Dated{}
	v := reflect.ValueOf(t.Node).Elem()
	was := v.FieldByName("Was")
	f := schemaOf(v.Type()).byKey[t.key]
	if !was.IsValid() || f == nil {
		return d
	}
	for i := range was.Len() {
		w := was.Index(i)
		old, until := schemaOf(w.Type()).byKey[t.key], w.FieldByName("Until").Interface().(Date)
		if old == nil || !until.Set() || !w.FieldByIndex(old.index).Interface().(interface{ Set() bool }).Set() {
			continue
		}
		switch {
		case until.By(day) && until.T.After(d.From):
			d.From = until.T
		case !until.By(day) && (d.Until.IsZero() || until.T.Before(d.Until)):
			d.Until = until.T
		}
	}
	return d
}

// outlived is the day on which a survey made on a day was followed by another
// one, or its pin made anew; zero if neither happened.
func (l *Locator) outlived(on time.Time) time.Time {
	var first time.Time
	next := func(d Date) {
		if d.Set() && d.T.After(on) && (first.IsZero() || d.T.Before(first)) {
			first = d.T
		}
	}
	for _, s := range l.Surveys {
		next(s.On)
	}
	for _, w := range l.Was {
		next(w.Until)
	}
	return first
}
