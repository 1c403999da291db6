package ledger

import (
	"bytes"
	"reflect"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"tenths/ledger/keyindex"
)

// Record is one file of the ledger, or one entry of a file of readings. It does
// not change after loading.
type Record struct {
	Path string // from the root of the ledger, with slashes
	Src  []byte
	Body Body
	// BodyStart is the offset of the notes below the front matter.
	BodyStart int
	// Data is the *Part, *Fixture, *Tool, *Gauge, *Machine, *Plan, *Inspection
	// or *Change; nil if the kind could not be read.
	Data   any
	Common *Common
	at     Span // of an entry in a file of several: its first line
	once   sync.Once
	root   *keyindex.Node // the keys with their places, once somebody asked for a key's path
}

// Kind is the kind of the record, empty if it could not be read.
func (r *Record) Kind() Kind { return Kind(r.Common.Kind.S) }

// ID is the record's id, empty if it could not be read.
func (r *Record) ID() string { return r.Common.ID.S }

// State is the text of the record's state key.
func (r *Record) State() string {
	if r.Data == nil {
		return ""
	}
	f := reflect.ValueOf(r.Data).Elem().FieldByName("State")
	if !f.IsValid() {
		return ""
	}
	return f.Interface().(Text).S
}

// Quiet reports whether the record is a draft, planned or only proposed.
func (r *Record) Quiet() bool {
	switch r.State() {
	case "draft", "planned", "proposed":
		return true
	}
	return false
}

// Whole is the place of the record as a whole: its first line.
func (r *Record) Whole() Span {
	if r.at.Set() {
		return r.at
	}
	l, _ := line(r.Src, 0)
	return Span{Start: 0, End: max(1, len(trimEnd(l)))}
}

// Position is a place as people count it: lines and columns from 1, columns in
// characters.
type Position struct{ Line, Column int }

// PositionOf converts a byte offset.
func PositionOf(src []byte, offset int) Position {
	before := src[:max(0, min(offset, len(src)))]
	start := 1 + bytes.LastIndexByte(before, '\n')
	return Position{1 + bytes.Count(before, []byte{'\n'}), 1 + utf8.RuneCount(before[start:])}
}

// KeyPath is the path of the key that stands at the span, with ids in place of
// numbers: station/A/locator/P1/size. It stays the same when lines move.
func (r *Record) KeyPath(at Span) string {
	// The tree of the keys takes as much room as the record; few records need it
	// again after loading.
	r.once.Do(func() {
		if keys, _, ok, closed := front(r.Src); ok && closed {
			r.root, _ = keyindex.Parse(r.Src[keys.Start:keys.End], keys.Start)
		}
	})
	if r.root == nil {
		return ""
	}
	return strings.Join(keyPath(r.root, at), "/")
}

func keyPath(n *keyindex.Node, at Span) []string {
	if n.Table == nil {
		return nil
	}
	for _, name := range n.Table.Names {
		c := n.Table.Get(name)
		if c.Table == nil && c.Key.Start <= at.Start && at.End <= max(c.Val.End, c.Key.End) {
			return []string{name}
		}
		if c.Table != nil {
			if at == c.Val || at == c.Key {
				return []string{name}
			}
			if p := keyPath(c, at); p != nil {
				return append([]string{name}, p...)
			}
		}
		for i, item := range c.Items {
			label := itemName(item, i)
			if item.Table != nil && at == item.Val {
				return []string{name, label}
			}
			if p := keyPath(item, at); p != nil {
				return append([]string{name, label}, p...)
			}
		}
	}
	return nil
}

func itemName(n *keyindex.Node, i int) string {
	for _, key := range []string{"id", "name", "on", "until", "rule", "piece"} {
		if v := n.Table.Get(key); v != nil {
			switch s := v.Value.(type) {
			case string:
				return s
			case interface{ Format(string) string }:
				return s.Format("2006-01-02")
			}
		}
	}
	return "#" + strconv.Itoa(i+1)
}

// Files named by the record: pictures and links, relative to its folder.
func (r *Record) files() []namedFile {
	var out []namedFile
	photos := r.Common.Photos
	if in, ok := r.Data.(*Inspection); ok {
		if in.From.S != "" {
			out = append(out, namedFile{target: in.From.S, at: in.From.Span})
		}
		for _, row := range in.Pieces {
			photos = append(photos[:len(photos):len(photos)], row.Photos...)
		}
		for _, u := range in.Unsorted {
			photos = append(photos[:len(photos):len(photos)], u.Photos...)
		}
	}
	for _, p := range photos {
		if p.S != "" {
			out = append(out, namedFile{target: p.S, at: p.Span})
		}
	}
	out = append(out, linkedFiles(r.Body)...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].at.Start < out[j].at.Start })
	return out
}

// linkedFiles gives the files that notes link to or show; addresses of the web
// and places within the notes are none.
func linkedFiles(b Body) []namedFile {
	var out []namedFile
	for _, l := range b.Links {
		t := l.Target
		if strings.Contains(t, ":") || strings.HasPrefix(t, "//") {
			continue
		}
		t, _, _ = strings.Cut(t, "#")
		t, _, _ = strings.Cut(t, "?")
		if t != "" {
			out = append(out, namedFile{target: t, at: l.Span, link: true})
		}
	}
	return out
}

type namedFile struct {
	target string
	at     Span
	link   bool // written in the notes, with the escapes of an address
}
