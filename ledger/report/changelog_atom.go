package report

import (
	"encoding/xml"
	"errors"
	"fmt"
	"html/template"
	"io"
	"net/url"
	"regexp"
	"strings"
	"time"

	"tenths/ledger"
)

// The elements of a feed (RFC 4287) in the order in which they are written.
type atomFeed struct {
	XMLName  xml.Name    `xml:"http://www.w3.org/2005/Atom feed"`
	Lang     string      `xml:"http://www.w3.org/XML/1998/namespace lang,attr"`
	ID       string      `xml:"id"`
	Title    string      `xml:"title"`
	Subtitle string      `xml:"subtitle"`
	Updated  string      `xml:"updated"`
	Author   string      `xml:"author>name"`
	Links    []atomLink  `xml:"link"`
	Entries  []atomEntry `xml:"entry"`
}

type atomEntry struct {
	ID        string      `xml:"id"`
	Title     string      `xml:"title"`
	Published string      `xml:"published"`
	Updated   string      `xml:"updated"`
	Links     []atomLink  `xml:"link"`
	Category  atomTerm    `xml:"category"`
	Content   atomContent `xml:"content"`
}

type atomLink struct {
	Rel  string `xml:"rel,attr"`
	Type string `xml:"type,attr"`
	Href string `xml:"href,attr"`
}

type atomTerm struct {
	Term string `xml:"term,attr"`
}

type atomContent struct {
	Type string `xml:"type,attr"`
	HTML string `xml:",chardata"`
}

// entryHTML is the content of an entry.
var entryHTML = template.Must(template.New("entry").Funcs(template.FuncMap{"minus": minus}).Parse(
	`<p>{{.Where}}: <strong>{{.Said}}</strong></p><ul>{{range .Facts}}<li>{{.Name}}: {{minus .Text}}</li>{{end}}</ul>`))

// WriteAtom prints a public log as a feed (RFC 4287). The names of the feed and
// of its entries are made of feed_id in tenths.toml, the audience and the id of
// the change, and so never change. Instants are the first of the month, since a
// public log tells no days. What the log leaves out of a period, the feed leaves
// out too.
//
// Errors: without a name and an id in tenths.toml, and for changes without a day
// or with one id for two.
func (l *Log) WriteAtom(w io.Writer) error {
	if !l.Public {
		return errors.New("a feed holds the public log only")
	}
	id, err := l.feedID()
	if err != nil {
		return err
	}
	feed := atomFeed{Lang: "en", ID: id, Title: l.title(), Author: l.Publisher, Updated: monthStart(l.asOf), Subtitle: "What was changed, what came of it, and what did not work. For " + string(l.For) + "."}
	page := ""
	if l.public.Site.Set() {
		self, err := l.address("atom")
		if err != nil {
			return err
		}
		page, _ = l.address("html")
		feed.Links = []atomLink{{"self", "application/atom+xml", self}, {"alternate", "text/html", page}}
	}
	var newest time.Time
	anchors, names := map[string]int{}, map[string]bool{}
	for _, g := range l.newestFirst() {
		for _, e := range g.Entries {
			if e.updated.IsZero() {
				return fmt.Errorf("%s has no day of the work (key done): a feed needs one", e.Change)
			}
			entry := atomEntry{ID: id + "/" + url.PathEscape(e.Change), Title: fmt.Sprintf("%s (%s)", e.heading(), e.said()), Published: monthStart(e.on), Updated: monthStart(e.updated), Category: atomTerm{e.State}}
			if names[entry.ID] {
				return fmt.Errorf("two changes are called %s in the feed, where days become months; give one another id", e.Change)
			}
			names[entry.ID] = true
			if e.updated.After(newest) {
				newest = e.updated
			}
			if at := anchor(e.Change, anchors); page != "" {
				entry.Links = []atomLink{{"alternate", "text/html", page + "#" + at}}
			}
			where := e.when()
			if e.Part != "" && e.Outcome == "" {
				where += ", " + e.Part
			}
			var b strings.Builder
			if err := entryHTML.Execute(&b, logEntry{Where: where, Said: e.said(), Facts: e.facts()}); err != nil {
				return err
			}
			entry.Content = atomContent{"html", b.String()}
			feed.Entries = append(feed.Entries, entry)
		}
	}
	if !newest.IsZero() {
		feed.Updated = monthStart(newest)
	}
	text, err := xml.MarshalIndent(feed, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, xml.Header+ledger.PrintableLines(string(text))+"\n")
	return err
}

// monthStart is the first instant of a month as RFC 3339 writes it.
func monthStart(t time.Time) string { return t.Format("2006-01") + "-01T00:00:00Z" }

// tagURI is the grammar of RFC 4151, section 2.1: a domain or an address of
// mail, a day, and a name of one's own.
var tagURI = regexp.MustCompile(`^tag:(?:[A-Za-z0-9._-]+@)?[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?(?:\.[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?)*,(\d{4}(?:-\d{2}(?:-\d{2})?)?):(?:[A-Za-z0-9._~!$&'()*+,;=:@/?-]|%[0-9A-Fa-f]{2})*$`)

// feedID is the name of the feed for its audience.
func (l *Log) feedID() (string, error) {
	const example = "\n[public]\nname = \"Invented Focusers\"\nfeed_id = \"tag:example.org,2026:improvements\""
	if l.Publisher == "" || !l.public.Feed.Set() {
		return "", errors.New("a feed needs an author and a name that never changes; write in " + ledger.ConfigName + ", with a domain of yours and a day on which it was yours:" + example)
	}
	m := tagURI.FindStringSubmatch(l.public.Feed.S)
	if m == nil {
		return "", fmt.Errorf("feed_id %q is no tag URI (RFC 4151); write in %s:%s", line(l.public.Feed.S), ledger.ConfigName, example)
	}
	// A month or day that is left out is the first.
	if _, err := time.Parse(time.DateOnly, (m[1] + "-01-01")[:10]); err != nil {
		return "", fmt.Errorf("feed_id %q: %s is no day", line(l.public.Feed.S), m[1])
	}
	return strings.TrimSuffix(l.public.Feed.S, "/") + "/" + string(l.For), nil
}

// address is where the list will stand as a page or a feed.
func (l *Log) address(form string) (string, error) {
	u, err := url.Parse(l.public.Site.S)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return "", fmt.Errorf("site %q in %s is no address of a folder; write it like https://example.org/improvements/", line(l.public.Site.S), ledger.ConfigName)
	}
	return u.JoinPath(string(l.For) + "." + form).String(), nil
}
