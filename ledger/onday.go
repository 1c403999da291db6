package ledger

import (
	"reflect"
	"sort"
	"time"
)

// OnDay gives the state that held on a day: v with the fields of each of its
// was entries laid over it whose day had not come yet. It works for every
// struct of the records that has a Was list; others come back as they are.
func OnDay[T any](v T, day time.Time) T {
	overlay(reflect.ValueOf(&v).Elem(), day)
	return v
}

func overlay(out reflect.Value, day time.Time) {
	for _, w := range wasAfter(out, day) {
		for i := range w.NumField() {
			name := w.Type().Field(i).Name
			val := w.Field(i)
			target := out.FieldByName(name)
			set, ok := val.Interface().(interface{ Set() bool })
			if !ok || !set.Set() || name == "Span" || name == "Until" || !target.IsValid() {
				continue
			}
			target.Set(val)
		}
	}
}

// wasAfter lists the was entries that held on the day, the latest first, so
// that the earliest that still held is laid over last.
func wasAfter(v reflect.Value, day time.Time) []reflect.Value {
	was := v.FieldByName("Was")
	if !was.IsValid() {
		return nil
	}
	var out []reflect.Value
	for i := range was.Len() {
		if until := was.Index(i).FieldByName("Until").Interface().(Date); until.Set() && day.Before(until.T) {
			out = append(out, was.Index(i))
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return out[i].FieldByName("Until").Interface().(Date).T.After(out[j].FieldByName("Until").Interface().(Date).T)
	})
	return out
}

// Start is the first day of the state that holds on the given day: the last
// was entry that had ended by then. The zero time means from the beginning.
func (l Locator) Start(day time.Time) time.Time {
	var start time.Time
	for _, w := range l.Was {
		if w.Until.By(day) && w.Until.T.After(start) {
			start = w.Until.T
		}
	}
	return start
}

// SurveyOn is the survey in force on a day: the latest one of the state that
// held then. A survey of a pin that has since been re-made does not count.
func (l Locator) SurveyOn(day time.Time) (Survey, bool) {
	start := l.Start(day)
	var best Survey
	found := false
	for _, s := range l.Surveys {
		if s.On.By(day) && !s.On.T.Before(start) && (!found || !s.On.T.Before(best.On.T)) {
			best, found = s, true
		}
	}
	return best, found
}
