package svg

import (
	"cmp"
	"slices"
	"strings"
)

// GraphStyle is what a graph needs beside Style; a page that holds graphs needs it
// once.
const GraphStyle = `.tp .node{fill:var(--paper);stroke:var(--dim);stroke-width:1}
.tp .node.asked{stroke:var(--ink);stroke-width:3}
.tp .flow{fill:none;stroke:var(--dim);stroke-width:1.1}
.tp .tip{fill:var(--dim);stroke:none}
`

// Graph shows things in columns, with an arrow from each to those in the next
// column that depend on it.
type Graph struct {
	ID, Title, Desc string
	Heads           []string // over the columns
	Nodes           []Node
	Edges           [][2]int // from a node to one of the next column
	Foot            string
	Alone           bool
}

// Node is a thing in a column. Words that are too long for it are broken, or cut
// off with an ellipsis.
type Node struct {
	Column int
	Name   string   // broken over two lines at most
	Lines  []string // smaller, a line each
	Asked  bool     // the thing that was asked for: a thick frame
}

// Sizes of a graph. Letters are counted as if each were as wide as a broad one,
// so that no font that a reader may have runs over the edge of a box.
const (
	nodeWidth  = 214 * px
	nodeGap    = 10 * px
	flowWidth  = 64 * px
	graphEdge  = 16 * px
	nameHeight = 15 * px
	rowHeight  = 13 * px
	nodePad    = 6 * px
	nameFits   = 27 // letters of 12 px, bold
	rowFits    = 34 // letters of 11 px
)

// Draw gives the picture as text. Nodes of a column are ordered so that few arrows
// cross, and stand beside those that they are joined to.
func (g Graph) Draw() string {
	l := layOut(g)
	head := 0
	if len(g.Heads) > 0 {
		head = 26 * px
	}
	foot := 0
	if g.Foot != "" {
		foot = 24 * px
	}
	columns := len(l.columns)
	d := newDoc(2*graphEdge+columns*nodeWidth+max(0, columns-1)*flowWidth, 2*graphEdge+head+l.height+foot, g.ID, g.Title, g.Desc)
	top := graphEdge + head
	left := func(column int) int { return graphEdge + column*(nodeWidth+flowWidth) }
	for i, h := range g.Heads {
		if i < columns {
			d.text("small dim", "middle", left(i)+nodeWidth/2, graphEdge+8*px, h)
		}
	}
	for _, e := range g.Edges {
		a, b := e[0], e[1]
		d.flow(left(l.column[a])+nodeWidth, top+l.y[a]+l.tall[a]/2, left(l.column[b]), top+l.y[b]+l.tall[b]/2)
	}
	for i, n := range g.Nodes {
		d.node(n, left(l.column[i]), top+l.y[i], l.tall[i])
	}
	if g.Foot != "" {
		d.text("small dim", "start", graphEdge, top+l.height+graphEdge+8*px, g.Foot)
	}
	if g.Alone {
		return strings.Replace(d.String(true), "</style>", GraphStyle+"</style>", 1)
	}
	return d.String(false)
}

func (d *doc) node(n Node, x, y, tall int) {
	class := "node"
	if n.Asked {
		class = "node asked"
	}
	d.body.WriteString(`<rect class="` + class + `" x="` + num(x) + `" y="` + num(y) + `" width="` + num(nodeWidth) + `" height="` + num(tall) + "\"/>\n")
	at := y + nodePad
	for _, s := range broken(n.Name, nameFits, 2) {
		d.text("head", "start", x+nodePad+2*px, at+11*px, s)
		at += nameHeight
	}
	for _, s := range n.Lines {
		d.text("small", "start", x+nodePad+2*px, at+10*px, broken(s, rowFits, 1)[0])
		at += rowHeight
	}
}

// flow draws an arrow through the space between two columns.
func (d *doc) flow(x1, y1, x2, y2 int) {
	const tip = 7 * px
	mid := (x1 + x2 - tip) / 2
	d.body.WriteString(`<path class="flow" d="M` + num(x1) + " " + num(y1) + " C" + num(mid) + " " + num(y1) + " " + num(mid) + " " + num(y2) + " " + num(x2-tip) + " " + num(y2) + "\"/>\n")
	d.polygon("tip", x2, y2, x2-tip, y2-3*px, x2-tip, y2+3*px)
}

// broken breaks text at spaces, slashes and dashes into lines of so many letters;
// what does not fit into the lines is cut off. Letters beyond Latin count twice.
func broken(s string, fits, lines int) []string {
	var out []string
	rest := []rune(s)
	for len(out) < lines {
		n, wide := 0, 0
		for n < len(rest) {
			wide++
			if rest[n] >= 0x2E80 {
				wide++
			}
			if wide > fits {
				break
			}
			n++
		}
		if n == len(rest) {
			return append(out, string(rest))
		}
		if len(out) == lines-1 {
			return append(out, strings.TrimRight(string(rest[:max(0, n-1)]), " ")+"…")
		}
		cut := n
		for i := n; i > n/2; i-- {
			if strings.ContainsRune(" /-", rest[i-1]) {
				cut = i
				break
			}
		}
		out = append(out, strings.TrimRight(string(rest[:cut]), " "))
		rest = []rune(strings.TrimLeft(string(rest[cut:]), " "))
	}
	return out
}

