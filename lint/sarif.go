package lint

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"tenths/ledger"
)

// SARIF 2.1.0 (OASIS), the part of it that a finding needs.

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool        sarifTool              `json:"tool"`
	Invocations []sarifInvocation      `json:"invocations"`
	ColumnKind  string                 `json:"columnKind"`
	BaseIDs     map[string]sarifFolder `json:"originalUriBaseIds"`
	Results     []sarifResult          `json:"results"`
}

type sarifFolder struct {
	Description sarifText `json:"description"`
}

type sarifInvocation struct {
	ExecutionSuccessful bool `json:"executionSuccessful"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name    string      `json:"name"`
	Version string      `json:"version,omitempty"`
	Rules   []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID               string      `json:"id"`
	ShortDescription sarifText   `json:"shortDescription"`
	FullDescription  sarifText   `json:"fullDescription"`
	Help             sarifText   `json:"help"`
	Default          sarifConfig `json:"defaultConfiguration"`
}

type sarifConfig struct {
	Level string `json:"level"`
}

type sarifText struct {
	Text string `json:"text"`
}

type sarifResult struct {
	RuleID       string             `json:"ruleId"`
	RuleIndex    int                `json:"ruleIndex"`
	Level        string             `json:"level"`
	Message      sarifText          `json:"message"`
	Locations    []sarifLocation    `json:"locations"`
	Related      []sarifLocation    `json:"relatedLocations,omitempty"`
	Fingerprints map[string]string  `json:"partialFingerprints"`
	Suppressions []sarifSuppression `json:"suppressions"`
}

type sarifSuppression struct {
	Kind          string `json:"kind"`
	Justification string `json:"justification"`
}

type sarifLocation struct {
	Message  *sarifText    `json:"message,omitempty"`
	Physical sarifPhysical `json:"physicalLocation"`
}

type sarifPhysical struct {
	Artifact sarifArtifact `json:"artifactLocation"`
	Region   sarifRegion   `json:"region"`
}

type sarifArtifact struct {
	URI       string `json:"uri"`
	URIBaseID string `json:"uriBaseId"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn"`
	EndLine     int `json:"endLine,omitempty"`
	EndColumn   int `json:"endColumn,omitempty"`
}

const ledgerRoot = "LEDGER"

// WriteSARIF prints the result in the exchange format of OASIS, SARIF 2.1.0.
// Conceded findings are there as suppressed ones. prefix is put before each
// file, for a ledger in a folder of a repository.
func WriteSARIF(w io.Writer, res *Result, rules []*Rule, version, prefix string) error {
	rules = slices.Clone(rules)
	slices.SortFunc(rules, func(a, b *Rule) int { return strings.Compare(a.Name, b.Name) })
	index := map[string]int{}
	run := sarifRun{
		Tool:        sarifTool{sarifDriver{Name: "tenths", Version: version, Rules: []sarifRule{}}},
		Invocations: []sarifInvocation{{true}},
		ColumnKind:  "unicodeCodePoints",
		BaseIDs:     map[string]sarifFolder{ledgerRoot: {sarifText{"the folder that the paths start from"}}},
		Results:     []sarifResult{},
	}
	for i, r := range rules {
		index[r.Name] = i
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{
			ID: r.Name, ShortDescription: sarifText{r.Title}, FullDescription: sarifText{r.Page.What + " " + r.Page.Why},
			Help: sarifText{r.Page.Cure + " " + r.Page.Concede}, Default: sarifConfig{r.Severity.String()},
		})
	}
	times := map[string]int{}
	for _, f := range append(slices.Clone(res.Findings), res.Conceded...) {
		name := fingerprint(f)
		if times[name]++; times[name] > 1 {
			name += "-" + strconv.Itoa(times[name])
		}
		message := f.Message + "."
		if f.Fix != "" {
			message += " To do: " + f.Fix + "."
		}
		out := sarifResult{
			RuleID: f.Rule, RuleIndex: index[f.Rule], Level: f.Severity.String(), Message: sarifText{message},
			Locations:    []sarifLocation{{Physical: physical(prefix+f.File, sarifRegion{f.Start.Line, f.Start.Column, f.End.Line, f.End.Column})}},
			Fingerprints: map[string]string{"tenths/v1": name},
			Suppressions: []sarifSuppression{},
		}
		for _, r := range f.Related {
			out.Related = append(out.Related, sarifLocation{&sarifText{r.Message}, physical(prefix+r.File, sarifRegion{StartLine: r.Line, StartColumn: r.Column})})
		}
		if f.Conceded != nil {
			out.Suppressions = append(out.Suppressions, sarifSuppression{"inSource", f.Conceded.Reason.S})
		}
		run.Results = append(run.Results, out)
	}
	return ledger.WriteJSON(w, sarifLog{
		Schema:  "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
		Version: "2.1.0", Runs: []sarifRun{run},
	})
}

func physical(file string, r sarifRegion) sarifPhysical {
	return sarifPhysical{sarifArtifact{(&url.URL{Path: file}).String(), ledgerRoot}, r}
}

// fingerprint names a finding by rule, record and key, so that it stays the
// same finding when lines move or the file gets another name. Of several at one
// key the later ones get a number.
func fingerprint(f Finding) string {
	where := f.File
	if f.rec != nil {
		where = f.Record + "\x00" + f.rec.KeyPath(f.Span)
	}
	sum := sha256.Sum256([]byte(f.Rule + "\x00" + where))
	return hex.EncodeToString(sum[:16])
}
