package redact

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenths/calc/quantity"
)

// smallDifference is the largest length, in mm, that counts as a difference and
// not as a size: 20 tenths, beyond what a fit or a step is argued about.
const smallDifference = 20 * 0.00254

// piece is a number, a word or another sign of a text.
type piece struct {
	start, end int
	text       string
	number     bool
	glued      bool    // a number that follows a letter, as in R12.5
	decimal    bool    // written with a decimal point
	mixed      bool    // whole number and fraction, or a written half
	fraction   bool    // as 3/16
	value      float64 // of the number, the larger way to read it
	out        bool    // taken out
	unit       float64 // mm in one unit; 0 without a unit
	small      bool    // the unit is one for differences
	cycle      bool    // a unit of feed or speed
}

// The numbers of a text: mixed numbers, fractions, decimals with point or comma,
// and groups of digits. A sign belongs to the number unless a letter or a digit
// stands before it.
var pieces = regexp.MustCompile(`\d+[ -]\d+ ?/ ?\d+|\d* ?[¼½¾⅓⅔⅛⅜⅝⅞]|\d+ ?/ ?\d+|\d+(?:[.,]\d+)+|[.,]\d+|\d+|[\pL]+|->|\.\.+|\+/-|[^\s\d\pL]`)

// The units of length; the value is mm in one. Those of differences are told by
// smallUnits.
var lengthUnits = map[string]float64{
	"mm": 1, "millimetre": 1, "millimetres": 1, "millimeter": 1, "millimeters": 1, "cm": 10, "centimetre": 10, "centimetres": 10, "centimeter": 10, "centimeters": 10,
	"m": 1000, "metre": 1000, "metres": 1000, "meter": 1000, "meters": 1000, "inch": 25.4, "inches": 25.4, `"`: 25.4, "″": 25.4, "”": 25.4, "ft": 304.8, "foot": 304.8, "feet": 304.8,
	"thou": .0254, "thous": .0254, "mil": .0254, "mils": .0254, "thousandth": .0254, "thousandths": .0254,
	"tenth": .00254, "tenths": .00254, "um": .001, "µm": .001, "μm": .001, "micron": .001, "microns": .001, "micrometre": .001, "micrometres": .001, "micrometer": .001, "micrometers": .001,
	"uin": .0000254, "µin": .0000254, "μin": .0000254, "microinch": .0000254, "microinches": .0000254,
}

// spelledNumber is a number or a fraction in words.
const spelledNumber = `one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|sixteen|twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|` +
	`half|halves|thirds?|quarters?|eighths?|sixteenths?|seconds|fourths`