// layout is where the nodes of a graph stand.
type layout struct {
	columns [][]int // nodes from top to bottom
	column  []int
	y, tall []int
	height  int
	before  [][]int // neighbours in the column before, and after
	after   [][]int
}

func layOut(g Graph) *layout {
	n := len(g.Nodes)
	l := &layout{column: make([]int, n), y: make([]int, n), tall: make([]int, n), before: make([][]int, n), after: make([][]int, n)}
	for i, node := range g.Nodes {
		l.column[i] = node.Column
		for len(l.columns) <= node.Column {
			l.columns = append(l.columns, nil)
		}
		l.columns[node.Column] = append(l.columns[node.Column], i)
		l.tall[i] = 2*nodePad + len(broken(node.Name, nameFits, 2))*nameHeight + len(node.Lines)*rowHeight
	}
	for _, e := range g.Edges {
		l.after[e[0]] = append(l.after[e[0]], e[1])
		l.before[e[1]] = append(l.before[e[1]], e[0])
	}
	l.order()
	l.place()
	return l
}

// order puts the nodes of each column in the order of the middle of their
// neighbours, there and back (Sugiyama, Tagawa, Toda 1981, from memory), and keeps
// the order with the fewest crossings.
func (l *layout) order() {
	best, fewest := l.copy(), l.crossings()
	for sweep := range 12 {
		if sweep%2 == 0 {
			for c := 1; c < len(l.columns); c++ {
				l.sortBy(c, c-1, l.before)
			}
		} else {
			for c := len(l.columns) - 2; c >= 0; c-- {
				l.sortBy(c, c+1, l.after)
			}
		}
		if n := l.crossings(); n < fewest {
			best, fewest = l.copy(), n
		}
	}
	l.columns = best
}

func (l *layout) copy() [][]int {
	out := make([][]int, len(l.columns))
	for i, c := range l.columns {
		out[i] = slices.Clone(c)
	}
	return out
}

func (l *layout) sortBy(c, other int, joined [][]int) {
	at := map[int]int{}
	for i, n := range l.columns[other] {
		at[n] = i
	}
	key := map[int]float64{}
	for i, n := range l.columns[c] {
		key[n] = float64(i)
		if len(joined[n]) > 0 {
			sum := 0
			for _, m := range joined[n] {
				sum += at[m]
			}
			key[n] = float64(sum) / float64(len(joined[n]))
		}
	}
	slices.SortStableFunc(l.columns[c], func(a, b int) int { return cmp.Compare(key[a], key[b]) })
}

// crossings counts the pairs of arrows that cross.
func (l *layout) crossings() int {
	n := 0
	for c := 0; c+1 < len(l.columns); c++ {
		at := map[int]int{}
		for i, m := range l.columns[c+1] {
			at[m] = i
		}
		var ends []int
		for _, a := range l.columns[c] {
			var mine []int
			for _, b := range l.after[a] {
				mine = append(mine, at[b])
				for _, e := range ends {
					if e > at[b] {
						n++
					}
				}
			}
			ends = append(ends, mine...)
		}
	}
	return n
}

// place stands the nodes beside their neighbours, no two nearer than the gap.
func (l *layout) place() {
	for _, c := range l.columns {
		y := 0
		for _, n := range c {
			l.y[n] = y
			y += l.tall[n] + nodeGap
		}
		l.height = max(l.height, y-nodeGap)
	}
	for _, c := range l.columns {
		if len(c) == 0 {
			continue
		}
		last := c[len(c)-1]
		down := (l.height - l.y[last] - l.tall[last]) / 2
		for _, n := range c {
			l.y[n] += down
		}
	}
	for range 6 {
		for c := 1; c < len(l.columns); c++ {
			l.settle(c, l.before)
		}
		for c := len(l.columns) - 2; c >= 0; c-- {
			l.settle(c, l.after)
		}
	}
	top, bottom := 0, 0
	for n := range l.y {
		if n == 0 || l.y[n] < top {
			top = l.y[n]
		}
		bottom = max(bottom, l.y[n]+l.tall[n])
	}
	for n := range l.y {
		l.y[n] -= top
	}
	l.height = bottom - top
}

// settle moves the nodes of a column towards the middle of their neighbours. Runs
// of nodes that meet move as one, to the mean of what each wants.
func (l *layout) settle(c int, joined [][]int) {
	type run struct {
		nodes      []int
		want, tall int // of the top; in all
	}
	var runs []run
	for _, n := range l.columns[c] {
		want := l.y[n]
		if len(joined[n]) > 0 {
			sum := 0
			for _, m := range joined[n] {
				sum += l.y[m] + l.tall[m]/2
			}
			want = sum/len(joined[n]) - l.tall[n]/2
		}
		r := run{[]int{n}, want, l.tall[n]}
		for len(runs) > 0 && runs[len(runs)-1].want+runs[len(runs)-1].tall+nodeGap > r.want {
			a := runs[len(runs)-1]
			runs = runs[:len(runs)-1]
			// What the nodes of the second want is told from the top of the first.
			down := a.tall + nodeGap
			want := (a.want*len(a.nodes) + (r.want-down)*len(r.nodes)) / (len(a.nodes) + len(r.nodes))
			r = run{append(a.nodes, r.nodes...), want, a.tall + nodeGap + r.tall}
		}
		runs = append(runs, r)
	}
	for _, r := range runs {
		y := r.want
		for _, n := range r.nodes {
			l.y[n] = y
			y += l.tall[n] + nodeGap
		}
	}
}
