package study

import (
	"math/big"
	"strings"

	"tenths/calc/joint"
	"tenths/calc/quantity"
)

// Material is what something is made of, as far as its expansion asks.
type Material struct {
	Name      string            // in the table of package joint
	Expansion quantity.Quantity // per kelvin, in the middle of what the sources say
	Standing  joint.Standing
}

// materialWords gives the material of the table for a word, or for its part before
// the first hyphen. Alloys that are not in the table are taken as their nearest
// relative, from which their expansion differs by less than books do.
var materialWords = map[string]string{
	"1018": "carbon steel 1020", "1020": "carbon steel 1020", "1040": "carbon steel 1040", "1045": "carbon steel 1040", "c45": "carbon steel 1040",
	"4130": "4140", "4140": "4140", "42crmo4": "4140", "4340": "4340",
	"303": "304", "304": "304", "316": "316", "17-4": "17-4 PH", "416": "416", "420": "416", "440c": "440C",
	"o1": "O1 tool steel", "a2": "A2 tool steel", "carbide": "WC-6Co carbide",
	"steel": "steel", "steels": "steel",
	"7022": "7075", "7050": "7075", "7075": "7075",
	"brass": "brass C36000", "c36000": "brass C36000",
	"titanium": "Ti-6Al-4V", "iron": "gray iron", "invar": "invar", "granite": "granite",
}

// materialOf reads the words of a record. Words that name two materials, or none
// of the table, are no answer.
func materialOf(words string) (Material, bool) {
	found := map[string]bool{}
	for _, w := range wordsOf(words) {
		front, _, _ := strings.Cut(w, "-")
		name := materialWords[w]
		switch {
		case name != "":
		case strings.HasPrefix(w, "17-4"):
			name = "17-4 PH"
		case strings.HasPrefix(w, "ti-6al-4v"):
			name = "Ti-6Al-4V"
		case strings.HasPrefix(w, "cuzn"):
			name = "brass C36000"
		case materialWords[front] != "":
			name = materialWords[front]
		case MetalOf(w) == Aluminium:
			name = "6061"
		case MetalOf(w) == Steel:
			name = "steel"
		}
		if name != "" {
			found[name] = true
		}
	}
	// "4140 steel" and "7075 aluminium" name one material.
	for name := range found {
		if name != "steel" && (MetalOf(name) == Steel || name == "17-4 PH") {
			delete(found, "steel")
		}
	}
	if found["7075"] {
		delete(found, "6061")
	}
	if len(found) != 1 {
		return Material{}, false
	}
	for name := range found {
		m, err := joint.FindMaterial(name)
		if err != nil {
			return Material{}, false
		}
		low, high, _, standing := joint.Range(m.Expansion)
		sum, err := low.Add(high)
		if err != nil || low.IsZeroValue() {
			return Material{}, false
		}
		return Material{m.Name, sum.Scale(big.NewRat(1, 2)), standing}, true
	}
	return Material{}, false
}
