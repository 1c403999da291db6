package study

import (
	"slices"
	"strings"

	"tenths/ledger"
)

// CoatKind is a kind of coating by where its film grows.
type CoatKind int

// The kinds.
const (
	NoCoat      CoatKind = iota
	ThinCoat             // builds next to nothing: passivation, blackening, chromate conversion (common practice)
	HalfOutward          // about half of the film grows outward: anodize (common practice)
	AllOutward           // all of it lies on the surface: lacquer, paint, plating
	OtherCoat            // the words do not tell
)

// Stems of words for coatings, by kind.
var (
	halfStems = []string{"anodi", "hardcoat", "hard-coat", "hard-anodi"}
	fullStems = []string{"lacquer", "paint", "varnish", "enamel", "powder", "plated", "plating", "nickel", "zinc", "cadmium", "copper", "tinned", "galvani", "ptfe"}
	fullWords = []string{"chrome", "chromed", "chromium", "tin", "ticn", "tialn", "dlc"}
	thinStems = []string{"passivat", "blacken", "blued", "bluing", "browned", "chromate", "conversion", "phosphat", "oiled"}
)

// CoatKindOf reads what a coating is.
func CoatKindOf(text string) CoatKind {
	words := wordsOf(text)
	if len(words) == 0 || says(words[:1], "none", "no", "bare", "uncoated", "without") {
		return NoCoat
	}
	any := func(stems []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return hasStem(w, stems...) })
	}
	switch {
	case any(halfStems), strings.Contains(strings.ToLower(text), "hard coat"):
		return HalfOutward
	case any(fullStems), says(words, fullWords...):
		return AllOutward
	case any(thinStems), says(words, "oxide"):
		return ThinCoat
	}
	return OtherCoat
}

// speaksOfMasking reports whether the words say that something is masked, and
// do not deny it.
func speaksOfMasking(text string) bool {
	all := clauses(text)
	for k, c := range all {
		var next clause // "masked: none"
		if k+1 < len(all) {
			next = all[k+1]
		}
		for i, w := range c {
			if strings.HasPrefix(w, "mask") && !denied(c[:i]) && !denied(c[i+1:]) && !(i == len(c)-1 && denied(next[:min(1, len(next))])) {
				return true
			}
		}
	}
	return false
}

// masked reports whether the part's list of what the coating is kept off names
// the feature, itself or by its type ("all holes").
func masked(p *ledger.Part, f ledger.Feature) bool {
	id := strings.ToLower(f.ID.S)
	for _, m := range p.Masked {
		words := wordsOf(m.S)
		if strings.EqualFold(strings.TrimSpace(m.S), f.ID.S) || says(words, id) || f.Type.S != "" && says(words, f.Type.S+"s") {
			return true
		}
	}
	return false
}

// finishers are the stems of work that takes a coating off a hole or shaft again,
// coats those of words that stand for a coating whatever it is.
var (
	finishers = append([]string{"tap", "chas"}, opened...)
	coats     = slices.Concat([]string{"coat", "film"}, halfStems, fullStems, thinStems)
)

// finishedAfter reports whether the words about how a feature is made say that
// it is finished after the coating: "reamed after anodize", "anodized, then
// reamed", "plated before reaming".
func finishedAfter(madeBy string) bool {
	finishes := func(w string) bool { return hasStem(w, finishers...) }
	if !slices.ContainsFunc(wordsOf(madeBy), finishes) {
		return false
	}
	coated := false
	for _, c := range clauses(madeBy) {
		coat := slices.IndexFunc(c, func(w string) bool { return hasStem(w, coats...) })
		finish := slices.IndexFunc(c, finishes)
		when := slices.IndexFunc(c, func(w string) bool { return w == "after" || w == "before" })
		switch {
		case coat >= 0 && when >= 0 && when < coat:
			if c[when] == "after" {
				return true
			}
		case coat >= 0 && when >= 0 && finish > when:
			if c[when] == "before" {
				return true
			}
			coated = true
		case coat >= 0:
			coated = true
			if finish > coat {
				return true
			}
		case coated && finish >= 0:
			return true
		}
	}
	return false
}
