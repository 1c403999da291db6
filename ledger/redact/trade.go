package redact

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenths/calc/quantity"
)

// Own is what is known of a shop beside the text itself.
type Own struct {
	// Unit is the one of bare numbers.
	Unit quantity.Unit
	// Names are called like tolerance classes and are none: a point K7.
	Names []string
	// Nominals are the sizes of what the shop makes, in mm. A trade size that
	// equals one gives it away.
	Nominals []float64
}

// Sizes takes sizes, tolerances, tolerance classes and feeds out of a text on
// one line. What a cutter or a bought part is called by, such as a 3/8 end mill,
// stays unless the shop makes something of that size.
func (o Own) Sizes(text string) string {
	text = spelled.ReplaceAllString(text, "(size)")
	list := split(text)
	units(list, text)
	for i := range list {
		if list[i].number {
			list[i].out = isSize(list, i, o)
		}
	}
	tolerances(list)
	text = without(list, text)
	return o.classes(fitClass.ReplaceAllString(text, "${1}(class)"))
}

var (
	// shareWords follow a fraction that is a share, or a count of pieces.
	shareWords = []string{"of", "the", "as", "a", "an", "less", "more", "turn", "turns", "full", "gone", "done", "way", "over", "through", "again", "better", "worse", "smaller", "larger",
		"were", "was", "are", "is", "had", "have", "did", "do", "need", "needed", "fail", "failed", "pass", "passed", "fit", "fitted", "good", "bad", "tight", "felt", "went", "came", "ok", "outside", "inside", "left"}
	// shareBefore stand before a half or a quarter that is a share.
	shareBefore = []string{"by", "only", "nearly", "almost"}
	// bought are called by a trade size, and so are cutters.
	bought = []string{"dowel", "dowels", "drill", "drills", "reamer", "reamers", "tap", "taps", "screw", "screws", "bolt", "bolts", "nut", "nuts", "washer", "washers", "mill", "mills", "endmill", "endmills",
		"cutter", "cutters", "finisher", "finishers", "rougher", "roughers", "collet", "collets", "shank", "bit", "bits", "burr", "wrench", "key", "npt", "unc", "unf", "bsp", "bsw"}
	// ends stop the search for what a trade size belongs to.
	ends = []string{".", ",", ";", ":", "(", ")", "in", "of", "for", "with", "to", "and", "or", "hole", "holes", "pin", "pins", "plate"}
)

// fractionOf reads a fraction such as 3/16; false for what no inch is divided
// into.
func fractionOf(s string) (float64, bool) {
	over, under, _ := strings.Cut(strings.ReplaceAll(s, " ", ""), "/")
	n, err1 := strconv.Atoi(over)
	d, err2 := strconv.Atoi(under)
	if err1 != nil || err2 != nil || n <= 0 || n >= d || !slices.Contains([]int{2, 4, 8, 16, 32, 64}, d) {
		return 0, false
	}
	return float64(n) / float64(d), true
}

// tradeSize reports whether a fraction without a unit may not be told.
func tradeSize(list []piece, i int, o Own) bool {
	if word(list, i+1) == "of" {
		k := i + 2
		for slices.Contains([]string{"a", "an", "one"}, word(list, k)) {
			k++
		}
		return lengthUnits[word(list, k)] > 0 && !slices.Contains(smallUnits, word(list, k))
	}
	v, ok := fractionOf(list[i].text)
	if !ok || slices.Contains(shareWords, word(list, i+1)) {
		return false
	}
	before := word(list, i-1)
	if (v == .5 || v == .25 || v == .75) && slices.Contains(shareBefore, before) && (i < 2 || !list[i-2].number) {
		return false
	}
	if slices.ContainsFunc(o.Nominals, func(mm float64) bool { return math.Abs(mm-25.4*v) < 1e-6 }) {
		return true
	}
	// 1/4-20 is a thread.
	if word(list, i+1) == "-" && i+2 < len(list) && list[i+2].number && list[i+2].start == list[i].end+1 {
		return false
	}
	for k := i + 1; k < min(len(list), i+8) && !slices.Contains(ends, word(list, k)); k++ {
		if slices.Contains(bought, word(list, k)) {
			return false
		}
	}
	return true
}

// looksLikeClass is a letter and a grade, or a class of ANSI B4.1, or a grade.
var looksLikeClass = regexp.MustCompile(`JS\d{1,2}|js\d{1,2}|[D-HKMNPd-hkmnprs]\d{1,2}|(?:RC|LC|LT|LN|FN) ?\d{1,2}|IT ?\d{1,2}`)

// grades are the grades that are usual with each letter (ISO 286-1, and the fits
// of ANSI B4.1; from memory). Beyond them stand names far more often than classes.
var grades = map[string][2]int{
	"D": {8, 11}, "E": {7, 10}, "F": {6, 9}, "G": {6, 7}, "H": {5, 13}, "JS": {5, 13}, "K": {6, 8}, "M": {7, 7}, "N": {6, 9}, "P": {6, 9},
	"d": {8, 11}, "e": {7, 9}, "f": {5, 9}, "g": {5, 7}, "h": {4, 13}, "js": {4, 13}, "k": {4, 7}, "m": {5, 7}, "n": {4, 7}, "p": {5, 7}, "r": {5, 7}, "s": {5, 7},
	"RC": {1, 9}, "LC": {1, 11}, "LT": {1, 6}, "LN": {1, 3}, "FN": {1, 5}, "IT": {1, 18},
}

// metricThread follows an M that is a thread, in lower case too.
var metricThread = regexp.MustCompile(`^\s*(?:x\s?\d|(?i:screws?|bolts?|nuts?|threads?|taps?|tapped|studs?|washers?)\b)`)

// classes takes out tolerance classes that stand alone, as in "bore it H7".
func (o Own) classes(text string) string {
	var b strings.Builder
	done := 0
	for _, m := range looksLikeClass.FindAllStringIndex(text, -1) {
		as := text[m[0]:m[1]]
		letters := strings.TrimRight(as, "0123456789 ")
		grade, err := strconv.Atoi(strings.TrimSpace(as[len(letters):]))
		usual := grades[letters]
		before, _ := utf8.DecodeLastRuneInString(text[:m[0]])
		after, _ := utf8.DecodeRuneInString(text[m[1]:])
		switch {
		case err != nil, grade < usual[0], grade > usual[1], slices.Contains(o.Names, as),
			inWord(before), inWord(after) && !strings.HasPrefix(text[m[1]:], "/("),
			strings.EqualFold(letters, "m") && metricThread.MatchString(text[m[1]:]):
			continue
		}
		b.WriteString(text[done:m[0]])
		b.WriteString("(class)")
		done = m[1]
	}
	return b.String() + text[done:]
}

// inWord reports whether what stands beside a name belongs to it.
func inWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-/_", r))
}
