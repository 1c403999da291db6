package report

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// node is an element of a feed as any reader of XML sees it.
type node struct {
	name     xml.Name
	attr     map[string]string
	children []*node
	text     string
}

func parseXML(text string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader(text))
	root := &node{}
	open := []*node{root}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			if len(open) != 1 || len(root.children) != 1 {
				return nil, errors.New("not one element")
			}
			return root.children[0], nil
		}
		if err != nil {
			return nil, err
		}
		in := open[len(open)-1]
		switch tok := tok.(type) {
		case xml.StartElement:
			n := &node{name: tok.Name, attr: map[string]string{}}
			for _, a := range tok.Attr {
				n.attr[a.Name.Local] = a.Value
			}
			in.children = append(in.children, n)
			open = append(open, n)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			in.text += string(tok)
		}
	}
}

const atomNS = "http://www.w3.org/2005/Atom"

func (n *node) all(name string) []*node {
	var out []*node
	for _, c := range n.children {
		if c.name == (xml.Name{Space: atomNS, Local: name}) {
			out = append(out, c)
		}
	}
	return out
}

// times says that an element is there that often.
func (n *node) times(low, high int, names ...string) error {
	for _, name := range names {
		if k := len(n.all(name)); k < low || high >= 0 && k > high {
			return fmt.Errorf("%d times %s in %s", k, name, n.name.Local)
		}
	}
	return nil
}

func both(n *node) []*node { return append([]*node{n}, n.all("entry")...) }

func each(n *node, check func(*node) error) error {
	for _, x := range both(n) {
		if err := check(x); err != nil {
			return err
		}
	}
	return nil
}

// alternates says that no two links are alternates of one type and language.
func alternates(n *node) error {
	seen := map[string]bool{}
	for _, l := range n.all("link") {
		if rel := l.attr["rel"]; rel != "" && rel != "alternate" {
			continue
		}
		key := l.attr["type"] + " " + l.attr["hreflang"]
		if seen[key] {
			return fmt.Errorf("two alternates in %s", n.name.Local)
		}
		seen[key] = true
	}
	return nil
}

