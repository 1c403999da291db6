package keyindex

import (
	"bytes"
	"fmt"

	"github.com/BurntSushi/toml"
)

// scanner walks a document that is known to be valid TOML, so it only has to
// find the ends of things.
type scanner struct {
	src []byte
	pos int
	off int
}

func (s *scanner) fail(msg string) error {
	p := min(s.pos, len(s.src))
	return &SyntaxError{Span{s.off + p, s.off + p + 1}, msg + "; please report this file"}
}

func (s *scanner) span(start, end int) Span { return Span{s.off + start, s.off + end} }

func (s *scanner) document() (*Node, error) {
	root := &Node{Table: &Table{}}
	cur := root
	for {
		s.skipBlank()
		if s.pos >= len(s.src) {
			return root, nil
		}
		var err error
		if s.src[s.pos] == '[' {
			cur, err = s.header(root)
		} else {
			err = s.entry(cur)
		}
		if err != nil {
			return nil, err
		}
	}
}

// header reads [a.b] or [[a.b]] and returns the table that it opens.
func (s *scanner) header(root *Node) (*Node, error) {
	start := s.pos
	array := bytes.HasPrefix(s.src[s.pos:], []byte("[["))
	s.pos++
	if array {
		s.pos++
	}
	names, spans, err := s.key()
	if err != nil {
		return nil, err
	}
	s.skipSpace()
	for closing := 1 + b2i(array); closing > 0; closing-- {
		if s.pos >= len(s.src) || s.src[s.pos] != ']' {
			return nil, s.fail("a table header does not end")
		}
		s.pos++
	}
	whole := s.span(start, s.pos)
	at := root
	for i, name := range names[:len(names)-1] {
		at = s.step(at, name, spans[i])
		if at == nil {
			return nil, s.fail("a table header crosses a value")
		}
	}
	last, lastSpan := names[len(names)-1], spans[len(spans)-1]
	if array {
		list := at.Table.Get(last)
		if list == nil {
			list = &Node{Key: lastSpan, Val: whole, IsArray: true}
			at.Table.add(last, list)
		}
		item := &Node{Key: lastSpan, Val: whole, Table: &Table{}}
		list.Items = append(list.Items, item)
		return item, nil
	}
	t := s.step(at, last, lastSpan)
	if t == nil {
		return nil, s.fail("a table header names a value")
	}
	t.Key, t.Val = lastSpan, whole
	return t, nil
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// step goes to the table of that name below n, making it if it is new; of an
// array of tables it takes the last one.
func (s *scanner) step(n *Node, name string, key Span) *Node {
	if n.Table == nil {
		return nil
	}
	next := n.Table.Get(name)
	if next == nil {
		next = &Node{Key: key, Val: key, Table: &Table{}}
		n.Table.add(name, next)
	}
	if next.IsArray {
		if len(next.Items) == 0 {
			return nil
		}
		next = next.Items[len(next.Items)-1]
	}
	if next.Table == nil {
		return nil
	}
	return next
}

// entry reads key = value into the table.
func (s *scanner) entry(into *Node) error {
	names, spans, err := s.key()
	if err != nil {
		return err
	}
	s.skipSpace()
	if s.pos >= len(s.src) || s.src[s.pos] != '=' {
		return s.fail("a key without =")
	}
	s.pos++
	s.skipSpace()
	v, err := s.value()
	if err != nil {
		return err
	}
	for i, name := range names[:len(names)-1] {
		if into = s.step(into, name, spans[i]); into == nil {
			return s.fail("a dotted key crosses a value")
		}
	}
	v.Key = spans[len(spans)-1]
	name := names[len(names)-1]
	// The TOML library lets a dotted key and a plain one meet.
	if into.Table.Get(name) != nil {
		return &SyntaxError{v.Key, fmt.Sprintf("the key %q is given twice", name)}
	}
	into.Table.add(name, v)
	return nil
}

// key reads a key, dotted or not.
func (s *scanner) key() (names []string, spans []Span, err error) {
	for {
		s.skipSpace()
		start := s.pos
		if s.pos >= len(s.src) {
			return nil, nil, s.fail("a key is missing")
		}
		var name string
		switch c := s.src[s.pos]; c {
		case '"', '\'':
			if err := s.quoted(); err != nil {
				return nil, nil, err
			}
			raw := s.src[start:s.pos]
			name = string(raw[1 : len(raw)-1])
			if c == '"' && bytes.IndexByte(raw, '\\') >= 0 {
				var v struct{ V string }
				if _, err := toml.Decode("V = "+string(raw), &v); err != nil {
					return nil, nil, s.fail("a quoted key cannot be read")
				}
				name = v.V
			}
		default:
			for s.pos < len(s.src) && !bytes.ContainsRune([]byte(" \t.=]\r\n"), rune(s.src[s.pos])) {
				s.pos++
			}
			if s.pos == start {
				return nil, nil, s.fail("a key is missing")
			}
			name = string(s.src[start:s.pos])
		}
		names = append(names, name)
		spans = append(spans, s.span(start, s.pos))
		s.skipSpace()
		if s.pos >= len(s.src) || s.src[s.pos] != '.' {
			return names, spans, nil
		}
		s.pos++
	}
}

func (s *scanner) value() (*Node, error) {
	if s.pos >= len(s.src) {
		return nil, s.fail("a value is missing")
	}
	start := s.pos
	switch s.src[s.pos] {
	case '"', '\'':
		if err := s.quoted(); err != nil {
			return nil, err
		}
		return &Node{Val: s.span(start, s.pos)}, nil
	case '[':
		return s.array()
	case '{':
		return s.inline()
	}
	for s.pos < len(s.src) && !bytes.ContainsRune([]byte(",]}\r\n#"), rune(s.src[s.pos])) {
		s.pos++
	}
	end := s.pos
	for end > start && (s.src[end-1] == ' ' || s.src[end-1] == '\t') {
		end--
	}
	if end == start {
		return nil, s.fail("a value is missing")
	}
	return &Node{Val: s.span(start, end)}, nil
}

func (s *scanner) array() (*Node, error) {
	n := &Node{IsArray: true}
	start := s.pos
	s.pos++
	for {
		s.skipBlank()
		if s.pos >= len(s.src) {
			return nil, s.fail("an array does not end")
		}
		switch s.src[s.pos] {
		case ']':
			s.pos++
			n.Val = s.span(start, s.pos)
			return n, nil
		case ',':
			s.pos++
		default:
			item, err := s.value()
			if err != nil {
				return nil, err
			}
			n.Items = append(n.Items, item)
		}
	}
}

func (s *scanner) inline() (*Node, error) {
	n := &Node{Table: &Table{}}
	start := s.pos
	s.pos++
	for {
		s.skipBlank()
		if s.pos >= len(s.src) {
			return nil, s.fail("an inline table does not end")
		}
		switch s.src[s.pos] {
		case '}':
			s.pos++
			n.Val = s.span(start, s.pos)
			return n, nil
		case ',':
			s.pos++
		default:
			if err := s.entry(n); err != nil {
				return nil, err
			}
		}
	}
}

// quoted steps over a string of any of TOML's four kinds.
func (s *scanner) quoted() error {
	q := s.src[s.pos]
	triple := []byte{q, q, q}
	if bytes.HasPrefix(s.src[s.pos:], triple) {
		s.pos += 3
		for s.pos < len(s.src) {
			switch {
			case q == '"' && s.src[s.pos] == '\\':
				s.pos += 2
			case bytes.HasPrefix(s.src[s.pos:], triple):
				s.pos += 3
				// Up to two more quotes belong to the text itself.
				for i := 0; i < 2 && s.pos < len(s.src) && s.src[s.pos] == q; i++ {
					s.pos++
				}
				return nil
			default:
				s.pos++
			}
		}
		return s.fail("a string does not end")
	}
	s.pos++
	for s.pos < len(s.src) {
		switch c := s.src[s.pos]; {
		case q == '"' && c == '\\':
			s.pos += 2
		case c == q:
			s.pos++
			return nil
		default:
			s.pos++
		}
	}
	return s.fail("a string does not end")
}

func (s *scanner) skipSpace() {
	for s.pos < len(s.src) && (s.src[s.pos] == ' ' || s.src[s.pos] == '\t') {
		s.pos++
	}
}

// skipBlank steps over white space, line ends and comments.
func (s *scanner) skipBlank() {
	for s.pos < len(s.src) {
		switch s.src[s.pos] {
		case ' ', '\t', '\r', '\n':
			s.pos++
		case '#':
			for s.pos < len(s.src) && s.src[s.pos] != '\n' {
				s.pos++
			}
		default:
			return
		}
	}
}
