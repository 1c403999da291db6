package ledger

import (
	"fmt"
	"path"
	"reflect"
	"unicode/utf8"

	"tenths/calc/quantity"
	"tenths/ledger/keyindex"
)

// ConfigName is the file that marks the root of a ledger.
const ConfigName = "tenths.toml"

// Config is what tenths.toml says.
type Config struct {
	Span
	Shop     Text       `key:"shop" means:"name of the ledger for headings" eg:"\"Focuser shop (invented data)\""`
	Units    Text       `key:"units" words:"in|mm" means:"unit of every length in records that do not say" eg:"\"in\""`
	Coldest  Size       `key:"coldest" dim:"temperature" means:"coldest that the shop gets" eg:"\"55 F\""`
	Hottest  Size       `key:"hottest" dim:"temperature" means:"hottest that the shop gets" eg:"\"88 F\""`
	Interval Period     `key:"calibration_interval" means:"time between calibrations of a gauge that does not say" eg:"\"12 months\""`
	Survey   Period     `key:"survey_interval" means:"time between surveys of a fixture that does not say; without it, surveys never fall due" eg:"\"3 months\""`
	Plain    []Text     `key:"plain" means:"Markdown files that are notes and no records; * stands for any name" eg:"[\"notes/*.md\"]"`
	Private  []Text     `key:"private" means:"words that must not leave the shop: suppliers, customers, people" eg:"[\"Invented Supply Co\"]"`
	Public   Publishing `key:"public" means:"what a published list says of the shop" eg:"{ name = \"Invented Focusers\", feed_id = \"tag:example.org,2026:improvements\" }"`
	Rules    Severities `key:"rules" means:"severity of a rule, where the shop wants another one: error, warning, note or off" eg:"{ photo-orphan = \"off\" }"`
}

// Publishing is what a published list says of the shop.
type Publishing struct {
	Span
	Name Text `key:"name" means:"who publishes, in words for everybody; the author of a feed" eg:"\"Invented Focusers\""`
	Feed Text `key:"feed_id" means:"name of the feed for ever, a tag URI (RFC 4151): a domain, a day on which it was yours, and a word" eg:"\"tag:example.org,2026:improvements\""`
	Site Text `key:"site" means:"address of the folder where makers.html, makers.atom, customers.html and customers.atom will stand" eg:"\"https://example.org/improvements/\""`
}

// Severities gives rules another severity.
type Severities []SeverityEntry

// SeverityEntry is the severity of one rule, with the place where it is set.
type SeverityEntry struct {
	Rule, Severity string
	Key, Val       Span
}

func (d *decoder) severities(n *keyindex.Node, p *Severities, f *field) {
	if n.Table == nil {
		d.wrong(n, f, "a table of rules with their severity")
		return
	}
	for _, name := range n.Table.Names {
		item := n.Table.Get(name)
		s, ok := item.Value.(string)
		if !ok || !contains([]string{"error", "warning", "note", "off"}, s) {
			d.problem(UnknownKey, item.Val, "one of: error, warning, note, off", "rules: %s is no severity for %s", d.excerpt(item), Printable(name))
			continue
		}
		*p = append(*p, SeverityEntry{name, s, item.Key, item.Val})
	}
}

// parseConfig reads tenths.toml. Whatever cannot be read is a problem and
// keeps its default.
func parseConfig(src []byte) (*Config, []Problem) {
	c := &Config{}
	root, err := keyindex.Parse(src, 0)
	if err != nil {
		return c, []Problem{syntaxProblem(ConfigName, src, err)}
	}
	d := &decoder{src: src, file: ConfigName, kind: ConfigName}
	d.table(root, reflect.ValueOf(c).Elem(), ConfigName)
	for _, pat := range c.Plain {
		if _, err := path.Match(pat.S, ""); err != nil {
			d.problem(Unreadable, pat.Span, "write plain = [\"notes/*.md\"]; a [ begins a list of letters that ] ends", "plain: %s is no pattern, so it leaves nothing out", Printable(pat.S))
		}
	}
	return c, d.found()
}

func syntaxProblem(file string, src []byte, err error) Problem {
	p := Problem{Kind: Unreadable, File: file, Span: Span{Start: 0, End: 1}, Msg: "cannot read the keys: " + Printable(err.Error()), Src: src}
	if se, ok := err.(*keyindex.SyntaxError); ok {
		p.Span = se.Span
		p.Msg = "cannot read the keys: " + Printable(se.Msg)
	}
	p.Fix = "keys are TOML: key = \"text\" or key = 1.5; tables begin with [name] or [[name]]"
	if !utf8.Valid(src) {
		p.Fix = "save the file as UTF-8 text, or remove the byte"
	}
	return p
}

// DefaultUnit is the unit of lengths in records that do not say; the zero Unit
// if the ledger does not say either.
func (c *Config) DefaultUnit() quantity.Unit { return unitNamed(c.Units) }

func unitNamed(t Text) quantity.Unit {
	switch t.S {
	case "in":
		return quantity.Inch
	case "mm":
		return quantity.Millimetre
	}
	return quantity.Unit{}
}

// DefaultInterval is the time between calibrations of a gauge that does not say.
func (c *Config) DefaultInterval() quantity.Interval {
	if c.Interval.Set() {
		return c.Interval.V
	}
	return quantity.Interval{Months: 12}
}

// String keeps a severity entry readable in messages.
func (e SeverityEntry) String() string { return fmt.Sprintf("%s = %q", e.Rule, e.Severity) }