// RFC 3339, section 5.6, with the T and Z in capitals that RFC 4287 asks for.
var dateTime = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:\.\d+)?(?:Z|[+-]\d{2}:\d{2})$`)

// The MUSTs of RFC 4287 that bind what a feed such as ours holds, by section.
// Those on elements that it does not write (rights, source, icon, logo, media of
// other types, signatures) are held by their absence: an unknown element fails.
var atomMusts = []struct {
	section, must string
	check         func(feed *node) error
}{
	{"2", "the document element is feed, in the namespace of Atom", func(f *node) error {
		if f.name != (xml.Name{Space: atomNS, Local: "feed"}) {
			return fmt.Errorf("%v", f.name)
		}
		return nil
	}},
	{"2", "xml:lang, where it stands, is a language tag", func(f *node) error {
		if l, ok := f.attr["lang"]; ok && !regexp.MustCompile(`^[A-Za-z]{1,8}(-[A-Za-z0-9]{1,8})*$`).MatchString(l) {
			return errors.New(l)
		}
		return nil
	}},
	{"3.1.1", "the type of a text is text, html or xhtml; text and html hold no elements", func(f *node) error {
		return each(f, func(n *node) error {
			for _, name := range []string{"title", "subtitle", "content", "summary", "rights"} {
				for _, c := range n.all(name) {
					if t, ok := c.attr["type"]; ok && t != "text" && t != "html" || len(c.children) > 0 {
						return fmt.Errorf("%s: %v", name, c.attr)
					}
				}
			}
			return nil
		})
	}},
	{"3.1.1.2", "the text of html is markup that stands alone inside a div", func(f *node) error {
		for _, e := range f.all("entry") {
			for _, c := range e.all("content") {
				if c.attr["type"] != "html" {
					continue
				}
				if _, err := parseXML("<div>" + c.text + "</div>"); err != nil || strings.TrimSpace(c.text) == "" {
					return fmt.Errorf("%v: %s", err, c.text)
				}
			}
		}
		return nil
	}},
	{"3.2", "a person has exactly one name, at most one uri and one email", func(f *node) error {
		for _, a := range f.all("author") {
			if err := errors.Join(a.times(1, 1, "name"), a.times(0, 1, "uri", "email")); err != nil {
				return err
			}
			if strings.TrimSpace(a.all("name")[0].text) == "" {
				return errors.New("empty name")
			}
		}
		return nil
	}},
	{"3.3", "a date is a date-time of RFC 3339 with T and Z in capitals", func(f *node) error {
		return each(f, func(n *node) error {
			for _, d := range append(n.all("updated"), n.all("published")...) {
				if _, err := time.Parse(time.RFC3339, d.text); err != nil || !dateTime.MatchString(d.text) {
					return errors.New(d.text)
				}
			}
			return nil
		})
	}},
	{"4.1.1", "a feed has an author unless every entry has one", func(f *node) error {
		if len(f.all("author")) > 0 {
			return nil
		}
		for _, e := range f.all("entry") {
			if len(e.all("author")) == 0 {
				return errors.New("nobody wrote it")
			}
		}
		return nil
	}},
	{"4.1.1", "a feed has exactly one id, title and updated", func(f *node) error { return f.times(1, 1, "id", "title", "updated") }},
	{"4.1.1", "a feed has at most one generator, icon, logo, rights and subtitle", func(f *node) error {
		return f.times(0, 1, "generator", "icon", "logo", "rights", "subtitle")
	}},
	{"4.1.1", "no two alternates of a feed share type and language", alternates},
	{"4.1.2", "an entry has an author, or its feed has", func(f *node) error {
		for _, e := range f.all("entry") {
			if len(e.all("author"))+len(f.all("author")) == 0 {
				return errors.New("nobody wrote it")
			}
		}
		return nil
	}},
	{"4.1.2", "an entry has exactly one id, title and updated", func(f *node) error {
		for _, e := range f.all("entry") {
			if err := e.times(1, 1, "id", "title", "updated"); err != nil {
				return err
			}
		}
		return nil
	}},
	{"4.1.2", "an entry has at most one content, published, rights, source and summary", func(f *node) error {
		for _, e := range f.all("entry") {
			if err := e.times(0, 1, "content", "published", "rights", "source", "summary"); err != nil {
				return err
			}
		}
		return nil
	}},
	{"4.1.2", "an entry without content has an alternate link; no two share type and language", func(f *node) error {
		for _, e := range f.all("entry") {
			if err := alternates(e); err != nil {
				return err
			}
			if len(e.all("content")) == 0 && !slices.ContainsFunc(e.all("link"), func(l *node) bool { return l.attr["rel"] == "alternate" || l.attr["rel"] == "" }) {
				return errors.New("nothing to read")
			}
		}
		return nil
	}},
	{"4.2.2", "a category has a term", func(f *node) error {
		return each(f, func(n *node) error {
			for _, c := range n.all("category") {
				if c.attr["term"] == "" {
					return errors.New("no term")
				}
			}
			return nil
		})
	}},
	{"4.2.6", "an id is an IRI, not a relative one", func(f *node) error {
		return each(f, func(n *node) error {
			for _, id := range n.all("id") {
				if u, err := url.Parse(id.text); err != nil || !u.IsAbs() || strings.ContainsAny(id.text, " \n<>\"") {
					return errors.New(id.text)
				}
			}
			return nil
		})
	}},
	{"4.2.6", "an id is made so that it is unique", func(f *node) error {
		seen := map[string]bool{}
		return each(f, func(n *node) error {
			for _, id := range n.all("id") {
				if seen[id.text] {
					return errors.New(id.text)
				}
				seen[id.text] = true
			}
			return nil
		})
	}},
	{"4.2.7", "a link has an address, and a type that looks like a media type", func(f *node) error {
		return each(f, func(n *node) error {
			for _, l := range n.all("link") {
				if _, err := url.Parse(l.attr["href"]); err != nil || l.attr["href"] == "" {
					return errors.New("no address")
				}
				if t, ok := l.attr["type"]; ok && !regexp.MustCompile(`^[\w.+-]+/[\w.+-]+$`).MatchString(t) {
					return errors.New(t)
				}
			}
			return nil
		})
	}},
	{"6.3", "nothing foreign stands in it", func(f *node) error {
		known := []string{"id", "title", "subtitle", "updated", "author", "link", "entry", "published", "category", "content"}
		return each(f, func(n *node) error {
			for _, c := range n.children {
				if c.name.Space != atomNS || !slices.Contains(known, c.name.Local) {
					return fmt.Errorf("%v", c.name)
				}
			}
			return nil
		})
	}},
}

// broken lists the sections that a feed does not keep.
func broken(text string) []string {
	feed, err := parseXML(text)
	if err != nil {
		return []string{"2: " + err.Error()}
	}
	var out []string
	for _, m := range atomMusts {
		if err := m.check(feed); err != nil {
			out = append(out, m.section+": "+m.must+": "+err.Error())
		}
	}
	return out
}

const publishing = "\n[public]\nname = \"Invented <Focusers> & sons\"\nfeed_id = \"tag:example.org,2024-02:list\"\nsite = \"https://example.org/a b/\"\n"

func feedOf(t *testing.T, files map[string]string, opt LogOptions) string {
	t.Helper()
	log, err := Changelog(setOf(t, files), opt)
	require.NoError(t, err)
	return printed(t, log.WriteAtom)
}

func TestFeedKeepsRFC4287(t *testing.T) {
	files := shopFiles(t)
	files["tenths.toml"] += publishing
	files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "The pattern named the pins.", `<script>alert(1)</script> & ]]> \u2028 \ufffe \"x\"`, 1)
	files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], `id = "CH-01"`, `id = "CH_x"`, 1)
	for _, whom := range []Audience{Makers, Customers} {
		for _, c := range []map[string]string{files, {"tenths.toml": files["tenths.toml"]}} {
			opt := LogOptions{Public: true, For: whom}
			text := feedOf(t, c, opt)
			assert.Empty(t, broken(text))
			assert.Equal(t, text, feedOf(t, c, opt), "the same input gives the same feed")
			feed, err := parseXML(text)
			require.NoError(t, err)
			assert.Equal(t, "tag:example.org,2024-02:list/"+string(whom), feed.all("id")[0].text)
			assert.Equal(t, "Invented <Focusers> & sons", feed.all("author")[0].all("name")[0].text)
			assert.Equal(t, "https://example.org/a%20b/"+string(whom)+".atom", feed.all("link")[0].attr["href"])
			assert.NotRegexp(t, `\d{4}-\d{2}-(0[2-9]|[1-3]\d)`, text, "months only")
			for _, e := range feed.all("entry") {
				assert.Regexp(t, tagURI, e.all("id")[0].text, "RFC 4151, 2.1")
				assert.NotContains(t, e.all("content")[0].text, "<script")
				assert.NotContains(t, text, "\u2028")
			}
		}
	}
	log, err := Changelog(setOf(t, files), LogOptions{Public: true})
	require.NoError(t, err)
	feed, err := parseXML(printed(t, log.WriteAtom))
	require.NoError(t, err)
	var states []string
	for _, e := range feed.all("entry") {
		states = append(states, e.all("title")[0].text)
	}
	assert.Len(t, states, 4)
	assert.Contains(t, states[0], "(inconclusive)", "the newest first, and what came of it in its title")
	assert.Contains(t, states[1], "(rolled back)")
	assert.Equal(t, "tag:example.org,2024-02:list/makers/CH_x", feed.all("entry")[3].all("id")[0].text)
}

