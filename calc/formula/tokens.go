package formula

import (
	"go/scanner"
	"go/token"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds on the text of a formula.
const (
	maxBytes  = 4000
	maxNested = 50 // parentheses and calls inside each other
)

// lexeme is one token with its place.
type lexeme struct {
	tok    token.Token
	text   string
	offset int
}

// reader checks the tokens of a formula before the parser sees them, so that
// every complaint is in our words.
type reader struct {
	text string // as given
	// src has the same offsets: line breaks are spaces, and the word if, which is
	// no name to the Go parser, is ifName.
	src string
}

// ifName stands for the function if in what the Go parser reads. No formula holds
// it, because a name of underscores alone is refused.
const ifName = "__"

func newReader(text string) *reader {
	// A line break would end the expression for the Go parser.
	return &reader{text: text, src: strings.NewReplacer("\n", " ", "\r", " ", "\t", " ").Replace(text)}
}

func (r *reader) fail(offset int, msg, hint string) *Error {
	return &Error{Text: r.text, Column: column(r.text, offset), Msg: msg, Hint: hint}
}

// tokens splits the formula and refuses every token that is not in the grammar.
func (r *reader) tokens() ([]lexeme, *Error) {
	if len(r.text) > maxBytes {
		return nil, r.fail(maxBytes, "the formula is too long", "split it into several")
	}
	if i := badByte(r.src); i >= 0 {
		return nil, r.fail(i, "the text is not valid UTF-8 here", "")
	}
	for _, c := range []string{"//", "/*"} {
		if i := strings.Index(r.src, c); i >= 0 {
			return nil, r.fail(i, c+" has no meaning in a formula", "divide with a single /")
		}
	}
	var s scanner.Scanner
	var first *scanner.Error
	file := token.NewFileSet().AddFile("", -1, len(r.src))
	s.Init(file, []byte(r.src), func(pos token.Position, msg string) {
		if first == nil {
			first = &scanner.Error{Pos: pos, Msg: msg}
		}
	}, 0)
	var all []lexeme
	for {
		pos, tok, text := s.Scan()
		l := lexeme{tok, text, file.Offset(pos)}
		if tok == token.EOF {
			return all, nil
		}
		if tok == token.SEMICOLON && text == "\n" {
			continue // set by the scanner at the end
		}
		if err := r.refuse(l); err != nil {
			return nil, err
		}
		if first != nil {
			return nil, r.fail(first.Pos.Offset, "this cannot be read", "")
		}
		if l.tok == token.IF {
			l.tok = token.IDENT
			r.src = r.src[:l.offset] + ifName + r.src[l.offset+len(ifName):]
		}
		all = append(all, l)
	}
}

func badByte(s string) int {
	for i, c := range s {
		if c == utf8.RuneError {
			if _, n := utf8.DecodeRuneInString(s[i:]); n == 1 {
				return i
			}
		}
	}
	return -1
}

// refuse is the complaint about a token outside the grammar; nil if it is in.
func (r *reader) refuse(l lexeme) *Error {
	switch l.tok {
	case token.IDENT:
		if strings.Trim(l.text, "_") == "" {
			return r.fail(l.offset, l.text+" is no name", "a name starts with a letter")
		}
		return nil
	case token.INT, token.FLOAT, token.IMAG:
		return r.number(l)
	case token.LPAREN, token.RPAREN, token.COMMA, token.ADD, token.SUB, token.MUL, token.QUO, token.IF,
		token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ, token.LAND, token.LOR, token.NOT:
		return nil
	case token.ILLEGAL:
		return r.strange(l)
	case token.STRING, token.CHAR:
		return r.fail(l.offset, "quotation marks have no meaning in a formula", "for inches write *in")
	}
	if l.tok == token.ELSE {
		return r.fail(l.offset, "'else' is a reserved word and has no meaning here", "write "+ifUsage)
	}
	if l.tok.IsKeyword() {
		return r.fail(l.offset, quote(l.text)+" is a reserved word and cannot be a name", "choose another name")
	}
	msg := l.tok.String() + " has no meaning in a formula"
	switch l.tok {
	case token.XOR, token.XOR_ASSIGN:
		return r.fail(l.offset, "^ is not a power here: the grammar reads it as exclusive or", "write a*a or pow(a, 2)")
	case token.REM:
		return r.fail(l.offset, msg, "for a percentage write 90/100")
	case token.INC, token.DEC:
		sign := l.tok.String()[:1]
		return r.fail(l.offset, msg, "for two signs in a row write a "+sign+" ("+sign+"b)")
	case token.LBRACK, token.RBRACK, token.LBRACE, token.RBRACE:
		return r.fail(l.offset, msg, "only round parentheses group")
	case token.PERIOD, token.ELLIPSIS:
		return r.fail(l.offset, msg, "a name is one word; numbers are written like 0.5")
	case token.SEMICOLON:
		return r.fail(l.offset, "; has no meaning in a formula", "a formula is one expression")
	case token.ASSIGN, token.DEFINE, token.ADD_ASSIGN, token.SUB_ASSIGN, token.MUL_ASSIGN, token.QUO_ASSIGN:
		return r.fail(l.offset, msg, "write only the right side of the equation; values compare with ==, <= and >=")
	case token.ARROW:
		return r.fail(l.offset, msg, "to compare with a negative value write a < (-b)")
	case token.AND, token.OR:
		return r.fail(l.offset, msg, "conditions are joined with && (and) and || (or)")
	}
	return r.fail(l.offset, msg, "")
}

// strangers are characters that people write and the grammar does not have.
var strangers = map[rune]string{
	'×': "write *", '·': "write *", '÷': "write /", '\u2212': "write the minus sign as -", '–': "write the minus sign as -",
	'²': "write a*a or pow(a, 2)", '³': "write pow(a, 3)", '√': "write sqrt(a)", '°': "write *deg", '″': "write *in", '”': "write *in", '“': "write *in",
	'±': "the tolerance belongs to the inputs", '≤': "write <=", '≥': "write >=", '≠': "write !=",
}

func (r *reader) strange(l lexeme) *Error {
	c, _ := utf8.DecodeRuneInString(r.src[l.offset:])
	hint := strangers[c]
	if hint == "" && unicode.In(c, unicode.No, unicode.Nd) {
		hint = "write digits as 0 to 9, also in names: d1"
	}
	return r.fail(l.offset, quote(string(c))+" has no meaning in a formula", hint)
}

// decimalNumber is what a number looks like, and word the letters after it.
var (
	decimalNumber = regexp.MustCompile(`^(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`)
	word          = regexp.MustCompile(`^[\pL_][\pL_0-9]*`)
)

// number checks the form of a number: decimal, no letters stuck to it.
func (r *reader) number(l lexeme) *Error {
	rest := r.src[l.offset:]
	n := decimalNumber.FindString(rest)
	after := rest[len(n):]
	if w := word.FindString(after); w != "" {
		at := l.offset + len(n)
		switch {
		case n == "0" && strings.ContainsRune("xXbBoO", rune(w[0])):
			return r.fail(l.offset, "only decimal numbers are read here", "")
		case w[0] == '_':
			return r.fail(at, "an underscore has no place in a number", "")
		}
		return r.fail(at, "an operator is missing between "+n+" and "+w, "write "+n+"*"+w)
	}
	if l.tok == token.INT && len(n) > 1 && n[0] == '0' {
		return r.fail(l.offset, "a whole number does not start with 0", "write "+strings.TrimLeft(n[:len(n)-1], "0")+n[len(n)-1:])
	}
	return nil
}

// arrange checks the order of the tokens: what may follow what, and that every
// parenthesis has its partner.
func (r *reader) arrange(all []lexeme) *Error {
	if len(all) == 0 {
		return r.fail(0, "the formula is empty", "")
	}
	type open struct {
		at   lexeme
		call bool
	}
	var stack []open
	prev := lexeme{tok: token.EOF}
	ended := false // the tokens so far end with a value
	for _, l := range all {
		switch l.tok {
		case token.IDENT, token.INT, token.FLOAT:
			if ended {
				return r.missingOperator(prev, l)
			}
			ended = true
		case token.LPAREN:
			call := prev.tok == token.IDENT && ended
			if ended && !call {
				return r.missingOperator(prev, l)
			}
			if stack = append(stack, open{l, call}); len(stack) > maxNested {
				return r.fail(l.offset, "too many parentheses inside each other", "split the formula into several")
			}
			ended = false
		case token.RPAREN:
			if len(stack) == 0 {
				return r.fail(l.offset, "this parenthesis was never opened", "")
			}
			if !ended {
				return r.missingValue(prev, l)
			}
			stack = stack[:len(stack)-1]
		case token.COMMA:
			if len(stack) == 0 || !stack[len(stack)-1].call {
				return r.fail(l.offset, "a comma only separates the arguments of a function", "a decimal is written with a point: 0.5")
			}
			if !ended {
				return r.missingValue(prev, l)
			}
			ended = false
		case token.NOT:
			if ended {
				return r.missingOperator(prev, l)
			}
		case token.MUL, token.QUO, token.EQL, token.NEQ, token.LSS, token.LEQ, token.GTR, token.GEQ, token.LAND, token.LOR:
			if prev.tok == token.MUL && l.tok == token.MUL {
				return r.fail(prev.offset, "** has no meaning in a formula", "write a*a or pow(a, 2)")
			}
			if !ended {
				return r.missingValue(prev, l)
			}
			ended = false
		default: // + and -, also as signs
			ended = false
		}
		prev = l
	}
	if !ended {
		return r.fail(len(r.text), "a value is missing at the end", "")
	}
	if n := len(stack); n > 0 {
		return r.fail(stack[n-1].at.offset, "this parenthesis is not closed", "")
	}
	return nil
}

func (r *reader) missingOperator(prev, l lexeme) *Error {
	a, b := prev.show(), l.show()
	if prev.text == "if" {
		return r.fail(prev.offset, "if is a function", "write "+ifUsage)
	}
	hint := "write " + a + "*" + b
	switch {
	case b == "and":
		hint = "for and write &&"
	case b == "or":
		hint = "for or write ||"
	case l.tok == token.NOT:
		hint = "values that differ compare with !="
	case prev.tok == token.INT && l.tok == token.INT:
		hint = "write 1 1/2 as (1 + 1/2)"
	case prev.tok == token.RPAREN || l.tok == token.LPAREN:
		hint = "multiplication is written with *"
	case prev.tok != token.IDENT && l.tok != token.IDENT:
		hint = "" // two numbers
	case prev.tok == token.IDENT && l.tok == token.IDENT:
		hint += ", or one word if it is a single name"
	}
	return r.fail(l.offset, "an operator is missing between "+a+" and "+b, hint)
}

func (r *reader) missingValue(prev, l lexeme) *Error {
	if prev.tok == token.EOF {
		return r.fail(l.offset, "a value is missing before "+l.show(), "")
	}
	return r.fail(l.offset, "a value is missing between "+prev.show()+" and "+l.show(), "")
}

func (l lexeme) show() string {
	if l.text != "" && l.tok != token.COMMA {
		return l.text
	}
	return l.tok.String()
}
