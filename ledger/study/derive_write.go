package study

import "tenths/ledger"

// Refreshed is one file with its stale and missing derived values put right.
type Refreshed struct {
	File     string
	Old, New []byte
	Values   []*Derived
	// Err says why nothing of the file can be written; New is then nil.
	Err error
}

// Refresh gives the files in which one of the values is stale or missing, with
// the computed values in their place. A value that is kept on purpose stays, and
// so does one that cannot be computed. No byte changes outside of the values,
// but for the line of one that had none.
func Refresh(list []*Derived) []*Refreshed {
	var out []*Refreshed
	files := map[string]*Refreshed{}
	edits := map[string][]ledger.Edit{}
	for _, d := range list {
		if d.Err != nil || !d.Stale && d.D.Value.Set() {
			continue
		}
		// The sets of a file of readings are several records of one text.
		f := files[d.Rec.Path]
		if f == nil {
			f = &Refreshed{File: d.Rec.Path, Old: d.Rec.Src}
			files[f.File] = f
			out = append(out, f)
		}
		f.Values = append(f.Values, d)
		edits[f.File] = append(edits[f.File], ledger.ValueEdit(d.Rec.Src, d.D, d.Text))
	}
	for _, f := range out {
		f.New, f.Err = ledger.Apply(f.Old, edits[f.File])
	}
	return out
}
