package study_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/ledger/study"
)

// coatings gives what is found on one coated part with a pin of 3.994 mm, or of
// 0.1873 in, in its hole H.
func coatings(t *testing.T, units, part, hole string) []*study.Coated {
	t.Helper()
	pin := `size = "0.1873"`
	if units == "mm" {
		pin = `size = "3.994"`
	}
	s, _, _ := onlyStation(t, fitLedger(units, part, hole, "", pin))
	return s.Coatings()
}

// TestCoatingTakes checks what a film takes off a diameter.
func TestCoatingTakes(t *testing.T) {
	for _, c := range []struct {
		source              string
		units, part, hole   string
		least, most, coated string // empty: not known
		left                string
	}{
		{"lacquer of 4 um on both walls: plane geometry; 4.004 to 3.996 mm as in the invented story of M-05", "mm", "coating = \"clear lacquer\"\nfilm = \"0.004\"", `size = "4 mm H7"` + "\n" + `as_made = "4.004..4.006"`, "0.008 mm", "0.008 mm", "3.996 mm", "0.002 mm"},
		{"anodize, half outward: the hole closes by one film (common practice)", "in", "coating = \"clear anodize\"\nfilm = \"0.0004\"", `size = "0.1875 +0.0005/-0"`, "0.0004 in", "0.0004 in", "0.1871 in", "-0.0002 in"},
		{"anodize of unknown film: .0003 to .0007 (common practice)", "in", `coating = "clear anodize"`, `size = "0.1875 +0.0005/-0"`, "0.0003 in", "0.0007 in", "", ""},
		{"plating, all outward: plane geometry", "in", "coating = \"nickel plated\"\nfilm = \"0.0002..0.0003\"", `size = "0.1880 +0.0005/-0"`, "0.0004 in", "0.0006 in", "0.1874 in", "0.0001 in"},
		{"kind not said: one film to two", "in", "film = \"0.0002\"", `size = "0.1880 +0.0005/-0"`, "0.0002 in", "0.0004 in", "0.1876 in", "0.0003 in"},
		{"paint of unknown film", "in", `coating = "paint"`, `size = "0.1875 +0.0005/-0"`, "", "", "", ""},
	} {
		got := coatings(t, c.units, c.part, c.hole)
		if !assert.Len(t, got, 1, c.source) || !assert.Len(t, got[0].Features, 1, c.source) {
			continue
		}
		f := got[0].Features[0]
		if assert.Equal(t, c.least == "", got[0].Takes.Max.IsZeroValue(), c.source) && c.least != "" {
			assert.Equal(t, c.least, got[0].Takes.Min.String(), c.source)
			assert.Equal(t, c.most, got[0].Takes.Max.String(), c.source)
		}
		if assert.Equal(t, c.coated == "", f.Coat.IsZeroValue(), c.source) && c.coated != "" {
			assert.Equal(t, c.coated, f.Coat.String(), c.source)
			_, pin, ok := got[0].Tightest()
			if assert.True(t, ok, c.source) {
				assert.Equal(t, c.left, pin.Left.String(), c.source)
			}
		}
	}
}

// TestCoatingQuiet: what keeps a coating out of a hole that a pin goes into, and
// what does not.
func TestCoatingQuiet(t *testing.T) {
	const film = "\nfilm = \"0.0004\""
	for _, c := range []struct {
		part, hole string
		found      bool
	}{
		{`coating = "clear anodize, holes masked"` + film, ``, false},
		{`coating = "clear anodize (masking plugs in both holes)"` + film, ``, false},
		{`coating = "clear anodize, holes not masked"` + film, ``, true},
		{`coating = "clear anodize without masking"` + film, ``, true},
		{`coating = "clear anodize, masked: none"` + film, ``, true},
		{`coating = "clear anodize, unmasked"` + film, ``, true},
		{`coating = "anodize"` + film + "\nmasked = [\"H\"]", ``, false},
		{`coating = "anodize"` + film + "\nmasked = [\"h and K\"]", ``, false},
		{`coating = "anodize"` + film + "\nmasked = [\"all holes\"]", ``, false},
		{`coating = "anodize"` + film + "\nmasked = [\"H2\"]", ``, true},
		{`coating = "anodize"` + film, `made_by = "drilled, reamed after anodize"`, false},
		{`coating = "anodize"` + film, `made_by = "after anodizing, reamed"`, false},
		{`coating = "anodize"` + film, `made_by = "anodized, then reamed"`, false},
		{`coating = "anodize"` + film, `made_by = "coated before reaming"`, false},
		{`coating = "anodize"` + film, `made_by = "drilled and reamed before anodize"`, true},
		{`coating = "anodize"` + film, `made_by = "before anodize, reamed"`, true},
		{`coating = "anodize"` + film, `made_by = "anodized after reaming"`, true},
		{`coating = "anodize"` + film, `made_by = "drilled, reamed after drilling, anodized"`, true},
		{`coating = "anodize"` + film, `made_by = "after anodize"`, true},
		{`coating = "anodize"` + film, `made_by = "drilled and reamed"`, true},
		// Ten times as wide as what the film takes, and just not (rule of ten,
		// common practice).
		{`coating = "anodize"` + film, `size = "0.1880 +0.0040/-0"`, false},
		{`coating = "anodize"` + film, `size = "0.1880 +0.0039/-0"`, true},
		{`coating = "anodize"`, `size = "0.1880 +0.0070/-0"`, false},
		{`coating = "anodize"`, `size = "0.1880 +0.0069/-0"`, true},
		// What builds next to nothing, as long as no film is given (common practice).
		{`coating = "passivated"`, ``, false}, {`coating = "black oxide"`, ``, false}, {`coating = "chromate conversion"`, ``, false},
		{`coating = "black oxide"` + film, ``, true}, {`coating = "black anodize"`, ``, true}, {`coating = "black paint"`, ``, true}, {`coating = "zinc, yellow chromate"`, ``, true},
		{`coating = "none"`, ``, false}, {`coating = "bare"`, ``, false}, {`coating = ""`, ``, false}, {``, ``, false},
		{`film = "0"`, ``, false},
		{"state = \"withdrawn\"\n" + `coating = "anodize"` + film, ``, false},
		{"state = \"planned\"\n" + `coating = "anodize"` + film, ``, false},
	} {
		assert.Equal(t, c.found, len(coatings(t, "in", c.part, c.hole)) == 1, "%s | %s", c.part, c.hole)
	}
}

