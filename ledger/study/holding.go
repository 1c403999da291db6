package study

import (
	"slices"
	"strings"

	"tenths/ledger"
)

// Holding is what the record says keeps a locator in the fixture.
type Holding struct {
	Press, Shrink, Adhesive, Screw, Sleeve bool
	// Said is set if it says anything at all, known words or not.
	Said bool
}

// HoldingOf reads held_by and adhesive of a locator.
func HoldingOf(now ledger.Locator) Holding {
	h := Holding{Said: strings.TrimSpace(now.HeldBy.S) != ""}
	for _, c := range clauses(now.HeldBy.S) {
		for i, w := range c {
			if denied(c[:i]) {
				break
			}
			h.Press = h.Press || hasStem(w, "press", "interference", "driven")
			h.Shrink = h.Shrink || hasStem(w, "shrink", "shrunk")
			h.Adhesive = h.Adhesive || hasStem(w, adhesiveStems...)
			h.Screw = h.Screw || hasStem(w, "screw", "bolt", "nut", "thread", "clamp")
			h.Sleeve = h.Sleeve || hasStem(w, "sleeve", "bush", "liner")
		}
	}
	if k := AdhesiveOf(now); k != NoAdhesive {
		h.Adhesive, h.Said = true, true
	}
	return h
}

// AdhesiveKind is a kind of adhesive as far as the words tell it.
type AdhesiveKind string

// The kinds.
const (
	NoAdhesive      AdhesiveKind = ""
	SomeAdhesive    AdhesiveKind = "adhesive"
	InstantAdhesive AdhesiveKind = "instant adhesive"   // plain cyanoacrylate
	Anaerobic       AdhesiveKind = "retaining compound" // anaerobic
	Epoxy           AdhesiveKind = "epoxy"
)

// adhesiveStems begin the words for adhesives and for work with them.
var adhesiveStems = []string{"adhesive", "glue", "gluing", "bond", "epox", "cyanoacrylate", "superglue", "anaerob", "threadlock", "thread-lock"}

// AdhesiveOf is the kind of adhesive that the words of a locator name.
func AdhesiveOf(now ledger.Locator) AdhesiveKind {
	kind := NoAdhesive
	for k, text := range []string{now.HeldBy.S, now.Adhesive.S} {
		whole := k == 1 // every word there is about adhesive
		for _, c := range clauses(text) {
			for i, w := range c {
				if denied(c[:i+1]) {
					break
				}
				switch {
				case hasStem(w, "cyanoacrylate", "superglue", "super-glue"), w == "super" && c.at(i+1) == "glue",
					hasStem(w, "instant") && (whole || hasStem(c.at(i+1), adhesiveStems...)):
					kind = InstantAdhesive
				case hasStem(w, "anaerob"), w == "retaining" && hasStem(c.at(i+1), "compound"):
					kind = Anaerobic
				case hasStem(w, "epox"):
					kind = Epoxy
				case kind == NoAdhesive && (whole || hasStem(w, adhesiveStems...)):
					kind = SomeAdhesive
				}
			}
		}
	}
	return kind
}

// denied reports whether the words deny what comes behind them.
func denied(c clause) bool { return says(c, "no", "not", "never", "without", "none", "instead") }

// hasStem reports whether a word, or its part behind the last hyphen, begins
// with one of the stems.
func hasStem(w string, stems ...string) bool {
	return slices.ContainsFunc(stems, func(s string) bool { return strings.HasPrefix(w, s) || strings.HasPrefix(lastPart(w), s) })
}

// Metal is what a fixture is made of, as far as a fit asks.
type Metal string

// The metals for which common practice has figures.
const (
	OtherMetal Metal = ""
	Steel      Metal = "steel"
	Aluminium  Metal = "aluminium"
)

// Grades that are written without the name of the metal.
var (
	aluminiumGrades = []string{"2017", "2024", "5052", "5083", "5754", "6060", "6061", "6063", "6082", "7022", "7050", "7075", "mic-6", "mic6"}
	steelGrades     = []string{"1018", "1020", "1045", "1144", "1215", "4130", "4140", "4340", "8620", "303", "304", "316", "416", "420", "440c", "a2", "d2", "o1", "s7", "h13", "p20", "c45", "42crmo4", "16mncr5"}
)

// MetalOf reads the material of a fixture. What names both, or neither, is
// OtherMetal.
func MetalOf(material string) Metal {
	steel, aluminium := false, false
	for _, w := range wordsOf(material) {
		grade := func(g string) bool { return w == g || strings.HasPrefix(w, g+"-") }
		aluminium = aluminium || hasStem(w, "alumin") || slices.ContainsFunc(aluminiumGrades, grade)
		steel = steel || hasStem(w, "steel", "stainless") || slices.ContainsFunc(steelGrades, grade)
	}
	switch {
	case steel && !aluminium:
		return Steel
	case aluminium && !steel:
		return Aluminium
	}
	return OtherMetal
}
