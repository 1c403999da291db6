package study

import (
	"cmp"
	"slices"
	"strings"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// MissingHow says in what way a check is missing.
type MissingHow string

// The ways, the worst first.
const (
	NoCheck        MissingHow = "never checked"
	CheckedCovered MissingHow = "checked when it cannot be reached any more"
	CheckedBefore  MissingHow = "changed after its last check"
	CheckedLate    MissingHow = "checked late"
)

// MissingCheck is something of the part that a plan makes and does not check, or not
// in time. Of one thing there is at most one.
type MissingCheck struct {
	How MissingHow
	// Char is the characteristic; nil for a tolerance of Feature itself, and then Of
	// says which: size, position or place.
	Char    *ledger.Characteristic
	Feature *ledger.Feature
	Of      string
	// Made is the operation that makes it, -1 if it comes with the blank; Checked the
	// operation of the check that counts for How, -1 if there is none; By the operation
	// that covers or changes it, or that first spends work on it unchecked, -1 if none.
	Made, Checked, By int
	// Uses is set if it is late because operations locate on it before the check.
	Uses bool
}

// MissingChecks lists what of the part no operation checks although the plan makes it:
// characteristics, and sizes, positions and places of features with limits that no
// characteristic stands for. It also lists what is first checked when it is covered,
// what is changed behind its last check, and what decides over the part (critical, or a
// feature that later operations locate on) and is checked when more work has been spent.
//
// A check counts from the operation on that makes the feature. Breaking edges changes
// no size. A later check never adds to the list.
func (g *PlanGraph) MissingChecks() []MissingCheck {
	if g.Part == nil || g.PartRec.Quiet() {
		return nil
	}
	var out []MissingCheck
	for i := range g.Part.Characteristic {
		ch := &g.Part.Characteristic[i]
		if !g.concerns(ch) {
			continue
		}
		own, of := names(ch.Feature), names(ch.Feature)
		if own == nil {
			of = names(ch.Datum)
		}
		m := MissingCheck{Char: ch}
		if g.judge(&m, of, own, func(op *PlanOp) bool { return checksChar(op, ch) }, ch.Critical.B) {
			out = append(out, m)
		}
	}
	for i := range g.Part.Features {
		f := &g.Part.Features[i]
		if g.maker(f.ID.S) < 0 {
			continue
		}
		for _, of := range tolerancesOf(f) {
			m := MissingCheck{Feature: f, Of: of}
			stands := func(ch *ledger.Characteristic) bool { return standsFor(ch, f, of) }
			if slices.ContainsFunc(g.Part.Characteristic, func(ch ledger.Characteristic) bool { return g.concerns(&ch) && stands(&ch) }) {
				continue // the characteristic is judged by itself
			}
			if g.judge(&m, []string{f.ID.S}, []string{f.ID.S}, func(op *PlanOp) bool { return contains(op.Checks, f.ID.S) }, false) {
				out = append(out, m)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b MissingCheck) int { return cmp.Compare(a.Made, b.Made) })
	return out
}

// concerns reports whether the plan makes or cuts a feature of the characteristic; one
// without features is for every plan of its part.
func (g *PlanGraph) concerns(ch *ledger.Characteristic) bool {
	return len(ch.Feature) == 0 || slices.ContainsFunc(ch.Feature, func(f ledger.Text) bool { return g.maker(f.S) >= 0 })
}

// checksChar reports whether an operation checks a characteristic: by its name, or,
// if it is a size, by the names of all its features.
func checksChar(op *PlanOp, ch *ledger.Characteristic) bool {
	if contains(op.Checks, ch.ID.S) {
		return true
	}
	return ch.Type.S == "size" && len(ch.Feature) > 0 &&
		!slices.ContainsFunc(ch.Feature, func(f ledger.Text) bool { return !contains(op.Checks, f.S) })
}

// tolerancesOf lists what of a feature has limits.
func tolerancesOf(f *ledger.Feature) []string {
	var out []string
	limited := func(s ledger.Size) bool {
		return s.Set() && (s.Tol.HasLower() || s.Tol.HasUpper()) && s.Tol.Form != quantity.Plain
	}
	if limited(f.Size) {
		out = append(out, "size")
	}
	if f.Position.Set() {
		out = append(out, "position")
	}
	if f.At.Set() && (limited(f.At.X) || limited(f.At.Y)) {
		out = append(out, "place")
	}
	return out
}

// standsFor reports whether a characteristic is the tolerance of a feature.
func standsFor(ch *ledger.Characteristic, f *ledger.Feature, of string) bool {
	if !contains(ch.Feature, f.ID.S) {
		return false
	}
	switch ch.Type.S {
	case "":
		return true
	case "size":
		return of == "size" && overlap(ch.Limits, f.Size)
	case "position", "profile":
		return of != "size"
	}
	return false
}

// overlap reports whether two sizes have a value in common; sizes without limits are
// taken to.
func overlap(a, b ledger.Size) bool {
	if !a.Set() || !b.Set() || a.Nominal().Dim() != b.Nominal().Dim() {
		return true
	}
	low := func(x, y *quantity.Toleranced) bool {
		return !x.HasLower() || !y.HasUpper() || x.Lower.Rat().Cmp(y.Upper.Rat()) <= 0
	}
	return low(a.Tol, b.Tol) && low(b.Tol, a.Tol)
}

// judge finds out whether one thing is checked in time: it rests on the features, own
// are those that it is a tolerance of, and checks says which operations check it. It
// reports whether something is missing.
func (g *PlanGraph) judge(m *MissingCheck, features, own []string, checks func(*PlanOp) bool, critical bool) bool {
	m.Made, m.Checked, m.By = -1, -1, -1
	for _, f := range features {
		m.Made = max(m.Made, g.maker(f))
	}
	covered, changed, first, last, hidden := -1, -1, -1, -1, -1
	for i := range g.Ops {
		op := &g.Ops[i]
		if i >= m.Made && checks(op) {
			switch {
			case covered >= 0:
				hidden = i
			case first < 0:
				first, last = i, i
			default:
				last = i
			}
		}
		for _, f := range features {
			if covered < 0 && i >= m.Made && contains(op.Covers, f) {
				covered = i
			}
			if i > m.Made && g.changesSize(i, f) {
				changed = i
			}
		}
	}
	switch {
	case first < 0 && hidden >= 0:
		m.How, m.Checked, m.By = CheckedCovered, hidden, covered
		return true
	case first < 0:
		m.How = NoCheck
		return true
	case changed > last:
		m.How, m.Checked, m.By = CheckedBefore, last, changed
		return true
	}
	m.Checked = first
	for i := m.Made + 1; i < first; i++ {
		uses := slices.ContainsFunc(own, func(f string) bool { return g.locates(f, i) })
		if uses || critical && g.spendsWork(i) {
			m.How, m.By, m.Uses = CheckedLate, i, uses
			return true
		}
	}
	return false
}

// changesSize reports whether operation i changes a feature that is there. Words of
// breaking edges are none of its size or place.
func (g *PlanGraph) changesSize(i int, feature string) bool {
	op := &g.Ops[i]
	switch {
	case op.Clear.B:
		return false
	case contains(op.Alters, feature):
		return !breaksEdges(op.Operation)
	case op.coats == CoatsIt:
		return !g.keptBare(feature)
	}
	return op.coats == HardensIt
}

// breaksEdges reports whether the words of an operation speak of edges and burrs.
func breaksEdges(op *ledger.Operation) bool {
	return slices.ContainsFunc(wordsOf(op.Title.S+" "+op.Does.S), func(w string) bool {
		return hasStem(lastPart(w), "deburr", "chamfer") || strings.HasPrefix(w, "edge")
	})
}

// spendsWork reports whether an operation makes or cuts something.
func (g *PlanGraph) spendsWork(i int) bool {
	op := &g.Ops[i]
	return op.Makes != nil || op.Surface.Set() || op.Alters != nil
}
