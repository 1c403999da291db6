package main

import (
	"fmt"
	"io"
	"strings"

	"tenths/ledger"
	"tenths/lint"
	"tenths/lint/rules"
)

type explainCmd struct {
	Name string `arg:"" optional:"" help:"A rule, a kind of record, or tenths.toml; without it, all names."`
}

func (c explainCmd) Help() string {
	return "A rule: what it checks, why, the arithmetic, the source, how to put it right or concede it. A kind of record: every key with its meaning, its unit and an example."
}

func (c explainCmd) Run(e env) error {
	switch {
	case c.Name == "":
		explainAll(e.out)
		return nil
	case c.Name == ledger.ConfigName:
		explainKeys(e.out, "Keys of "+ledger.ConfigName, ledger.ConfigKeys())
		return nil
	}
	if keys := ledger.Keys(ledger.Kind(c.Name)); keys != nil {
		explainKeys(e.out, "Keys of a "+c.Name, keys)
		return nil
	}
	if r := rules.Find(c.Name); r != nil {
		explainRule(e.out, r)
		return nil
	}
	hint := "tenths explain lists all rules and kinds"
	var names []string
	for _, k := range ledger.Kinds() {
		names = append(names, string(k))
	}
	for _, r := range rules.All() {
		names = append(names, r.Name)
	}
	if near := ledger.Nearest(c.Name, names, 1+len(c.Name)/3); near != "" {
		hint = "did you mean " + near + "?"
	}
	return hinted{fmt.Errorf("nothing is named %q", c.Name), hint}
}

func explainAll(w io.Writer) {
	fmt.Fprintln(w, "Kinds of record:")
	for _, k := range ledger.Kinds() {
		fmt.Fprintf(w, "  %s\n", k)
	}
	fmt.Fprintf(w, "Config:\n  %s\nRules:\n", ledger.ConfigName)
	for _, r := range rules.All() {
		fmt.Fprintf(w, "  %-22s %-8s %s\n", r.Name, r.Severity, r.Title)
	}
}

func explainRule(w io.Writer, r *lint.Rule) {
	fmt.Fprintf(w, "%s (%s): %s\n", r.Name, r.Severity, r.Title)
	for _, part := range []struct{ head, text string }{
		{"What is compared", r.Page.What}, {"Why", r.Page.Why}, {"Arithmetic", r.Page.Formula},
		{"Source", r.Page.Source}, {"To put it right", r.Page.Cure}, {"When to leave it", r.Page.Concede},
	} {
		if part.text != "" {
			fmt.Fprintf(w, "\n%s\n%s\n", part.head, wrap(part.text, "  ", 78))
		}
	}
	fmt.Fprintf(w, "\nTo concede it in one record\n  [[concession]]\n  rule = %q\n  reason = \"...\"\n  until = 2026-12-31\n", r.Name)
}

func explainKeys(w io.Writer, head string, keys []ledger.Key) {
	fmt.Fprintln(w, head)
	for _, k := range keys {
		depth := strings.Count(k.Path, ".")
		indent := strings.Repeat("  ", depth+1)
		name := k.Path[strings.LastIndex(k.Path, ".")+1:]
		if strings.HasPrefix(k.Example, "see ") {
			brackets := "[[" + k.Path + "]]"
			fmt.Fprintf(w, "\n%s%s\n%s\n", indent, brackets, wrap(k.Means+".", indent+"    ", 78))
			continue
		}
		need := ""
		if k.Need {
			need = ", needed"
		}
		fmt.Fprintf(w, "%s%s = %s\n%s\n", indent, name, k.Example, wrap(fmt.Sprintf("%s%s: %s.", k.Holds, need, k.Means), indent+"    ", 78))
		if k.Words != nil {
			fmt.Fprintln(w, wrap("One of: "+strings.Join(k.Words, ", ")+".", indent+"    ", 78))
		}
		if k.To != nil {
			fmt.Fprintln(w, wrap("Names "+targets(k.To)+".", indent+"    ", 78))
		}
	}
}

// targets says what a reference may name.
func targets(to []string) string {
	var out []string
	for _, t := range to {
		switch t {
		case "any":
			out = append(out, "a record or anything in one")
		case "inspection":
			out = append(out, "an inspection")
		default:
			out = append(out, "a "+t)
		}
	}
	return strings.Join(out, " or ")
}

// wrap breaks text at spaces.
func wrap(text, indent string, width int) string {
	var lines []string
	for _, para := range strings.Split(text, "\n") {
		line := indent
		for _, word := range strings.Fields(para) {
			if len(line)+1+len(word) > width && line != indent {
				lines = append(lines, line)
				line = indent
			}
			if line != indent {
				line += " "
			}
			line += word
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}
