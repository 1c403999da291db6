package quantity

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
)

// Bounds on the text of a quantity.
const (
	maxText   = 200 // code points
	maxDigits = 40  // digits of one number
)

// ParseError says what is wrong in the text of a quantity, and where.
type ParseError struct {
	Text   string // the whole text
	Column int    // code point of the trouble in Text, from 1
	Msg    string // what is wrong
	Want   string // what would be right; may be empty
}

// Error is one sentence: the text, the column, what is wrong, what would be
// right.
func (e *ParseError) Error() string {
	s := fmt.Sprintf("%s, column %d: %s", quote(e.Text), e.Column, e.Msg)
	if e.Want != "" {
		s += "; " + e.Want
	}
	return s
}

// quote shows a text from outside in quotes, on one line, without control
// characters, and cut when long.
func quote(s string) string {
	rs := []rune(s)
	cut := ""
	if len(rs) > 60 {
		rs, cut = rs[:60], "..."
	}
	for i, r := range rs {
		if !unicode.IsPrint(r) {
			rs[i] = '\uFFFD'
		}
	}
	return "'" + string(rs) + cut + "'"
}

// scanner walks the code points of one text.
type scanner struct {
	text string
	rs   []rune
	pos  int
}

func newScanner(text string) (*scanner, error) {
	s := &scanner{text: text, rs: []rune(text)}
	if len(s.rs) > maxText {
		return nil, s.fail(maxText, fmt.Sprintf("a quantity has at most %d characters", maxText), "")
	}
	return s, nil
}

func (s *scanner) fail(pos int, msg, want string) error {
	return &ParseError{Text: s.text, Column: pos + 1, Msg: msg, Want: want}
}

// at is the code point n places ahead, or 0 past the end.
func (s *scanner) at(n int) rune {
	if i := s.pos + n; i >= 0 && i < len(s.rs) {
		return s.rs[i]
	}
	return 0
}

func (s *scanner) end() bool { return s.pos >= len(s.rs) }

func (s *scanner) skipSpace() {
	for !s.end() && unicode.IsSpace(s.at(0)) {
		s.pos++
	}
}

// take moves past the first of the given texts that stands here.
func (s *scanner) take(texts ...string) bool {
	for _, t := range texts {
		n := len([]rune(t))
		if s.pos+n <= len(s.rs) && string(s.rs[s.pos:s.pos+n]) == t {
			s.pos += n
			return true
		}
	}
	return false
}

// rest is the text from here on.
func (s *scanner) rest() string { return string(s.rs[s.pos:]) }

// number is a number as written.
type number struct {
	value    *big.Rat
	decimals int    // -1 for a fraction
	fraction string // "1 1/2"
	signed   bool   // a sign was written
	negative bool   // the sign was minus: tells -0 from +0
	pos      int
}

