package examples

import (
	"bytes"
	"encoding/json"
	"io"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"tenths/ledger"
	"tenths/ledger/report"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// reportDay is the day as of which the pages are printed.
var reportDay = time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)

// forms prints a page in its three forms.
type forms struct{ name, md, html, json string }

// pages prints the page of every change of both shops, as the owner sees it, and
// the collections of a period and of a fixture.
func pages(t *testing.T) []forms {
	t.Helper()
	var out []forms
	show := func(write func(io.Writer) error) string {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		return b.String()
	}
	for _, shop := range []struct{ dir, of string }{{"focuser", "FX1"}, {"instruments", "VX2"}} {
		src, err := source.Dir(shop.dir)
		require.NoError(t, err)
		s := study.New(load(t, shop.dir), reportDay)
		opt := report.PageOptions{Private: true, Images: src}
		n := 0
		for _, rec := range s.L.Records {
			if rec.Kind() != ledger.KindChange {
				continue
			}
			n++
			p, err := report.Improvement(s, rec, opt)
			require.NoError(t, err)
			out = append(out, forms{shop.dir + " " + rec.ID(),
				show(func(w io.Writer) error { return report.WriteMarkdown(w, p) }),
				show(func(w io.Writer) error { return report.WriteHTML(w, p) }),
				show(func(w io.Writer) error { return report.WriteJSON(w, p) })})
		}
		require.GreaterOrEqual(t, n, 5)
		for name, o := range map[string]report.CollectionOptions{"all": {Page: opt}, shop.of: {Of: shop.of, Page: opt}} {
			c, err := report.Collect(s, o)
			require.NoError(t, err)
			out = append(out, forms{shop.dir + " " + name, show(c.WriteMarkdown), show(c.WriteHTML),
				show(func(w io.Writer) error { return report.WriteJSON(w, c) })})
		}
	}
	return out
}

// Every page can be read by a screen reader and without anything from elsewhere:
// what HTML (WHATWG) and WCAG 2.1 (W3C) ask of headings (1.3.1, 2.4.6), tables
// (1.3.1), pictures (1.1.1), language (3.1.1) and names (4.1.2).
func TestPagesCanBeReadAloud(t *testing.T) {
	for _, p := range pages(t) {
		t.Run(p.name, func(t *testing.T) { checkReadable(t, parse(t, p.html)) })
	}
}

func parse(t *testing.T, text string) *html.Node {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	return doc
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// words is the text of a node, with single spaces and hyphens for minus signs.
func words(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.DataAtom != atom.Style {
			b.WriteString(d.Data + " ")
		}
	}
	return plain(b.String())
}

var beforeStop = regexp.MustCompile(` ([,.:;)])`)

func plain(s string) string {
	s = strings.Join(strings.Fields(strings.ReplaceAll(s, "\u2212", "-")), " ")
	return beforeStop.ReplaceAllString(s, "$1")
}

func all(n *html.Node, tags ...string) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		for _, tag := range tags {
			if d.Type == html.ElementNode && d.Data == tag {
				out = append(out, d)
			}
		}
	}
	return out
}

func checkReadable(t *testing.T, doc *html.Node) {
	t.Helper()
	ids := map[string]*html.Node{}
	for n := range doc.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		if id := attr(n, "id"); id != "" {
			assert.NotContains(t, ids, id, "an id stands once")
			ids[id] = n
		}
		for _, a := range n.Attr {
			assert.False(t, strings.HasPrefix(a.Key, "on"), "no handler %s", a.Key)
			if a.Key == "src" || a.Key == "href" {
				assert.Regexp(t, `^(data:image/|#)`, a.Val, "nothing from elsewhere")
			}
		}
	}
	require.Equal(t, "en", attr(all(doc, "html")[0], "lang"))
	assert.Empty(t, all(doc, "script", "link", "iframe", "object", "embed", "form", "base"))
	assert.Len(t, all(doc, "main"), 1)
	assert.Len(t, all(doc, "title")[:1], 1)
	assert.NotEmpty(t, words(all(doc, "title")[0]))
	for _, n := range all(doc, "a") {
		assert.Contains(t, ids, strings.TrimPrefix(attr(n, "href"), "#"))
	}

	headings := all(doc, "h1", "h2", "h3", "h4", "h5", "h6")
	assert.Len(t, all(doc, "h1"), 1)
	last := 0
	for _, h := range headings {
		level := int(h.Data[1] - '0')
		assert.LessOrEqual(t, level, last+1, "%s leaves a level out", words(h))
		assert.NotEmpty(t, words(h))
		last = level
	}
	for _, n := range all(doc, "section", "article") {
		by := ids[attr(n, "aria-labelledby")]
		if assert.NotNil(t, by, "a part of the page is named by its heading: %.60s", words(n)) {
			assert.Regexp(t, `^h[1-6]$`, by.Data)
		}
	}
	for _, n := range all(doc, "table") {
		checkTable(t, n)
	}
	for _, n := range all(doc, "svg") {
		assert.Equal(t, "img", attr(n, "role"))
		told := ""
		for _, id := range strings.Fields(attr(n, "aria-labelledby")) {
			if assert.Contains(t, ids, id) {
				told += words(ids[id]) + " "
			}
		}
		assert.Regexp(t, `\d`, told, "the text of a plot holds its numbers")
		assert.Greater(t, len(told), 60, told)
		assert.NotEmpty(t, words(all(n, "title")[0]))
	}
	for _, n := range all(doc, "img") {
		assert.NotEmpty(t, attr(n, "alt"))
	}
	for _, n := range all(doc, "ul", "dl", "figure", "dd", "dt", "p", "li", "caption") {
		assert.NotEmpty(t, words(n), "an empty <%s> is read out as nothing", n.Data)
	}
}

