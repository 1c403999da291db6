package lint_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
	"tenths/lint/rules"
)

// shops gives every test ledger of the rules, by file name: what all rules can
// print goes through all formats.
func shops(t *testing.T) map[string]map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("rules", "testdata", "*", "*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	out := map[string]map[string]string{}
	for _, name := range files {
		ar, err := txtar.ParseFile(name)
		require.NoError(t, err)
		texts := map[string]string{ledger.ConfigName: "units = \"in\"\n"}
		for _, f := range ar.Files {
			if f.Name != "want" {
				texts[f.Name] = string(f.Data)
			}
		}
		out[filepath.ToSlash(name)] = texts
	}
	return out
}

// conceded is a ledger with findings of several rules, one of them conceded.
var conceded = map[string]string{
	"inspections/a b:c.md": `+++
kind = "inspection"
id = "IN-1"
title = "Width"
units = "in"
on = 2025-02-02
characteristic = "P-10/KC-2"
gauge = "G5"
readings = "1.5003 1.5203 1.5402"

[[concession]]
rule = "reading-incomplete"
reason = "the partner, or I <we \"both\" measured>"
until = 2025-12-31
+++
![seam](none.jpg) ![seam](none2.jpg)
`,
	"parts/p.md": `+++
kind = "part"
id = "P-10"
title = "Side plate"

[[characteristic]]
id = "KC-2"
title = "width"
limits = "1.5000 ±0.0001"
+++
`,
	"gauges/g.md": `+++
kind = "gauge"
id = "G5"
title = "Micrometer"
type = "micrometer"
resolution = "0.0001"

[[calibration]]
on = 2023-06-03
result = "conforms"
+++
`,
	"broken.md": "no record\n",
}

func lintAll(t *testing.T, texts map[string]string, order func([]*lint.Rule)) *lint.Result {
	t.Helper()
	all := rules.All()
	if order != nil {
		order(all)
	}
	return run(t, texts, lint.Options{}, all...)
}

func formats(t *testing.T, res *lint.Result) map[string]string {
	t.Helper()
	out := map[string]string{}
	for name, write := range map[string]func(io.Writer) error{
		"text":  func(w io.Writer) error { return lint.WriteText(w, res, "shop/") },
		"hook":  func(w io.Writer) error { return lint.WriteHook(w, res, "shop/") },
		"json":  func(w io.Writer) error { return lint.WriteJSON(w, res) },
		"sarif": func(w io.Writer) error { return lint.WriteSARIF(w, res, rules.All(), "1.0.0", "shop/") },
	} {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		out[name] = b.String()
		assert.ErrorIs(t, write(full{}), errFull, name)
	}
	return out
}

var errFull = errors.New("disk full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// TestSameBytes runs every test ledger twice, the second time with the rules in
// the other order, and compares all formats byte for byte.
func TestSameBytes(t *testing.T) {
	for name, texts := range shops(t) {
		first := formats(t, lintAll(t, texts, nil))
		second := formats(t, lintAll(t, texts, slices.Reverse))
		assert.Equal(t, first, second, name)
	}
}

// keyOrder gives the keys of the objects of a JSON text in their order, each
// with the path that leads to it.
func keyOrder(t *testing.T, text string) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	dec := json.NewDecoder(strings.NewReader(text))
	var value func(path string)
	value = func(path string) {
		tok, err := dec.Token()
		require.NoError(t, err)
		switch tok {
		case json.Delim('{'):
			var keys []string
			for dec.More() {
				key, err := dec.Token()
				require.NoError(t, err)
				keys = append(keys, key.(string))
				value(path + "/" + key.(string))
			}
			if len(out[path]) < len(keys) {
				out[path] = keys
			}
			_, err = dec.Token()
			require.NoError(t, err)
		case json.Delim('['):
			for dec.More() {
				value(path)
			}
			_, err = dec.Token()
			require.NoError(t, err)
		}
	}
	value("")
	return out
}

