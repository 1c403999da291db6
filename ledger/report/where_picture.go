package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"tenths/ledger/report/svg"
)

// WriteSVG draws the trace: what the thing depends on to its left, what depends
// on it to its right. The words of the picture are those of the text.
func (sh *WhereSheet) WriteSVG(w io.Writer) error {
	g := sh.graph()
	g.ID, g.Alone = "trace", true
	_, err := io.WriteString(w, g.Draw())
	return err
}

// MostBoxes is how many boxes of a picture can be followed on one page.
const MostBoxes = 60

// Boxes is how many boxes the picture has.
func (sh *WhereSheet) Boxes() int { return len(sh.graph().Nodes) }

func (sh *WhereSheet) graph() svg.Graph {
	left := treeDepth(sh.Names)
	p := traceDrawing{sh: sh, at: map[string]int{}}
	p.g = svg.Graph{
		Title: "What " + line(sh.Path) + " depends on, and what depends on it",
		Foot:  "An arrow leads from what is used to what uses it. As of " + sh.AsOf + ".",
	}
	what := sh.Kind + prefixed(", ", sh.State)
	p.g.Nodes = append(p.g.Nodes, svg.Node{Column: left, Name: line(sh.Path), Lines: []string{sh.Title, what}, Asked: true})
	p.side(sh.Names, 0, left, -1)
	p.side(sh.NamedBy, 0, left, +1)
	right := treeDepth(sh.NamedBy)
	for c := range left + 1 + right {
		head := ""
		switch {
		case c == left-1:
			head = "it depends on"
		case c == left+1:
			head = "depends on it"
		case c < left || c > left:
			head = fmt.Sprintf("%d steps away", max(left-c, c-left))
		}
		p.g.Heads = append(p.g.Heads, head)
	}
	p.g.Desc = sh.describe()
	return p.g
}

// describe tells the picture in words, to those who cannot see it.
func (sh *WhereSheet) describe() string {
	var b strings.Builder
	for _, part := range []struct {
		head, none string
		links      []TraceLink
	}{{"Depends on it: ", "Nothing depends on it. ", sh.NamedBy}, {"It depends on: ", "It depends on nothing. ", sh.Names}} {
		if len(part.links) == 0 {
			b.WriteString(part.none)
			continue
		}
		var names []string
		n := 0
		var count func(list []TraceLink)
		count = func(list []TraceLink) {
			for _, l := range list {
				n++
				count(l.Links)
			}
		}
		count(part.links)
		for _, l := range part.links {
			names = append(names, l.Path+" ("+strings.Join(l.Keys, ", ")+")")
		}
		b.WriteString(part.head + strings.Join(names, "; "))
		if n > len(names) {
			fmt.Fprintf(&b, "; with %d more behind them", n-len(names))
		}
		b.WriteString(". ")
	}
	b.WriteString("tenths trace " + sh.Path + " prints all of it as text.")
	return b.String()
}

func treeDepth(list []TraceLink) int {
	deep := 0
	for _, l := range list {
		deep = max(deep, 1+treeDepth(l.Links))
	}
	return deep
}

type traceDrawing struct {
	sh *WhereSheet
	g  svg.Graph
	at map[string]int // node of a thing in a column
}

// listedFrom is how many things that are followed no further, of one kind and by
// the same key, are drawn as one box with a list. +3 behind one of them says that
// three more lie beyond.
const listedFrom = 4

