package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"sort"

	"tenths/ledger/keyindex"
)

// Edit replaces the bytes of one value, or inserts a line if Span is empty.
type Edit struct {
	Span Span
	Text string
}

// Apply makes the edits in the text of a record and proves that nothing but
// the edited values changed: all other keys and values keep their bytes.
func Apply(src []byte, edits []Edit) ([]byte, error) {
	sort.SliceStable(edits, func(i, j int) bool { return edits[i].Span.Start < edits[j].Span.Start })
	var out bytes.Buffer
	at := 0
	for _, e := range edits {
		if e.Span.Start < at || e.Span.End < e.Span.Start || e.Span.End > len(src) {
			return nil, errors.New("two edits meet; nothing was changed")
		}
		out.Write(src[at:e.Span.Start])
		out.WriteString(e.Text)
		at = e.Span.End
	}
	out.Write(src[at:])
	if err := unchangedElsewhere(src, out.Bytes(), edits); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// derivedValue is the only kind of key that an edit adds.
var derivedValue = regexp.MustCompile(`^\.derived\[\d+\]\.value$`)

// unchangedElsewhere compares all scalars of both texts by their bytes.
func unchangedElsewhere(before, after []byte, edits []Edit) error {
	old, err := scalars(before)
	if err != nil {
		return err
	}
	changed := map[int]bool{}
	inserted := 0
	for _, e := range edits {
		if e.Span.Start == e.Span.End {
			inserted++
			continue
		}
		hit := false
		for i, s := range old {
			if s.at == e.Span {
				changed[i], hit = true, true
			}
		}
		if !hit {
			return errors.New("an edit does not cover a whole value; nothing was changed")
		}
	}
	now, err := scalars(after)
	if err != nil {
		return fmt.Errorf("the edit would break the file: %w", err)
	}
	if len(now) != len(old)+inserted {
		return errors.New("the edit would add or lose a key; nothing was changed")
	}
	i := 0
	for _, s := range now {
		switch {
		case i < len(old) && s.path == old[i].path:
			if !changed[i] && s.text != old[i].text {
				return fmt.Errorf("the edit would change %s; nothing was changed", old[i].path)
			}
			i++
		case inserted == 0:
			return errors.New("the edit would move a key; nothing was changed")
		case !derivedValue.MatchString(s.path):
			return errors.New("the value has no line of its own to stand on; write the derived value as a table of its own, begun with [[derived]]")
		default:
			inserted--
		}
	}
	if i < len(old) {
		return errors.New("the edit would lose a key; nothing was changed")
	}
	return nil
}

type scalar struct {
	path, text string
	at         Span
}

func scalars(src []byte) ([]scalar, error) {
	keys, _, ok, closed := front(src)
	if !ok || !closed {
		return nil, errors.New("the file has no front matter")
	}
	root, err := keyindex.Parse(src[keys.Start:keys.End], keys.Start)
	if err != nil {
		return nil, err
	}
	var out []scalar
	var walk func(n *keyindex.Node, path string)
	walk = func(n *keyindex.Node, path string) {
		if n.Value != nil {
			out = append(out, scalar{path, string(src[n.Val.Start:n.Val.End]), n.Val})
		}
		for i, item := range n.Items {
			walk(item, fmt.Sprintf("%s[%d]", path, i))
		}
		if n.Table != nil {
			for _, name := range n.Table.Names {
				walk(n.Table.Get(name), path+"."+name)
			}
		}
	}
	walk(root, "")
	return out, nil
}

// ValueEdit gives the edit that sets the value of a derived value: in place of
// the old text, or as a new line below the formula.
func ValueEdit(src []byte, d *Derived, text string) Edit {
	quoted := tomlString(text)
	if d.Value.Set() {
		return Edit{d.Value.Span, quoted}
	}
	// A new line below the one on which the formula ends, indented like it.
	end := d.Formula.End
	for end < len(src) && src[end] != '\n' {
		end++
	}
	start := d.Formula.Start
	for start > 0 && src[start-1] != '\n' {
		start--
	}
	indent := start
	for indent < len(src) && (src[indent] == ' ' || src[indent] == '\t') {
		indent++
	}
	newline := "\n"
	if end > 0 && src[end-1] == '\r' {
		end--
		newline = "\r\n"
	}
	return Edit{Span{Start: end, End: end}, newline + string(src[start:indent]) + "value = " + quoted}
}
