package study

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/calc/quantity"
)

// TestMaterialOf reads what records say; values are those of the table of package
// joint, which names its sources.
func TestMaterialOf(t *testing.T) {
	for words, want := range map[string]string{
		"6061-T6": "6061", "6061": "6061", "aluminium jig plate": "6061", "aluminum": "6061", "7075-T651 aluminium": "7075", "6082": "6061",
		"4140 pre-hard": "4140", "42CrMo4": "4140", "4140 steel": "4140", "hardened steel": "steel", "303": "304", "316 stainless": "316", "17-4 PH steel": "17-4 PH",
		"C45 steel plate": "carbon steel 1040", "O1 tool steel": "O1 tool steel", "CuZn39Pb3": "brass C36000", "brass": "brass C36000",
		"grey cast iron": "gray iron", "Ti-6Al-4V": "Ti-6Al-4V", "titanium": "Ti-6Al-4V", "carbide": "WC-6Co carbide", "invar": "invar", "granite": "granite",
		"": "", "old plate": "", "CuZn39Pb3 with steel tips": "", "steel and aluminium": "", "delrin": "",
	} {
		got, ok := materialOf(words)
		assert.Equal(t, want != "", ok, words)
		assert.Equal(t, want, got.Name, words)
	}
	ppm, _ := quantity.LookupUnit("ppm/K")
	m, _ := materialOf("6061-T6")
	assert.InDelta(t, 23.94, m.Expansion.FloatIn(ppm), 1e-9, "the middle of 23.58 and 24.3")
	m, _ = materialOf("4140")
	assert.InDelta(t, 12.3, m.Expansion.FloatIn(ppm), 1e-9)
}

// TestMaterialWordsAreInTheTable: no word leads to a name that the table lacks.
func TestMaterialWordsAreInTheTable(t *testing.T) {
	for word, name := range materialWords {
		got, ok := materialOf(word)
		assert.True(t, ok, word)
		assert.Equal(t, name, got.Name, word)
	}
}
