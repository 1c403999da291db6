// Package redact takes out of a text what must not leave a shop, or finds what
// cannot be taken out: sizes, tolerances, days, programs, prices, private words.
// It knows no records and looks only at the words.
package redact

import (
	"regexp"
	"strings"
)

// SerialOfUnits is the reason of a Find that names units made; such stand in a
// public text only where somebody asked for them.
const SerialOfUnits = "a serial number of units made"

// Address is the reason of a Find that names a page or an address of mail.
const Address = "an address"

// Find is a part of a text that gives something away.
type Find struct{ Word, Why string }

// giveaway is a pattern of what gives a program, an offset, a price or an
// address away.
type giveaway struct {
	re  *regexp.Regexp
	why string
	// but is what may follow all the same.
	but *regexp.Regexp
}

// counted follows a number that counts something: "ran the program 3 times".
var counted = regexp.MustCompile(`^\s*(?i:times|parts|pieces|pcs|units|hours?|minutes?|min|seconds?|days?|weeks?|months?|years?|lots?|%)\b`)

// moved follows a number that says how far something is off, or counts.
var moved = regexp.MustCompile(`^\s*(?i:tenths?|thou|um|µm|uin|microns?|deg|times|parts|pieces|stations?)\b`)

// Programs are made of the words of ISO 6983-1: a letter and a number. A program
// number of O and digits, the usual work offsets and the endings of program
// files are common practice.
var giveaways = []giveaway{
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])([Oo][\s-]?\d{3,5})(?:$|[^\pL\pN])`), why: "a program number"},
	{re: regexp.MustCompile(`(?i)\b((?:sub)?(?:program(?:me)?s?|prog|prg|routines?|macros?)\b[\s.:#]*(?:(?:no|nr|number|rev|revision)\b[\s.:#]*)?[a-z]?-?\d[\w.-]*)`), why: "a program number", but: counted},
	{re: regexp.MustCompile(`(?i)\b([\w-]+\.(?:nc|tap|cnc|ngc|gcode|mpf|spf|eia))\b`), why: "a program file"},
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])([Nn]\s?\d{1,5}\s*[GMTgmt]\s?\d{1,3})`), why: "a line of a program"},
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])([Gg]\s?\d{1,3}\s*[XYZABCIJKRFPLHxyzabc]\s?-?\d*\.?\d)`), why: "a line of a program"},
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])([Mm]\s?\d{1,3}\s*[Pp]\s?\d{2,})`), why: "a line of a program"},
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])(G[\s-]?5[4-9](?:\.\d+)?|g5[4-9](?:\.\d+)?)(?:$|[^\pL\pN])`), why: "a work offset"},
	{re: regexp.MustCompile(`(?:^|[^\pL\pN])(G[\s-]?\d{2,3}(?:\.\d+)?|g\d{2,3}(?:\.\d+)?)(?:$|[^\pL\pN])`), why: "a word of a program"},
	{re: regexp.MustCompile(`(?i)\b((?:work|tool|wear|length|radius|fixture|zero)?\s?offsets?\b[\s:=#]*(?:(?:no|nr|number|of|is|was|to|[xyz])\b[\s.:=#]*)*[-+\x{2212}]?[.\d][\w.]*)`), why: "an offset", but: moved},
	{re: regexp.MustCompile(`([$€£¥]\s?\d[\d.,]*|\d[\d.,]*\s?[$€£¥])`), why: "a price"},
	{re: regexp.MustCompile(`(?i)(?:^|[^\pL\pN])(\d[\d.,]*[\s-]?(?:EUR|USD|GBP|CHF|JPY|CAD|AUD|SEK|NOK|DKK|PLN|CZK|euros?|dollars?|bucks|cents|pounds?|francs?|yen|kronor|kroner|quid)\b|\b(?:EUR|USD|GBP|CHF|JPY|AUD|SEK|NOK|DKK|PLN|CZK)\s?\d[\d.,]*)`), why: "a price"},
	{re: regexp.MustCompile(`(?i)\b((?:serials?|s/n|s\.n\.)[\s.:#]*(?:(?:no|nr|number|numbers|range|from)\b[\s.:#]*)*[a-z]{0,3}-?\d[\w-]*)`), why: SerialOfUnits},
	{re: regexp.MustCompile(`(?i)\b([\w.+-]+@[\w-]+\.[\w.]+|https?://\S+|www\.\S+)`), why: Address},
	{re: regexp.MustCompile(`(?i)\b((?:order|invoice|purchase order|p\.?o\.?|job)\s?(?:no|nr|number|#)[\s.:#]*[a-z]{0,3}-?\d[\w-]*)`), why: "an order number"},
}

