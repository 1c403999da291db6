package ledger

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// Body is what the notes of a record hold, with places in the file.
type Body struct {
	Headings []Heading
	Links    []Link
	Tasks    []Task
}

// Heading is a heading of the notes.
type Heading struct {
	Level int
	Text  string
	Span
}

// Link is a link or a picture in the notes. The span is that of its target where
// the target stands in the link itself.
type Link struct {
	Target string
	Image  bool
	Span
}

// Task is a box to tick.
type Task struct {
	Done bool
	Text string
	Span
}

// bodyParser reads the notes. Parsing does not change it.
var bodyParser = goldmark.New(goldmark.WithExtensions(extension.TaskList, extension.Table, extension.Linkify, extension.Strikethrough)).Parser()

// maxLink bounds how far the target of a link is looked for, in bytes.
const maxLink = 4000

// address is the target of a link with its escapes resolved.
func address(dest []byte) string {
	return string(util.UnescapePunctuations(util.ResolveEntityNames(util.ResolveNumericReferences(dest))))
}

// parseBody reads the notes that begin at byte offset of the file.
func parseBody(src []byte, offset int) Body {
	var b Body
	body := src[offset:]
	if len(strings.TrimSpace(string(body))) == 0 {
		return b
	}
	doc := bodyParser.Parse(text.NewReader(body), parser.WithContext(parser.NewContext()))
	// Positions that the parser gives can lie outside the text after tabs.
	place := func(n ast.Node) Span {
		start := max(0, min(n.Pos(), len(body)-1))
		end := start + 1
		if l := n.Type(); l == ast.TypeBlock && n.Lines() != nil && n.Lines().Len() > 0 {
			seg := n.Lines().At(0)
			start = max(0, min(seg.Start, len(body)-1))
			end = max(start+1, min(seg.Stop, len(body)))
		}
		for end < len(body) && n.Type() == ast.TypeInline && body[end] != '\n' && body[end-1] != ')' {
			end++
		}
		return Span{Start: offset + start, End: offset + end}
	}
	target := func(at Span, dest []byte) Span {
		rest := src[at.Start:min(len(src), at.Start+maxLink)]
		for _, open := range []string{"](", "](<"} {
			if i := bytes.Index(rest, append([]byte(open), dest...)); i >= 0 && len(dest) > 0 {
				start := at.Start + i + len(open)
				return Span{Start: start, End: start + len(dest)}
			}
		}
		return at
	}
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Heading:
			if n.Parent() == doc {
				b.Headings = append(b.Headings, Heading{n.Level, plainText(n, body), place(n)})
			}
		case *ast.Link:
			b.Links = append(b.Links, Link{address(n.Destination), false, target(place(n), n.Destination)})
		case *ast.Image:
			b.Links = append(b.Links, Link{address(n.Destination), true, target(place(n), n.Destination)})
		case *extast.TaskCheckBox:
			p := place(n)
			// The parser takes "[x]word" for a box; the written rule does not.
			if close := p.Start - offset + 3; close < len(body) && (body[close] == ' ' || body[close] == '\t') {
				p.End = p.Start + 3
				b.Tasks = append(b.Tasks, Task{n.IsChecked, plainText(n.Parent(), body), p})
			}
		}
		return ast.WalkContinue, nil
	})
	return b
}

// plainText joins the text below a node.
func plainText(n ast.Node, src []byte) string {
	var s strings.Builder
	_ = ast.Walk(n, func(c ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch c := c.(type) {
			case *ast.Text:
				s.Write(c.Segment.Value(src))
				if c.SoftLineBreak() || c.HardLineBreak() {
					s.WriteByte(' ')
				}
			case *ast.String:
				s.Write(c.Value)
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(s.String())
}