// Each requirement is one that its check sees broken.
func TestFeedChecksCanFail(t *testing.T) {
	files := shopFiles(t)
	files["tenths.toml"] += publishing
	text := feedOf(t, files, LogOptions{Public: true})
	seen := map[string]bool{}
	for _, c := range []struct{ section, old, new string }{
		{"2", `xmlns="http://www.w3.org/2005/Atom"`, `xmlns="http://example.org/other"`},
		{"2", "</feed>", ""},
		{"2", `xml:lang="en"`, `xml:lang="en us"`},
		{"3.1.1", `type="html"`, `type="text/html"`},
		{"3.1.1", "<subtitle>", "<subtitle><b/>"},
		{"3.1.1.2", "&lt;p&gt;", "&lt;p&gt;&lt;p&gt;"},
		{"3.2", "<name>Invented &lt;Focusers&gt; &amp; sons</name>", ""},
		{"3.3", "T00:00:00Z", "t00:00:00z"},
		{"3.3", "-01T00:00:00Z", "-32T00:00:00Z"},
		{"4.1.1", "author>", "contributor>"},
		{"4.1.1", "  <title>Impr", "  <updated>2024-01-01T00:00:00Z</updated><title>Impr"},
		{"4.1.1", "  <subtitle>", "  <subtitle>x</subtitle><subtitle>"},
		{"4.1.1", `rel="self" type="application/atom+xml"`, `rel="alternate" type="text/html"`},
		{"4.1.2", "author>", "contributor>"},
		{"4.1.2", "    <published>", "    <title>x</title><published>"},
		{"4.1.2", "    <published>", "    <published>2024-01-01T00:00:00Z</published><published>"},
		{"4.1.2", "    <category", `    <link rel="alternate" type="text/html" href="x"/><category`},
		{"4.2.2", ` term="inconclusive"`, ""},
		{"4.2.6", "<id>tag:example.org,2024-02:list/makers</id>", "<id>list/makers</id>"},
		{"4.2.6", "/makers/CH-05</id>", "/makers</id>"},
		{"4.2.7", `href="https://example.org/a%20b/makers.atom"`, ""},
		{"6.3", "  <subtitle>", "  <price>1</price><subtitle>"},
	} {
		require.Contains(t, text, c.old)
		got := broken(strings.ReplaceAll(text, c.old, c.new))
		ok := false
		for _, b := range got {
			if strings.HasPrefix(b, c.section+": ") {
				ok = true
				for _, m := range atomMusts {
					if strings.HasPrefix(b, m.section+": "+m.must) {
						seen[m.must] = true
					}
				}
			}
		}
		assert.True(t, ok, "%s for %s -> %s: %v", c.section, c.old, c.new, got)
	}
	for _, m := range atomMusts {
		assert.True(t, seen[m.must], "nothing breaks %s: %s", m.section, m.must)
	}
}