// Giveaways finds programs, offsets, prices, serial numbers of units made, order
// numbers and addresses in a text.
func Giveaways(text string) []Find {
	var out []Find
	for _, g := range giveaways {
		for _, m := range g.re.FindAllStringSubmatchIndex(text, -1) {
			if g.but == nil || !g.but.MatchString(text[m[3]:]) {
				out = append(out, Find{text[m[2]:m[3]], g.why})
			}
		}
	}
	return out
}

// sameLetters are the kinds of hyphens, minus signs and strokes that look alike.
var sameLetters = strings.NewReplacer("\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2212", "-", "\ufe63", "-", "\u2044", "/", "\u2215", "/")

// Plain is a text with single spaces and one way of writing each letter: wide
// forms (Unicode block Halfwidth and Fullwidth Forms) and the kinds of hyphens
// become those of a keyboard.
func Plain(s string) string {
	s = strings.Map(func(r rune) rune {
		if r >= '\uff01' && r <= '\uff5e' {
			return r - 0xfee0
		}
		return r
	}, s)
	return strings.Join(strings.Fields(sameLetters.Replace(s)), " ")
}

const monthName = `(Jan(?:uary)?|Feb(?:ruary)?|Mar(?:ch)?|Apr(?:il)?|May|June?|July?|Aug(?:ust)?|Sept?(?:ember)?|Oct(?:ober)?|Nov(?:ember)?|Dec(?:ember)?)`

// days are the ways in which a day is written, with what is left of each.
var days = []struct {
	re   *regexp.Regexp
	left string
}{
	{regexp.MustCompile(`\b(\d{4}) ?[-\x{2013}./] ?(0?[1-9]|1[0-2]) ?[-\x{2013}./] ?(?:0?[1-9]|[12]\d|3[01])(?:T[\d:.]+Z?)?\b`), "${1}-${2}"},
	{regexp.MustCompile(`\b(20\d{2})(0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])\b`), "${1}-${2}"},
	{regexp.MustCompile(`\b(?:0?[1-9]|[12]\d|3[01]) ?[-./] ?(?:0?[1-9]|[12]\d|3[01]) ?[-./] ?((?:19|20)\d{2})\b`), "${1}"},
	{regexp.MustCompile(`\b(?:0?[1-9]|[12]\d|3[01])([./-])(?:0?[1-9]|[12]\d|3[01])[./-]\d{2}\b`), "(day)"},
	{regexp.MustCompile(`\b(?:the )?(?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?\.?(?: of)?[ -]` + monthName + `\b`), "${1}"},
	{regexp.MustCompile(`\b` + monthName + `\.? (?:the )?(?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?,? ((?:19|20)\d{2})\b`), "${1} ${2}"},
	{regexp.MustCompile(`\b` + monthName + `\.? (?:the )?(?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?\b`), "${1}"},
}

// Months cuts days down to their month, or to the year where it is not
// certain which number is the month.
func Months(text string) string {
	for _, d := range days {
		text = d.re.ReplaceAllString(text, d.left)
	}
	return strings.Join(strings.Fields(text), " ")
}
