package lint

import (
	"io"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
)

// The structs below are the documented JSON; the order of their fields is the
// order of the output.

type jsonResult struct {
	AsOf     string        `json:"as_of"`
	Records  int           `json:"records"`
	Findings []jsonFinding `json:"findings"`
	Conceded []jsonFinding `json:"conceded"`
	Counts   jsonCounts    `json:"counts"`
}

type jsonCounts struct {
	Error   int `json:"error"`
	Warning int `json:"warning"`
	Note    int `json:"note"`
}

type jsonFinding struct {
	Rule      string                       `json:"rule"`
	Severity  string                       `json:"severity"`
	File      string                       `json:"file"`
	Line      int                          `json:"line"`
	Column    int                          `json:"column"`
	EndLine   int                          `json:"end_line"`
	EndColumn int                          `json:"end_column"`
	Record    string                       `json:"record"`
	Message   string                       `json:"message"`
	Why       string                       `json:"why"`
	Fix       string                       `json:"fix"`
	Numbers   map[string]quantity.Quantity `json:"numbers"`
	Related   []jsonRelated                `json:"related"`
	Conceded  *jsonConcession              `json:"concession,omitempty"`
}

type jsonRelated struct {
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Message string `json:"message"`
}

type jsonConcession struct {
	Reason string `json:"reason"`
	Until  string `json:"until,omitempty"`
}

// WriteJSON prints the result as one JSON document.
func WriteJSON(w io.Writer, res *Result) error {
	out := jsonResult{
		AsOf: res.AsOf.Format(time.DateOnly), Records: res.Records,
		Findings: jsonFindings(res.Findings), Conceded: jsonFindings(res.Conceded),
		Counts: jsonCounts{res.Count(Error), res.Count(Warning), res.Count(Note)},
	}
	return ledger.WriteJSON(w, out)
}

func jsonFindings(in []Finding) []jsonFinding {
	out := make([]jsonFinding, 0, len(in))
	for _, f := range in {
		j := jsonFinding{
			Rule: f.Rule, Severity: f.Severity.String(), File: f.File,
			Line: f.Start.Line, Column: f.Start.Column, EndLine: f.End.Line, EndColumn: f.End.Column,
			Record: f.Record, Message: f.Message, Why: f.Why, Fix: f.Fix,
			Numbers: map[string]quantity.Quantity{}, Related: []jsonRelated{},
		}
		for _, n := range f.Numbers {
			j.Numbers[n.Name] = n.Q
		}
		for _, r := range f.Related {
			j.Related = append(j.Related, jsonRelated(r))
		}
		if c := f.Conceded; c != nil {
			j.Conceded = &jsonConcession{Reason: c.Reason.S, Until: c.Until.String()}
		}
		out = append(out, j)
	}
	return out
}