// in is the quantity of the number in unit u.
func (n number) in(u Unit) Quantity {
	q := New(n.value, u)
	q.decimals, q.fraction = n.decimals, n.fraction
	return q
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func isMinus(r rune) bool { return r == '-' || r == '\u2212' }

// number reads [sign] digits[.digits] | [sign] [whole] num/den.
func (s *scanner) number() (number, error) { return s.numberIn(false) }

// numberIn reads a number. In a pair of deviations a slash ends it where no
// fraction can be meant: +0.0005/0, +5/0.
func (s *scanner) numberIn(pair bool) (number, error) {
	s.skipSpace()
	n := number{pos: s.pos}
	if r := s.at(0); r == '+' || isMinus(r) {
		n.signed, n.negative = true, isMinus(r)
		s.pos++
		s.skipSpace()
	}
	start := s.pos
	whole := s.digits()
	var err error
	switch {
	case s.at(0) == '.' && s.at(1) != '.':
		err = s.decimals(&n, whole)
	case whole == "":
		msg := "a number is missing"
		if !s.end() {
			msg = "a number should stand here"
		}
		err = s.fail(s.pos, msg, "write it like 0.1875 or 3/32")
	case s.at(0) == '/' && isDigit(s.at(1)) && !(pair && s.zeroAfterSlash()):
		err = s.fraction(&n, "", whole)
	case s.mixed():
		s.pos++ // the hyphen or the first space
		s.skipSpace()
		err = s.fraction(&n, whole, s.digits())
	default:
		n.value, n.decimals = decimal(whole, ""), 0
	}
	if err != nil {
		return n, err
	}
	if err := s.afterNumber(start, pair); err != nil {
		return n, err
	}
	if n.negative {
		n.value.Neg(n.value)
		if n.fraction != "" && n.value.Sign() != 0 {
			n.fraction = "-" + n.fraction
		}
	}
	return n, nil
}

func (s *scanner) digits() string {
	start := s.pos
	for isDigit(s.at(0)) {
		s.pos++
	}
	return string(s.rs[start:s.pos])
}

// decimals reads the point and the digits after it.
func (s *scanner) decimals(n *number, whole string) error {
	point := s.pos
	s.pos++
	frac := s.digits()
	if frac == "" {
		return s.fail(point, "digits must follow the point", "write 5.0 or 5, not 5.")
	}
	n.value, n.decimals = decimal(whole, frac), len(frac)
	return nil
}

// mixed reports whether "1 1/2" or "1-1/2" goes on here, after the whole part.
func (s *scanner) mixed() bool {
	i := 0
	switch {
	case s.at(0) == '-':
		i = 1
	case unicode.IsSpace(s.at(0)):
		for unicode.IsSpace(s.at(i)) {
			i++
		}
	default:
		return false
	}
	first := i
	for isDigit(s.at(i)) {
		i++
	}
	return i > first && s.at(i) == '/' && isDigit(s.at(i+1))
}

// zeroAfterSlash reports whether /0 or /0.00 stands here.
func (s *scanner) zeroAfterSlash() bool {
	i := 1
	for s.at(i) == '0' {
		i++
	}
	return i > 1 && !isDigit(s.at(i))
}

// fraction reads "/den" after a numerator.
func (s *scanner) fraction(n *number, whole, num string) error {
	pos := s.pos - len(num)
	s.pos++ // the slash
	den := s.digits()
	d := decimal(den, "")
	if d.Sign() == 0 {
		return s.fail(s.pos-len(den), "a fraction cannot be divided by zero", "")
	}
	n.value = new(big.Rat).Quo(decimal(num, ""), d)
	n.decimals, n.fraction = -1, num+"/"+den
	if whole == "" {
		return nil
	}
	if n.value.Cmp(big.NewRat(1, 1)) >= 0 {
		return s.fail(pos, "the fraction after a whole number must be less than one", "write 1 1/2, not 1 3/2")
	}
	n.value.Add(n.value, decimal(whole, ""))
	n.fraction = whole + " " + n.fraction
	return nil
}

// afterNumber refuses what people and programs write into numbers and this
// grammar does not have, each by name.
func (s *scanner) afterNumber(start int, pair bool) error {
	written := string(s.rs[start:s.pos])
	switch r := s.at(0); {
	case countDigits(written) > maxDigits:
		return s.fail(start, fmt.Sprintf("a number has at most %d digits", maxDigits), "")
	case r == ',' && isDigit(s.at(1)):
		comma := s.pos
		s.pos++
		after := s.digits()
		if s.at(0) == '.' || len(after) == 3 && strings.Trim(written, "0") != "" && !strings.Contains(written, ".") {
			return s.fail(comma, "a comma does not separate thousands here",
				fmt.Sprintf("write %s%s without the comma, or %s.%s if a decimal was meant", written, after, written, after))
		}
		return s.fail(comma, "a comma is not the decimal mark here", fmt.Sprintf("write %s.%s, with a point", written, after))
	case r == '_':
		return s.fail(s.pos, "an underscore has no place in a number", "")
	case (r == 'e' || r == 'E') && (isDigit(s.at(1)) || (s.at(1) == '+' || s.at(1) == '-') && isDigit(s.at(2))):
		return s.fail(s.pos, "powers of ten are not read here", "write the digits out, or take a smaller unit such as uin")
	case r == '.' && s.at(1) != '.':
		return s.fail(s.pos, "a number has one decimal point", "")
	case r == '/' && isDigit(s.at(1)) && !pair:
		return s.fail(s.pos, "a fraction has whole numbers above and below", "write it like 3/32 or 1 1/2")
	}
	return nil
}

func countDigits(s string) int {
	n := 0
	for _, r := range s {
		if isDigit(r) {
			n++
		}
	}
	return n
}

// decimal is the exact value of digits without sign.
func decimal(whole, frac string) *big.Rat {
	n, ok := new(big.Int).SetString("0"+whole+frac, 10)
	if !ok {
		return new(big.Rat)
	}
	d := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(frac))), nil)
	return new(big.Rat).SetFrac(n, d)
}

// word is the run of letters and unit marks that stands here, with the
// operators of a combined unit; it is not consumed. A run of letters that goes
// on with a digit is a tolerance class, not a unit, and gives "".
func (s *scanner) word() string {
	i := 0
	if s.at(0) == '1' && s.at(1) == '/' && unicode.IsLetter(s.at(2)) {
		i = 2
	}
	for {
		r := s.at(i)
		switch {
		case unicode.IsLetter(r), strings.ContainsRune(`°"″”%²³`, r) && r != 0:
			i++
		case strings.ContainsRune("/*·", r) && r != 0 && unicode.IsLetter(s.at(i+1)):
			i++
		case r == '^' && isDigit(s.at(i+1)):
			i += 2
		case isDigit(r) && i > 0:
			return ""
		default:
			return string(s.rs[s.pos : s.pos+i])
		}
	}
}

// unit reads a unit if one stands here. Letters that are no unit are an error
// when known is set, and otherwise left for the caller.
func (s *scanner) unit(def Unit, known bool) (Unit, bool, error) {
	s.skipSpace()
	w := s.word()
	if w == "" {
		return Unit{}, false, nil
	}
	u, ok := LookupUnit(w)
	if !ok {
		if !known {
			return Unit{}, false, nil
		}
		return Unit{}, false, s.fail(s.pos, unknownUnit(w), unitWant(def))
	}
	s.pos += len([]rune(w))
	return u, true, nil
}

func unknownUnit(w string) string {
	switch strings.ToLower(w) {
	case "month", "months", "year", "years":
		return w + " have no fixed length and stand only where an interval is asked for"
	case "rad":
		return "radians are no exact unit; angles are written in deg, arcmin or arcsec"
	case "mil", "mils":
		return w + " is read as a thousandth of an inch by some and as a millimetre by others; write thou or mm"
	case "x":
		return "hexadecimal numbers are not read here"
	}
	if u, ok := LookupUnit(strings.ToLower(w)); ok {
		return fmt.Sprintf("%s is no known unit; %s is", quote(w), u.is().name)
	}
	return quote(w) + " is no known unit"
}

func unitWant(def Unit) string { return "units are " + unitNames(def) }
