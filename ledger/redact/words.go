package redact

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Word is a private word or name.
type Word struct {
	Text  string
	exact bool // only as written: the word is an everyday one too
}

// roles are the words by which people are called without being named.
var roles = []string{"owner", "partner", "maker", "apprentice", "machinist", "operator", "inspector", "helper", "colleague", "friend", "toolmaker", "foreman",
	"grinder", "welder", "student", "lab", "laboratory", "shop", "me", "myself", "self", "us", "we", "both", "all", "first", "second", "third", "other",
	"old", "new", "and", "or", "with", "the", "an", "of", "not", "known", "unknown", "nobody"}

// everyday are names of people that are words of a workshop as well.
var everyday = []string{"will", "mark", "may", "rich", "bill", "art", "rob", "sue", "grant", "drew", "chip", "rod", "dean", "jack", "miller", "turner", "smith",
	"cutter", "cooper", "mason", "long", "short", "little", "small", "young", "white", "black", "brown", "green", "grey", "gray", "hill", "wood", "stone",
	"steel", "bell", "ball", "bush", "case", "cook", "post", "price", "pin", "cross", "page", "ring", "case", "hand", "day", "moore", "best", "hook"}

// Names gives the names of people in the words that say who did something: each
// whole name and each part of it. Roles, such as the owner, name nobody.
func Names(by string) []Word {
	var out []Word
	for _, one := range strings.FieldsFunc(strings.NewReplacer(" and ", ",", " with ", ",").Replace(Plain(by)), func(r rune) bool { return strings.ContainsRune(",;&+/()", r) }) {
		var named []string
		for _, w := range strings.Fields(one) {
			plain := strings.ToLower(strings.Trim(w, ".'\u2019"))
			if !slices.Contains(roles, strings.TrimSuffix(strings.TrimSuffix(plain, "'s"), "s")) && !slices.Contains(roles, plain) && strings.IndexFunc(w, unicode.IsLetter) >= 0 {
				named = append(named, strings.Trim(w, "."))
			}
		}
		if whole := strings.Join(named, " "); len(Letters(whole)) > 1 {
			out = append(out, Word{Text: whole})
		}
		for _, w := range named {
			if len(named) > 1 && len(Letters(w)) > 2 {
				out = append(out, Word{Text: w, exact: slices.Contains(everyday, strings.ToLower(w))})
			}
		}
	}
	return out
}

// Letters are the letters and digits of a word, in lower case.
func Letters(s string) []rune {
	var out []rune
	for _, r := range s {
		if wordRune(r) {
			out = append(out, unicode.ToLower(r))
		}
	}
	return out
}

// Folded is a text made ready to look for words in.
type Folded struct {
	text    string
	letters []rune // letters and digits, in lower case
	at, end []int  // where each stands in the text
	apart   []bool // no letter or digit stands right before it
}

// Fold makes a text ready. Characters without a shape of their own are left out
// first, since nobody who reads the text sees them.
func Fold(text string) Folded {
	f := Folded{text: strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) && !unicode.IsSpace(r) {
			return -1
		}
		return r
	}, text)}
	f.text = Plain(f.text)
	apart := true
	for i, r := range f.text {
		if !wordRune(r) {
			apart = true
			continue
		}
		f.letters, f.at, f.end, f.apart = append(f.letters, unicode.ToLower(r)), append(f.at, i), append(f.end, i+utf8.RuneLen(r)), append(f.apart, apart)
		apart = false
	}
	return f
}

// In reports whether the word stands in the text, not as a part of a longer
// word. Case does not matter, nor do spaces, hyphens and other signs between the
// letters.
func (w Word) In(f Folded) bool {
	word := Letters(w.Text)
	if len(word) == 0 {
		return w.Text != "" && strings.Contains(f.text, w.Text)
	}
	for i := 0; i+len(word) <= len(f.letters); i++ {
		end := i + len(word)
		if !f.apart[i] || end < len(f.letters) && !f.apart[end] || !slices.Equal(f.letters[i:end], word) {
			continue
		}
		as := f.text[f.at[i]:f.end[end-1]]
		if !w.exact || as == w.Text || as == strings.ToUpper(w.Text) {
			return true
		}
	}
	return false
}

func wordRune(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}