// What small units, tolerances and sizes are told by.
var (
	smallUnits = []string{"thou", "thous", "mil", "mils", "thousandth", "thousandths", "tenth", "tenths", "um", "µm", "μm", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers", "uin", "µin", "μin", "microinch", "microinches"}
	speedUnits = []string{"rpm", "ipm", "ipr", "ipt", "sfm", "sfpm", "fpm"}
	// otherUnits follow numbers that are no lengths.
	otherUnits = []string{"%", "percent", "times", "x", "fold", "s", "sec", "second", "seconds", "min", "minute", "minutes", "h", "hour", "hours", "day", "days", "week", "weeks", "month", "months", "year", "years",
		"deg", "degree", "degrees", "°", "c", "f", "k", "n", "lbf", "ozf", "kg", "g", "oz", "lb", "w", "kw", "v", "a", "hz", "bar", "psi", "nm", "hrc", "hb", "parts", "part", "pieces", "pcs", "readings", "points", "turns", "turn", "of", "per"}
	joiners   = []string{"x", "×", "by", "to", "and", "or", "->", "→", "-", "–", "…", "..", "...", "/", "±", "+/-", ",", "+"}
	sizeWords = []string{"pitch", "diameter", "diameters", "dia", "ø", "⌀", "∅", "width", "length", "height", "thickness", "depth", "radius", "spacing", "distance", "size"}
	limitWord = []string{"tolerance", "tolerances", "limit", "limits", "goal"}
	// ratios stand before numbers that are no lengths.
	ratios = []string{"ratio", "factor", "version", "rev", "p", "f", "t", "n"}
	links  = []string{"is", "was", "of", "=", ":", "about", "the", "a", "an", "from", ".", "ca", "approx", "now", "at"}
	// places follow "in" where it is no unit: 12 in the drawer.
	places = []string{"the", "a", "an", "our", "my", "its", "this", "that", "these", "those", "each", "every", "all", "both", "one", "two", "three", "four", "five", "six", "seven", "eight", "ten",
		"place", "use", "row", "total", "stock", "time", "station", "stations", "aluminium", "aluminum", "steel", "brass", "service", "order", "front", "turn", "between", "which", "spring", "summer", "autumn", "winter", "and"}
	spelled = regexp.MustCompile(`(?i)\b(?:` + spelledNumber + `)(?:[ -]+(?:` + spelledNumber + `|and|an?))*[ -]+(?:of )?(?:an? )?` +
		`(?:mm|cm|millimet(?:re|er)s?|centimet(?:re|er)s?|inch(?:es)?|foot|feet|met(?:re|er)s?)\b`)
	classes = regexp.MustCompile(`^(?:[A-HJKMNPR-Z]{1,2}|[a-hjkmnpr-z]{1,2})$`)
	// fitClass is a pair of tolerance classes of ISO 286 that no number stands
	// before, or one that is said to be a class.
	fitClass = regexp.MustCompile(`\b(?:JS|[A-HJKMNPR-Z])(?:[4-9]|1[0-8]) ?/ ?(?:js|[a-hjkmnpr-z])(?:[3-9]|1[0-8])\b|(\b(?i:class|fit|tolerance|grade|ISO) )(?:JS|js|[FGHKMNPfghkmnp])(?:[4-9]|1[0-8])\b`)
)

// Sizes is Own.Sizes where nothing but the unit of bare numbers is known.
func Sizes(text string, unit quantity.Unit) string { return Own{Unit: unit}.Sizes(text) }

// split breaks a text into its pieces.
func split(text string) []piece {
	var list []piece
	for _, m := range pieces.FindAllStringIndex(text, -1) {
		p := piece{start: m[0], end: m[1], text: text[m[0]:m[1]]}
		p.number = strings.ContainsAny(p.text, "0123456789¼½¾⅓⅔⅛⅜⅝⅞")
		if p.number {
			p.text = strings.TrimSpace(p.text)
			p.start = p.end - len(p.text)
			p.decimal = strings.ContainsAny(p.text, ".,")
			p.fraction = strings.Contains(p.text, "/")
			p.mixed = strings.ContainsAny(p.text, "¼½¾⅓⅔⅛⅜⅝⅞") || p.fraction && strings.ContainsAny(strings.TrimSpace(p.text[:strings.Index(p.text, "/")]), " -")
			p.value = valueOf(p.text)
			if n := len(list); n > 0 && list[n-1].end == p.start {
				prev := []rune(list[n-1].text)
				p.glued = unicode.IsLetter(prev[len(prev)-1]) && !strings.ContainsAny(list[n-1].text, "Øø") ||
					list[n-1].text == "-" && n > 1 && list[n-2].end == list[n-1].start && !list[n-2].number && unicode.IsLetter([]rune(list[n-2].text)[0])
			}
		}
		list = append(list, p)
	}
	return list
}

// valueOf reads a number; a comma may part thousands or stand for the point, and
// the larger value counts.
func valueOf(s string) float64 {
	if strings.ContainsAny(s, "¼½¾⅓⅔⅛⅜⅝⅞") {
		return 1
	}
	if strings.Contains(s, "/") {
		return 1
	}
	best := 0.0
	for _, try := range []string{strings.ReplaceAll(s, ",", "."), strings.ReplaceAll(s, ",", ""), strings.NewReplacer(".", "", ",", ".").Replace(s)} {
		if v, err := strconv.ParseFloat(try, 64); err == nil {
			// A point parts no thousands unless a comma follows it.
			if strings.Contains(s, ".") && !strings.Contains(s, ",") && try != s {
				continue
			}
			best = max(best, v)
		} else if strings.Count(s, ".") > 1 {
			best = max(best, 1e6)
		}
	}
	return best
}

func word(list []piece, i int) string {
	if i < 0 || i >= len(list) {
		return ""
	}
	return strings.ToLower(list[i].text)
}

// units gives each number the unit that stands behind it, or behind the next
// number that it is joined to: 0.15 -> 0.30 mm, 60 x 20 x 5 mm.
func units(list []piece, text string) {
	for i := len(list) - 1; i >= 0; i-- {
		if !list[i].number {
			continue
		}
		p, next := &list[i], word(list, i+1)
		switch {
		case lengthUnits[next] > 0 && !(next == "m" && text[list[i+1].start] == 'M'):
			p.unit, p.small = lengthUnits[next], slices.Contains(smallUnits, next)
			p.cycle = word(list, i+2) == "/" && slices.Contains([]string{"min", "rev", "tooth", "s"}, word(list, i+3))
		case slices.Contains(speedUnits, next):
			p.cycle = true
		case next == "in" && inches(list, i):
			p.unit = 25.4
		case i+2 < len(list) && list[i+2].number && slices.Contains(joiners, next):
			p.unit, p.small, p.cycle = list[i+2].unit, list[i+2].small, list[i+2].cycle
		case i+3 < len(list) && list[i+3].number && slices.Contains(joiners, next) && slices.Contains([]string{"-", "+", "±"}, word(list, i+2)):
			p.unit, p.small, p.cycle = list[i+3].unit, list[i+3].small, list[i+3].cycle
		}
	}
	// 60 mm x 20: what follows is a length too.
	for i := range list {
		if k := i - 3; list[i].number && list[i].unit == 0 && k >= 0 && list[k].number && list[k].unit > 0 && !list[k].small && slices.Contains([]string{"x", "×", "by"}, word(list, i-1)) {
			list[i].unit = list[k].unit
		}
	}
}

// inches reports whether the "in" behind a number is a unit.
func inches(list []piece, i int) bool {
	if p := list[i]; p.decimal || p.fraction || p.mixed {
		return true
	}
	if i+2 >= len(list) {
		return true
	}
	next := list[i+2]
	first := []rune(next.text)[0]
	return !next.number && !unicode.IsUpper(first) && !slices.Contains(places, strings.ToLower(next.text))
}

// isSize reports whether a number may not be told.
func isSize(list []piece, i int, o Own) bool {
	p, next := list[i], word(list, i+1)
	before := i - 1
	for slices.Contains([]string{"-", "+"}, word(list, before)) {
		before--
	}
	word1 := before
	for word1 >= 0 && slices.Contains(links, word(list, word1)) {
		word1--
	}
	// A unit of something else; 3 x 5 are sizes, 3 of 5 are pieces, and 2.4 of
	// pitch is a size again.
	other := slices.Contains(otherUnits, next)
	switch next {
	case "x":
		other = i+2 >= len(list) || !list[i+2].number
	case "of", "per":
		other = !p.decimal
	}
	switch {
	case p.cycle:
		return true
	case slices.Contains([]string{"±", "+/-"}, word(list, before)):
		return true
	case p.unit > 0 && !p.small:
		return true
	case slices.Contains(limitWord, word(list, word1)) && !other, p.unit > 0 && slices.Contains(limitWord, word(list, i+2)):
		return true
	case p.unit > 0:
		return p.value*p.unit > smallDifference*(1+1e-9)
	case i+2 < len(list) && classes.MatchString(list[i+1].text) && list[i+2].number && list[i+2].glued && list[i+2].start == list[i+1].end && tolerance(list, i):
		return true
	case other && !(p.fraction && next == "of"):
		return false
	case times(list, i) && !counts(list, i):
		return true
	case slices.Contains(sizeWords, word(list, word1)):
		return true
	case p.mixed:
		return p.fraction
	case p.fraction:
		return tradeSize(list, i, o)
	case !p.decimal || slices.Contains(ratios, word(list, word1)):
		return false
	}
	mm := 25.4
	if o.Unit.Same(quantity.Millimetre) {
		mm = 1
	}
	return p.value*mm > smallDifference*(1+1e-9)
}

// tolerance reports whether what follows a number is a tolerance class, such as
// the H7 of 12 H7, and not a name such as T12.
func tolerance(list []piece, i int) bool {
	grade := list[i+2].text
	n, err := strconv.Atoi(grade)
	return err == nil && n >= 3 && n <= 18
}

// times reports whether a number is one of several that are multiplied, as in
// 3.2 x 1.5.
func times(list []piece, i int) bool {
	x := []string{"x", "×"}
	return i+2 < len(list) && slices.Contains(x, word(list, i+1)) && list[i+2].number || i > 1 && slices.Contains(x, word(list, i-1)) && list[i-2].number
}

// counts reports whether what is multiplied there are pieces or readings.
func counts(list []piece, i int) bool {
	for k := i + 1; k < len(list) && k < i+6; k++ {
		if slices.Contains([]string{"parts", "part", "pieces", "readings", "points", "times", "pcs"}, word(list, k)) {
			return true
		}
	}
	return false
}

// tolerances takes out pairs of deviations, as in +0.0005/-0 or +0.01 -0.02, and
// the signs and classes beside what is taken out.
func tolerances(list []piece) {
	signed := func(i int, sign string) bool {
		return i > 0 && list[i].number && list[i-1].text == sign && list[i-1].end == list[i].start
	}
	for i := range list {
		if !list[i].number {
			continue
		}
		k := i + 2
		if word(list, i+1) == "/" {
			k++
		}
		if k < len(list) && (signed(i, "+") && signed(k, "-") || signed(i, "-") && signed(k, "+")) && (list[i].decimal || list[k].decimal || k == i+3) {
			list[i].out, list[k].out = true, true
		}
	}
}

// without leaves out what is taken out, each number with its sign, its unit and
// its class, and says that a size stood there.
func without(list []piece, text string) string {
	var b strings.Builder
	done := 0
	for i := 0; i < len(list); i++ {
		if !list[i].out || list[i].start < done {
			continue
		}
		start, end := list[i].start, list[i].end
		what := "(size)"
		if list[i].cycle {
			what = "(feed)"
		}
		for k := i - 1; k >= 0 && list[k].start >= done; k-- {
			w := list[k].text
			sign := (w == "-" || w == "+") && list[k].end == list[k+1].start && (k == 0 || list[k-1].end < list[k].start || !list[k-1].number && !unicode.IsLetter([]rune(list[k-1].text)[0]))
			if !sign && w != "±" && w != "+/-" {
				break
			}
			start = list[k].start
		}
		// Units go with the number; "in" may be no unit and stays.
		next := i + 1
		if w := word(list, next); lengthUnits[w] > 0 && list[i].unit > 0 || slices.Contains(speedUnits, w) {
			end = list[next].end
			next++
			if list[i].cycle && word(list, next) == "/" {
				end = list[next+1].end
				next += 2
			}
		}
		for next+1 < len(list) && classes.MatchString(list[next].text) && list[next+1].number && list[next+1].glued && list[next+1].start == list[next].end {
			end = list[next+1].end
			next += 2
			if word(list, next) == "/" && next+2 < len(list) && classes.MatchString(list[next+1].text) {
				next++
			}
		}
		// Sizes that are multiplied, or parted by a sign of a tolerance, are one.
		if gap := strings.TrimSpace(text[done:start]); strings.HasSuffix(b.String(), "(size)") && slices.Contains([]string{"", "x", "×", "by", "/", "±", "+/-"}, gap) && what == "(size)" {
			done = end
			continue
		}
		b.WriteString(text[done:start])
		if n := b.Len(); n > 0 {
			if r := b.String()[n-1]; r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
				b.WriteByte(' ')
			}
		}
		b.WriteString(what)
		if r, _ := utf8.DecodeRuneInString(text[end:]); unicode.IsLetter(r) || unicode.IsDigit(r) {
			b.WriteByte(' ')
		}
		done = end
	}
	return b.String() + text[done:]
}
