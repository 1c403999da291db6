package lint_test

import (
	"bytes"
	"encoding/json"
	"net/url"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/lint"
	"tenths/lint/rules"
)

// sarif is the part of a log that the tests look at.
type sarif struct {
	Version string
	Runs    []struct {
		Tool struct {
			Driver struct {
				Name  string
				Rules []struct{ ID string }
			}
		}
		Results []struct {
			RuleID              string
			RuleIndex           int
			Level               string
			Message             struct{ Text string }
			PartialFingerprints map[string]string
			Locations           []struct {
				PhysicalLocation struct {
					ArtifactLocation struct{ URI string }
					Region           struct{ StartLine, StartColumn, EndLine, EndColumn int }
				}
			}
			Suppressions []struct{ Kind, Justification string }
		}
	}
}

func sarifOf(t *testing.T, texts map[string]string) (string, sarif) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, lint.WriteSARIF(&b, lintAll(t, texts, nil), rules.All(), "1.0.0", "shop/"))
	var log sarif
	require.NoError(t, json.Unmarshal(b.Bytes(), &log))
	require.Len(t, log.Runs, 1)
	return b.String(), log
}

// TestSARIFSchema validates the output for every test ledger against the schema
// of OASIS (testdata/sarif), formats such as uri-reference included.
func TestSARIFSchema(t *testing.T) {
	const name = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(readFile(t, filepath.Join("..", "testdata", "sarif", "sarif-schema-2.1.0.json"))))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource(name, doc))
	schema, err := c.Compile(name)
	require.NoError(t, err)
	validate := func(text string) error {
		inst, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		require.NoError(t, err)
		return schema.Validate(inst)
	}
	all := shops(t)
	all["conceded"] = conceded
	all["empty"] = map[string]string{}
	for name, texts := range all {
		text, log := sarifOf(t, texts)
		assert.NoError(t, validate(text), name)
		for _, r := range log.Runs[0].Results {
			assert.Equal(t, r.RuleID, log.Runs[0].Tool.Driver.Rules[r.RuleIndex].ID)
		}
	}
	// The schema must be able to refuse, else the test says nothing.
	text, _ := sarifOf(t, conceded)
	for _, change := range [][2]string{
		{`"version": "2.1.0"`, `"version": "2.0.0"`},
		{`"level": "error"`, `"level": "fatal"`},
		{`"startLine": 1`, `"startLine": 0`},
		{`"kind": "inSource"`, `"kind": "mine"`},
	} {
		require.Contains(t, text, change[0])
		assert.Error(t, validate(strings.Replace(text, change[0], change[1], 1)), change[1])
	}
}

func TestSARIFResults(t *testing.T) {
	_, log := sarifOf(t, conceded)
	assert.Equal(t, "2.1.0", log.Version)
	assert.Equal(t, "tenths", log.Runs[0].Tool.Driver.Name)
	assert.Len(t, log.Runs[0].Tool.Driver.Rules, len(rules.All()))
	suppressed := 0
	prints := map[string]bool{}
	for _, r := range log.Runs[0].Results {
		print := r.PartialFingerprints["tenths/v1"]
		assert.NotEmpty(t, print)
		assert.False(t, prints[print], "two results have one fingerprint: %s", r.Message.Text)
		prints[print] = true
		uri := r.Locations[0].PhysicalLocation.ArtifactLocation.URI
		u, err := url.Parse(uri)
		require.NoError(t, err)
		assert.Empty(t, u.Scheme)
		assert.True(t, strings.HasPrefix(u.Path, "shop/"), uri)
		if len(r.Suppressions) > 0 {
			suppressed++
			assert.Equal(t, "reading-incomplete", r.RuleID)
			assert.Equal(t, "inSource", r.Suppressions[0].Kind)
			assert.Equal(t, `the partner, or I <we "both" measured>`, r.Suppressions[0].Justification)
		}
	}
	assert.Equal(t, 1, suppressed)
}

// TestColonInFileName checks that a colon in the first part of a path does not
// make it an address with a scheme (RFC 3986, 4.2).
func TestColonInFileName(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, lint.WriteSARIF(&b, lintAll(t, map[string]string{"a:b.md": "x"}, nil), rules.All(), "", ""))
	var log sarif
	require.NoError(t, json.Unmarshal(b.Bytes(), &log))
	assert.Equal(t, "./a:b.md", log.Runs[0].Results[0].Locations[0].PhysicalLocation.ArtifactLocation.URI)
}

// TestFingerprintsStay checks that a finding stays the same one when lines move,
// when its file gets another name, and when other findings come and go.
func TestFingerprintsStay(t *testing.T) {
	prints := func(texts map[string]string) map[string]string {
		out := map[string]string{}
		_, log := sarifOf(t, texts)
		for _, r := range log.Runs[0].Results {
			out[r.PartialFingerprints["tenths/v1"]] = r.RuleID
		}
		return out
	}
	before := prints(conceded)
	moved := map[string]string{}
	for name, text := range conceded {
		if strings.HasPrefix(text, "+++\n") {
			name = "elsewhere/" + strings.ReplaceAll(name, "/", "-")
			text = strings.Replace(text, "+++\n", "+++\n# moved\n\n\n", 1)
			text = strings.Replace(text, "[[c", "\n\n[[c", 1)
		}
		moved[name] = text
	}
	assert.Equal(t, before, prints(moved))

	delete(moved, "broken.md")
	moved["new.md"] = "+++\nkind = \"part\"\n+++\n"
	after := prints(moved)
	for print, rule := range before {
		if rule != "record-unreadable" {
			assert.Equal(t, rule, after[print], "the finding got another fingerprint")
		}
	}
	other := map[string]string{ledger.ConfigName: "units = \"in\"\n"}
	for name, text := range conceded {
		other[name] = strings.ReplaceAll(strings.ReplaceAll(text, "IN-1", "IN-2"), "G5", "G6")
	}
	for print, rule := range prints(other) {
		if rule != "record-unreadable" {
			assert.NotContains(t, before, print, "another record's finding has the same fingerprint")
		}
	}
}
