package study

import (
	"fmt"
	"slices"

	"tenths/ledger"
)

// altered notes a happening that alters how parts are made.
func (w *windowFinder) altered(rec *ledger.Record, on ledger.Date, path, nearKey, what string, args ...any) {
	w.note(Happening{On: on, Rec: rec, Alters: w.near[nearKey] && w.act.on(path)}, path, nearKey, what, args...)
}

// began notes a happening that begins a state of what the parts are made with.
func (w *windowFinder) began(rec *ledger.Record, on ledger.Date, path, nearKey, what string, args ...any) {
	w.note(Happening{On: on, Rec: rec, Alters: w.near[nearKey] && w.act.on(path), state: true}, path, nearKey, what, args...)
}

// add notes a happening that only was seen or written down.
func (w *windowFinder) add(rec *ledger.Record, on ledger.Date, path, nearKey, what string, args ...any) {
	w.note(Happening{On: on, Rec: rec}, path, nearKey, what, args...)
}

// note adds a happening; one of the same record, day and words is joined.
func (w *windowFinder) note(n Happening, path, nearKey, what string, args ...any) {
	if !w.inside(n.On) {
		return
	}
	list := &w.Else
	if w.touched(path) {
		list = &w.Touched
	}
	n.What, n.Near = fmt.Sprintf(what, args...), w.near[nearKey]
	for i := range *list {
		h := &(*list)[i]
		if h.Rec == n.Rec && h.On.T.Equal(n.On.T) && h.What == n.What && h.Near == n.Near && h.Alters == n.Alters {
			if !slices.Contains(h.Paths, path) {
				h.Paths = append(h.Paths, path)
			}
			return
		}
	}
	n.Paths = []string{path}
	*list = append(*list, n)
}
