package rules

import (
	"tenths/ledger"
	"tenths/lint"
)

var recordUnreadable = &lint.Rule{
	Name:     "record-unreadable",
	Severity: lint.Error,
	Title:    "a record, a table of readings or tenths.toml cannot be read as it stands",
	OnDrafts: true,
	Always:   true,
	Page: lint.Page{
		What: "Each file is read: the lines +++, the keys between them, the type of each value, the words that a key allows, and the keys that a record needs. In a draft, keys that are only not filled in yet are left in peace; in a record with legacy = true they are notes.",
		Why:  "What cannot be read is not checked either, and nobody notices.",
		Source: "The form of the records (tenths explain KIND lists the keys of each kind). Front matter is TOML 1.0, text is UTF-8. " +
			"That a quantity is a number with its unit: ISO 80000-1.",
		Cure:    "Write the value as the message says; the place is that of the value itself.",
		Concede: "There is nothing to concede: a record is either read or not. Markdown files that are no records are named under plain in tenths.toml.",
	},
	Check: checkRecordUnreadable,
}

func checkRecordUnreadable(p *lint.Pass) {
	for _, pr := range p.L.Problems {
		if pr.Kind != ledger.Unreadable {
			continue
		}
		rec := p.L.RecordAt(pr.File, pr.Span.Start)
		if rec == nil {
			p.ReportFile(pr.File, pr.Src, pr.Span, lint.Found{Message: pr.Msg, Fix: pr.Fix})
			continue
		}
		if pr.Gap && rec.Quiet() {
			continue
		}
		p.Report(rec, pr.Span, lint.Found{Message: pr.Msg, Fix: pr.Fix, Softer: pr.Gap && rec.Common.Legacy.B})
	}
}
