package rules

import (
	"fmt"
	"slices"

	"tenths/ledger"
	"tenths/ledger/study"
	"tenths/lint"
)

var privateInPublic = &lint.Rule{
	Name:     "private-in-public",
	Severity: lint.Error,
	OnDrafts: true,
	Title:    "words for the public that give something away",
	Page: lint.Page{
		What: "Of each change that is marked public: its id and title, notice, factor, cause, side effects, lesson and notes on readings, and the titles of the parts, characteristics and fixtures that the public list names. " +
			"None may hold a private word of tenths.toml, a person's name, a program or one of its lines, an offset, a price, a serial, order or certificate number, an address, a gauge's id, an alloy. " +
			"It is an error where the list tells of the change; on one that is a draft or still under way it is a note, since nothing of it goes out yet.",
		Why: "What has left the shop once cannot be called back.",
		Source: "Program words and work offsets: ISO 6983-1 and common practice of controls. That sizes stay private and differences may be public: common practice. " +
			"Sizes, tolerances and days are no finding: tenths changelog --public takes them out by itself.",
		Cure:    "Say it in other words: what kind of thing was changed, not which. Or leave the change out with public = false. tenths changelog --public refuses the whole list until then.",
		Concede: "A concession does not open the list: the word must go, or the change stays out. A word that is private by mistake is taken from the private words of tenths.toml.",
	},
	Check: func(p *lint.Pass) {
		for _, rec := range p.L.Records {
			if rec.Kind() != ledger.KindChange {
				continue
			}
			pub := p.S.Publishing(rec)
			for i, l := range pub.Leaks {
				same := func(o study.Leak) bool { return o.Rec == l.Rec && o.At == l.At }
				if slices.ContainsFunc(pub.Leaks[:i], same) {
					continue // said with the first word of the text
				}
				var words []string
				var seen []string
				for _, o := range pub.Leaks[i:] {
					if same(o) && !slices.Contains(seen, o.Word) {
						seen, words = append(seen, o.Word), append(words, fmt.Sprintf("%q is %s", o.Word, o.Why))
					}
				}
				f := lint.Found{
					Message: fmt.Sprintf("%s; the text goes into the public list with %s, which is therefore refused", listed(words), rec.ID()),
					Fix:     fmt.Sprintf("say it in other words, or leave %s out with public = false", rec.ID()),
					Softer:  !pub.Told,
				}
				if !pub.Told {
					f.Message = fmt.Sprintf("%s; the text is meant for the public list with %s, which would be refused", listed(words), rec.ID())
				}
				if l.Rec != rec {
					f.Related = []lint.Place{{Rec: rec, Span: rec.Data.(*ledger.Change).Public.Span, Message: "public"}}
				}
				p.Report(l.Rec, l.At, f)
			}
		}
	},
}