// TestCoatingNarrow: a feature that nothing locates on counts where its limits
// are narrower than what the film surely takes.
func TestCoatingNarrow(t *testing.T) {
	for _, c := range []struct {
		feature string
		found   bool
	}{
		{"type = \"bore\"\nsize = \"0.5000 +0.00039/-0\"", true},
		{"type = \"bore\"\nsize = \"0.5000 +0.0004/-0\"", false},
		{"type = \"bore\"\nsize = \"0.5000\"", false},
		{"type = \"shaft\"\nsize = \"0.5000 +0/-0.0003\"", true},
		{"type = \"slot\"\nsize = \"0.5000 +0/-0.0003\"", true},
		{"type = \"thread\"\nsize = \"0.5000 +0/-0.00079\"", true},
		{"type = \"thread\"\nsize = \"0.5000 +0/-0.0008\"", false},
		{"type = \"outline\"\nsize = \"0.5000 +0/-0.0001\"", false},
		{"size = \"0.5000 +0/-0.0001\"", false},
	} {
		texts := map[string]string{"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\ncoating = \"anodize\"\nfilm = \"0.0004\"\n[[feature]]\nid = \"B\"\n" + c.feature + "\n"}
		got := study.New(loadTexts(t, texts), on(t, "2025-11-25")).Coatings()
		assert.Equal(t, c.found, len(got) == 1, c.feature)
	}
}

// TestThreadFactor derives by geometry what a film does to the pitch diameter of
// a 60 deg thread: t measured square to a flank moves it by t/sin 30 along the
// radius, on each side.
func TestThreadFactor(t *testing.T) {
	const film = 0.0004
	pitch := 2 * film / math.Sin(30*math.Pi/180)
	hole := 2 * film
	assert.InDelta(t, 2, pitch/hole, 1e-12)
	// All of a plated film lies on the surface: limits just under that are found.
	for width, found := range map[float64]bool{pitch - 0.00001: true, pitch: false} {
		texts := map[string]string{"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\ncoating = \"nickel plated\"\nfilm = \"%.4f\"\n[[feature]]\nid = \"T\"\ntype = \"thread\"\nsize = \"0.5000 +0/-%.5f\"\n", film, width)}
		got := study.New(loadTexts(t, texts), on(t, "2025-11-25")).Coatings()
		assert.Equal(t, found, len(got) == 1, "%g", width)
	}
}

func TestCoatKindOf(t *testing.T) {
	for text, want := range map[string]study.CoatKind{
		"clear anodize": study.HalfOutward, "Type III hard coat": study.HalfOutward, "anodised black": study.HalfOutward, "hard-anodized": study.HalfOutward,
		"clear lacquer": study.AllOutward, "electroless nickel": study.AllOutward, "zinc plated, clear chromate": study.AllOutward, "powder coat": study.AllOutward, "hard chrome": study.AllOutward,
		"passivated": study.ThinCoat, "black oxide": study.ThinCoat, "blued": study.ThinCoat, "chromate conversion": study.ThinCoat,
		"none": study.NoCoat, "no coating": study.NoCoat, "": study.NoCoat, " ": study.NoCoat, "bare": study.NoCoat,
		"to the customer's sheet": study.OtherCoat,
	} {
		assert.Equal(t, want, study.CoatKindOf(text), text)
	}
}