// TestJSONShape compares the JSON with the shape that the design documents:
// every documented field is there, in the documented order; there may be more.
func TestJSONShape(t *testing.T) {
	res := lintAll(t, conceded, nil)
	var b bytes.Buffer
	require.NoError(t, lint.WriteJSON(&b, res))
	order := keyOrder(t, b.String())
	for path, want := range map[string][]string{
		"":                  {"as_of", "records", "findings", "counts"},
		"/findings":         {"rule", "severity", "file", "line", "column", "record", "message", "why", "fix", "numbers", "related"},
		"/findings/related": {"file", "line", "message"},
		"/counts":           {"error", "warning", "note"},
	} {
		var got []string
		for _, k := range order[path] {
			if slices.Contains(want, k) {
				got = append(got, k)
			}
		}
		assert.Equal(t, want, got, "fields of %q", path)
	}
	var doc struct {
		AsOf     string `json:"as_of"`
		Records  int
		Findings []struct {
			Rule, File, Record string
			Line, Column       int
			Numbers            map[string]struct {
				Value json.Number
				Unit  string
				Text  string
			}
			Related []struct {
				File string
				Line int
			}
		}
		Conceded []struct {
			Rule       string
			Concession struct{ Reason, Until string }
		}
		Counts map[string]int
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &doc))
	assert.Equal(t, "2025-06-30", doc.AsOf)
	assert.Equal(t, 3, doc.Records)
	require.Len(t, doc.Conceded, 1)
	assert.Equal(t, "reading-incomplete", doc.Conceded[0].Rule)
	assert.Equal(t, "2025-12-31", doc.Conceded[0].Concession.Until)
	n := 0
	for _, f := range doc.Findings {
		if f.Rule == "value-impossible" {
			n++
			assert.Equal(t, "IN-1", f.Record)
			assert.Equal(t, []int{9, 20}, []int{f.Line, f.Column}, "the place is that of the reading")
			assert.Equal(t, "1.5203", f.Numbers["reading"].Value.String())
			assert.Equal(t, "in", f.Numbers["reading"].Unit)
			assert.Equal(t, "0.0002", f.Numbers["tolerance"].Value.String())
			assert.Equal(t, "0.0002 in", f.Numbers["tolerance"].Text)
			assert.NotEmpty(t, f.Related)
		}
	}
	assert.Equal(t, 1, n, "both impossible readings are one finding")
	sum := doc.Counts["error"] + doc.Counts["warning"] + doc.Counts["note"]
	assert.Equal(t, len(doc.Findings), sum)

	b.Reset()
	require.NoError(t, lint.WriteJSON(&b, run(t, map[string]string{}, lint.Options{}, rules.All()...)))
	assert.Contains(t, b.String(), `"findings": []`, "nothing is an empty list, not null")
}

// TestTextShape checks the text of one finding as a person reads it.
func TestTextShape(t *testing.T) {
	res := lintAll(t, conceded, nil)
	var b bytes.Buffer
	require.NoError(t, lint.WriteText(&b, res, "shop/"))
	assert.Contains(t, b.String(), "shop/broken.md:1:1: error: has no front matter [record-unreadable]\n    why  What cannot be read")
	assert.Contains(t, b.String(), "\n    see  shop/parts/p.md:9:10: ")
	assert.Contains(t, b.String(), "\n    do   ")
	assert.NotContains(t, b.String(), "reading-incomplete", "what is conceded is not printed")
}

// TestHookOnAll checks the bound of the short list on every test ledger.
func TestHookOnAll(t *testing.T) {
	for name, texts := range shops(t) {
		var b bytes.Buffer
		res := lintAll(t, texts, nil)
		require.NoError(t, lint.WriteHook(&b, res, ""))
		assert.LessOrEqual(t, strings.Count(b.String(), "\n"), lint.HookLines, name)
		if len(res.Findings) > 0 {
			worst, _ := res.Worst()
			assert.True(t, strings.HasPrefix(b.String(), worst.String()+" "), "%s: the worst comes first", name)
		}
	}
}

// TestPlacesInFiles checks that every finding points into its file.
func TestPlacesInFiles(t *testing.T) {
	for name, texts := range shops(t) {
		l, err := ledger.Load(source.Map(texts))
		require.NoError(t, err)
		res, err := lint.Run(l, study.New(l, asOf), rules.All(), lint.Options{})
		require.NoError(t, err)
		for _, f := range res.Findings {
			lines := strings.Split(texts[f.File], "\n")
			require.LessOrEqual(t, f.Start.Line, len(lines), name)
			assert.LessOrEqual(t, f.Start.Column, 1+len([]rune(lines[f.Start.Line-1])), "%s: %s", name, f.Message)
			assert.LessOrEqual(t, f.Span.End, max(1, len(texts[f.File])), "%s: %s", name, f.Message)
			for _, r := range f.Related {
				assert.LessOrEqual(t, r.Line, strings.Count(texts[r.File], "\n")+1, "%s: %s", name, r.Message)
			}
		}
	}
}

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	return text
}
