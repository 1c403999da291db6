package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"sort"
	"time"

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

// mayAdd names the keys that an edit may add.
var mayAdd = regexp.MustCompile(`^((\.entry\[\d+\])?\.derived\[\d+\]\.value|\.predicted|\.predicted_on)$`)

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
		case !mayAdd.MatchString(s.path):
			return errors.New("the value has no line of its own to stand on; write a derived value as a table of its own, begun with [[derived]], and every key of a change on a line of its own")
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
	return lineBelow(src, d.Formula.Span, "value = "+quoted)
}

// PredictionEdits gives the edits that write a prediction, and the day on which
// it was made, into a change: in place of what stands there, or as new lines
// below the last of its keys about the readings.
func PredictionEdits(src []byte, ch *Change, value string, on time.Time) []Edit {
	var out []Edit
	anchor := ch.State.Span
	for _, at := range []Span{ch.Characteristic.Span, ch.Claim.Span, ch.Goal.Span, ch.Criterion.Span, ch.Before.Span, ch.After.Span, ch.Predicted.Span} {
		if at.Set() && at.Start > anchor.Start {
			anchor = at
		}
	}
	put := func(at Span, key, text string) {
		if at.Set() {
			out = append(out, Edit{at, text})
		} else {
			out = append(out, lineBelow(src, anchor, key+" = "+text))
		}
	}
	put(ch.Predicted.Span, "predicted", tomlString(value))
	put(ch.PredictedOn.Span, "predicted_on", on.Format(time.DateOnly))
	return out
}

// lineBelow gives the edit that adds a line below the one on which a value ends,
// indented like the one on which it begins.
func lineBelow(src []byte, at Span, text string) Edit {
	end := at.End
	for end < len(src) && src[end] != '\n' {
		end++
	}
	start := at.Start
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
	return Edit{Span{Start: end, End: end}, newline + string(src[start:indent]) + text}
}