// checkTable holds a table to a caption, heads with a scope and a name, and as many
// cells in each row.
func checkTable(t *testing.T, n *html.Node) {
	t.Helper()
	captions := all(n, "caption")
	if assert.Len(t, captions, 1) {
		assert.NotEmpty(t, words(captions[0]))
	}
	heads := all(all(n, "thead")[0], "th")
	for _, th := range heads {
		assert.Equal(t, "col", attr(th, "scope"))
		assert.NotEmpty(t, words(th), "a column has a name: %s", words(captions[0]))
	}
	for _, tr := range all(all(n, "tbody")[0], "tr") {
		assert.Len(t, all(tr, "th", "td"), len(heads), words(tr))
		if names := all(tr, "th"); assert.Len(t, names, 1) {
			assert.Equal(t, "row", attr(names[0], "scope"))
			assert.NotEmpty(t, words(names[0]))
		}
	}
}

// The three forms say the same: each table of the Markdown is one of the HTML, each
// line of it stands there, and each word of the JSON too.
func TestFormsAgree(t *testing.T) {
	for _, p := range pages(t) {
		t.Run(p.name, func(t *testing.T) {
			page := parse(t, p.html)
			var b bytes.Buffer
			require.NoError(t, goldmark.New(goldmark.WithExtensions(extension.Table)).Convert([]byte(p.md), &b))
			md := parse(t, b.String())
			assert.ElementsMatch(t, tables(page), tables(md))
			text := words(page)
			for _, n := range all(md, "li", "p", "h1", "h2", "h3", "h4") {
				line := strings.TrimSuffix(words(n), ".")
				_, rest, _ := strings.Cut(line, ": ") // a fact: its name stands apart in the HTML
				if strings.Contains(text, line) || rest != "" && strings.Contains(text, rest) || apart[line] {
					continue
				}
				if strings.Contains(line, " — ") || strings.Contains(line, "photos/") {
					continue // the row of days is a list of facts; a photo that is shown needs no name of its file
				}
				t.Errorf("only the Markdown says: %s", line)
			}
			var data any
			require.NoError(t, json.Unmarshal([]byte(p.json), &data))
			checkWords(t, text, "", data)
		})
	}
}

// apart are headings that the HTML words otherwise, since there they stand for more.
var apart = map[string]bool{"By point": true, "Side effects and neighbours": true, "How to go back": true, "Re-check": true, "Lesson": true}

// tables lists the cells of all tables, row by row.
func tables(n *html.Node) []string {
	var out []string
	for _, table := range all(n, "table") {
		var b strings.Builder
		for _, tr := range all(table, "tr") {
			for _, cell := range all(tr, "th", "td") {
				b.WriteString(words(cell) + " | ")
			}
			b.WriteString("\n")
		}
		out = append(out, b.String())
	}
	return out
}

// coded are keys of the JSON whose words are for programs, or stand in others.
var coded = map[string]bool{
	"claim": true, "unit": true, "data": true, "file": true, "path": true, "effect": true, "agreement": true, "without_doubt": true, "what": true,
	"change": true, "from": true, "to": true, "of": true, "by": true, "relieved_along": true, "land": true, "inspection": true, "due": true, "as_of": true,
	"state": true, "verdict": true, "text": true, "counted": true, "said": true, "count": true, "piece": true, "subject": true, "judged": true, "predicted": true, "found": true, "numbers": true, "last": true,
}

// checkWords walks the JSON and looks for its words on the page.
func checkWords(t *testing.T, page, key string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			checkWords(t, page, k, x)
		}
	case []any:
		for _, x := range v {
			checkWords(t, page, key, x)
		}
	case string:
		s := plain(v)
		if s != "" && !coded[key] && !strings.Contains(strings.ToLower(page), strings.ToLower(s)) {
			t.Errorf("only the JSON says %s = %s", key, s)
		}
	}
}