// side draws the links of one direction, column by column: a thing once in each
// column, with an arrow from everything that leads to it there.
func (p *traceDrawing) side(links []TraceLink, from, column, step int) {
	type below struct {
		links []TraceLink
		node  int
	}
	level := []below{{links, from}}
	for len(level) > 0 {
		column += step
		var next []below
		met := map[string]int{} // how many arrows lead to each thing
		for _, at := range level {
			for _, l := range at.links {
				met[key(l, column)]++
			}
		}
		for _, at := range level {
			groups := map[string][]TraceLink{}
			for _, l := range at.links {
				if len(l.Links) == 0 && met[key(l, column)] == 1 {
					groups[l.group()] = append(groups[l.group()], l)
				}
			}
			for _, l := range at.links {
				if g := groups[l.group()]; len(l.Links) == 0 && len(g) >= listedFrom && slices.ContainsFunc(g, l.same) {
					if g[0].same(l) {
						p.join(at.node, p.list(g, column), step)
					}
					continue
				}
				k := key(l, column)
				n, drawn := p.at[k]
				if !drawn {
					n = p.node(l, column, step)
					p.at[k] = n
				} else {
					p.also(n, l)
				}
				p.join(at.node, n, step)
				if len(l.Links) > 0 {
					next = append(next, below{l.Links, n})
				}
			}
		}
		level = next
	}
}

// key names a thing in a column: two revisions share a path, not a file.
func key(l TraceLink, column int) string { return fmt.Sprint(column, l.Path, "\x00", l.File) }

func (l TraceLink) same(o TraceLink) bool { return l.Path == o.Path && l.File == o.File }

func (l TraceLink) group() string { return l.Kind + "\x00" + strings.Join(l.Keys, ", ") }

func (p *traceDrawing) join(from, to, step int) {
	e := [2]int{from, to}
	if step < 0 {
		e = [2]int{to, from}
	}
	if !slices.Contains(p.g.Edges, e) {
		p.g.Edges = append(p.g.Edges, e)
	}
}

func (p *traceDrawing) node(l TraceLink, column, step int) int {
	n := svg.Node{Column: column, Name: l.name()}
	by := "by " + strings.Join(l.Keys, ", ")
	d := l.Derived
	if d != nil && step > 0 {
		value := d.Formula
		if !d.Value.IsZeroValue() {
			value = "= " + orWord(d.text, d.Value.String())
		}
		n.Lines = append(n.Lines, value)
		if d.Stale {
			n.Lines = append(n.Lines, "stale in the record")
		}
	} else {
		n.Lines = append(n.Lines, l.Title, l.Kind+prefixed(", ", l.State))
	}
	if d != nil && !d.Share.IsZeroValue() {
		by += ", " + d.Share.String() + " of its worst case"
	}
	n.Lines = append(n.Lines, by)
	switch {
	case l.Elsewhere:
		n.Lines = append(n.Lines, "drawn in full elsewhere")
	case l.Beyond > 0:
		n.Lines = append(n.Lines, fmt.Sprintf("%d more beyond", l.Beyond))
	}
	p.g.Nodes = append(p.g.Nodes, n)
	return len(p.g.Nodes) - 1
}

// also adds the keys of a further link to a thing that is drawn.
func (p *traceDrawing) also(n int, l TraceLink) {
	for i, words := range p.g.Nodes[n].Lines {
		have, ok := strings.CutPrefix(words, "by ")
		if !ok {
			continue
		}
		for _, k := range l.Keys {
			if !slices.Contains(strings.Split(have, ", "), k) {
				have += ", " + k
			}
		}
		p.g.Nodes[n].Lines[i] = "by " + have
		return
	}
}

// list draws several things that lead no further as one box.
func (p *traceDrawing) list(g []TraceLink, column int) int {
	n := svg.Node{Column: column, Name: fmt.Sprintf("%d %s", len(g), plural(len(g), g[0].Kind)), Lines: []string{"by " + strings.Join(g[0].Keys, ", ")}}
	for _, l := range g {
		more := ""
		if l.Beyond > 0 {
			more = fmt.Sprintf(" +%d", l.Beyond)
		}
		n.Lines = append(n.Lines, l.name()+more+prefixed("  ", l.Title))
	}
	p.g.Nodes = append(p.g.Nodes, n)
	return len(p.g.Nodes) - 1
}

// name is the path, with the revision where several share it.
func (l TraceLink) name() string {
	if l.shared {
		return l.Path + prefixed(" rev ", l.Revision)
	}
	return l.Path
}
