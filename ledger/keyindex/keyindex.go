// Package keyindex finds where every key and value of a TOML document stands.
//
// The TOML library decides what is valid and what a value means; it keeps no
// positions. This package walks the bytes of a document which that library has
// accepted and builds the same tree with the byte range of each key and value.
// The two trees are compared as they are joined, so a disagreement is an error
// and never a wrong line.
package keyindex

import (
	"bytes"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// MaxDepth is the deepest nesting of arrays and inline tables that is read.
const MaxDepth = 200

// Span is a range of bytes, End exclusive. The zero Span stands for "absent".
type Span struct{ Start, End int }

// Set reports whether the span stands for something in the text.
func (s Span) Set() bool { return s.End > 0 }

// Shift moves the span by n bytes.
func (s Span) Shift(n int) Span { return Span{s.Start + n, s.End + n} }

// Node is a value in the document.
type Node struct {
	// Key is where the value's own key stands, without quotes' decoding; absent for array items.
	Key Span
	// Val is where the value stands: a scalar, an array, an inline table, or
	// the header line of a table.
	Val Span
	// Value is a string, int64, float64, bool or time.Time; nil for a table or an array.
	Value any
	// Table holds the entries in the order of the text; nil if this is no table.
	Table *Table
	// Items holds the items of an array or of an array of tables.
	Items []*Node
	// IsArray is set for arrays, empty ones included.
	IsArray bool
}

// Table keeps the entries of a table in the order in which they are written.
type Table struct {
	Names []string
	nodes map[string]*Node
}

// Get returns the entry of that name, or nil.
func (t *Table) Get(name string) *Node {
	if t == nil {
		return nil
	}
	return t.nodes[name]
}

// With gives a table with the entries of t, and those entries of base that are
// listed where t has none of that name. Both stay as they are.
func (t *Table) With(base *Table, names []string) *Table {
	out := &Table{}
	for _, name := range names {
		if n := base.Get(name); n != nil && t.Get(name) == nil {
			out.add(name, n)
		}
	}
	for _, name := range t.Names {
		out.add(name, t.nodes[name])
	}
	return out
}

func (t *Table) add(name string, n *Node) {
	if t.nodes == nil {
		t.nodes = make(map[string]*Node, 8)
	}
	t.Names = append(t.Names, name)
	t.nodes[name] = n
}

// SyntaxError is a place in the document that the TOML grammar does not allow.
type SyntaxError struct {
	Span Span
	Msg  string
}

func (e *SyntaxError) Error() string { return e.Msg }

// Parse reads a TOML document. The spans of the tree are offsets into src plus
// offset. An error is a *SyntaxError when the place is known.
func Parse(src []byte, offset int) (*Node, error) {
	if i := invalidUTF8(src); i >= 0 {
		return nil, &SyntaxError{Span{offset + i, offset + i + 1}, "not valid UTF-8 text here"}
	}
	if bytes.HasPrefix(src, []byte{0xEF, 0xBB, 0xBF}) {
		return nil, &SyntaxError{Span{offset, offset + 3}, "a byte order mark stands before the keys; save the file without it"}
	}
	if i, what := tooDeep(src); i >= 0 {
		return nil, &SyntaxError{Span{offset + i, offset + i + 1}, fmt.Sprintf(what, MaxDepth)}
	}
	decoded := map[string]any{}
	if _, err := toml.Decode(string(src), &decoded); err != nil {
		return nil, syntaxError(err, src, offset)
	}
	s := &scanner{src: src, off: offset}
	root, err := s.document()
	if err != nil {
		return nil, err
	}
	if err := join(root, decoded); err != nil {
		return nil, err
	}
	return root, nil
}

func invalidUTF8(src []byte) int {
	for i := 0; i < len(src); {
		if src[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// tooDeep bounds the recursion of the TOML library before it starts, and the
// parts of a dotted key, over whose square it takes its time. It steps over
// strings and comments. The place is -1 if nothing is too deep.
func tooDeep(src []byte) (at int, what string) {
	depth, dots := 0, 0
	s := scanner{src: src}
	for s.pos < len(src) {
		switch src[s.pos] {
		case '"', '\'':
			if s.quoted() != nil {
				return -1, "" // the library says what is wrong
			}
			continue
		case '#':
			s.skipBlank()
			dots = 0
			continue
		case '[', '{':
			dots = 0
			if depth++; depth > MaxDepth {
				return s.pos, "brackets are nested deeper than %d here"
			}
		case ']', '}':
			depth = max(0, depth-1)
		case '=', ',', '\n':
			dots = 0
		case '.':
			if dots++; dots >= MaxDepth {
				return s.pos, "a key has more than %d parts here"
			}
		}
		s.pos++
	}
	return -1, ""
}

func syntaxError(err error, src []byte, offset int) error {
	var pe toml.ParseError
	if !errors.As(err, &pe) {
		return &SyntaxError{Span{offset, offset + 1}, err.Error()}
	}
	start := min(max(pe.Position.Start, 0), len(src))
	end := min(start+max(pe.Position.Len, 1), max(len(src), start+1))
	msg := pe.Message
	if msg == "" {
		msg = "not valid TOML"
	}
	return &SyntaxError{Span{offset + start, offset + end}, msg}
}

// join copies the decoded scalars into the tree and checks that both trees
// have the same shape.
func join(n *Node, v any) error {
	mismatch := func() error {
		return &SyntaxError{n.Val, "the text could not be matched to its keys; please report this file"}
	}
	switch v := v.(type) {
	case map[string]any:
		if n.Table == nil || len(n.Table.Names) != len(v) {
			return mismatch()
		}
		for _, name := range n.Table.Names {
			child, ok := v[name]
			if !ok {
				return mismatch()
			}
			if err := join(n.Table.nodes[name], child); err != nil {
				return err
			}
		}
	case []map[string]any:
		if !n.IsArray || len(n.Items) != len(v) {
			return mismatch()
		}
		for i, item := range v {
			if err := join(n.Items[i], item); err != nil {
				return err
			}
		}
	case []any:
		if !n.IsArray || len(n.Items) != len(v) {
			return mismatch()
		}
		for i, item := range v {
			if err := join(n.Items[i], item); err != nil {
				return err
			}
		}
	case string, int64, float64, bool, time.Time:
		if n.Table != nil || n.IsArray {
			return mismatch()
		}
		n.Value = v
	default:
		return mismatch()
	}
	return nil
}