func TestFeedNeedsItsNames(t *testing.T) {
	files := shopFiles(t)
	config := files["tenths.toml"]
	try := func(public string, opt LogOptions) error {
		files["tenths.toml"] = config + public
		log, err := Changelog(setOf(t, files), opt)
		require.NoError(t, err)
		return log.WriteAtom(io.Discard)
	}
	open := LogOptions{Public: true}
	assert.ErrorContains(t, try(publishing, LogOptions{}), "public log only")
	assert.ErrorContains(t, try("", open), "feed_id = \"tag:example.org,2026:improvements\"")
	assert.ErrorContains(t, try("\n[public]\nname = \"X\"\n", open), "an author and a name")
	for _, id := range []string{"improvements", "tag:example.org:x", "tag:example.org,24:x", "tag:-a.org,2024:x", "tag:example.org,2024:a b", "tag:example.org,2024:a<b", "urn:x", "https://example.org/"} {
		assert.ErrorContains(t, try("\n[public]\nname = \"X\"\nfeed_id = \""+id+"\"\n", open), "is no tag URI", id)
	}
	assert.ErrorContains(t, try("\n[public]\nname = \"X\"\nfeed_id = \"tag:example.org,2024-13:x\"\n", open), "2024-13 is no day")
	for _, id := range []string{"tag:example.org,2024:x", "tag:a@example.org,2024-02-29:x/y?z", "tag:example,2024-02:%20"} {
		assert.NoError(t, try("\n[public]\nname = \"X\"\nfeed_id = \""+id+"\"\n", open), id)
	}
	for _, site := range []string{"example.org", "javascript:alert(1)", "https://a:b@example.org/", "https://example.org/?a", "file:///tmp"} {
		assert.ErrorContains(t, try("\n[public]\nname = \"X\"\nfeed_id = \"tag:example.org,2024:x\"\nsite = \""+site+"\"\n", open), "is no address of a folder", site)
	}
	files["changes/CH-01.md"] = strings.NewReplacer("\ndone = 2024-03-11", "", "\nopened = ", "\n# opened = ", "\nbefore = ", "\n# before = ", "\nafter = ", "\n# after = ").Replace(files["changes/CH-01.md"])
	assert.ErrorContains(t, try(publishing, open), "CH-01 has no day of the work")
}
