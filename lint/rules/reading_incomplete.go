package rules

import (
	"strings"

	"tenths/ledger"
	"tenths/lint"
)

var readingIncomplete = &lint.Rule{
	Name:     "reading-incomplete",
	Severity: lint.Warning,
	Gap:      true,
	Title:    "readings without day, gauge, characteristic, part or person",
	Page: lint.Page{
		What:    "Each inspection with readings is looked at for the day, the gauge, what was measured, the part or lot, and who measured. What was felt by finger or counted needs no gauge.",
		Why:     "A reading without its day or its gauge cannot be tied to the state of the fixture or to a check of the gauge.",
		Source:  "Common practice, after what a calibration or test report holds: ISO/IEC 17025, 7.8.2.",
		Cure:    "Fill in what is known. A day from an old notebook may be on = \"about 2021\".",
		Concede: "Readings from old notes get legacy = true: what they lack is then a note.",
	},
	Check: checkReadingIncomplete,
}

func checkReadingIncomplete(p *lint.Pass) {
	eachInspection(p, func(rec *ledger.Record, in *ledger.Inspection) {
		var missing, keys []string
		lacks := func(what, key string) {
			missing, keys = append(missing, what), append(keys, key)
		}
		measured := len(in.Readings)+len(in.Pieces) > 0 || in.From.S != ""
		if !in.On.Set() {
			lacks("a day", "on")
		}
		if measured && blank(in.Gauge.S) {
			lacks("a gauge", "gauge")
		}
		counted := in.Count.Set() && !measured && len(in.Touch) == 0 && !blank(in.Counts.S)
		if blank(in.Characteristic.S) && !counted {
			lacks("a characteristic", "characteristic")
		}
		// The path of a characteristic begins with its part.
		if blank(in.Part.S) && blank(in.Lot.S) && blank(in.Characteristic.S) && !everyLot(in) && in.Purpose.S != "survey" {
			lacks("a part or lot", "part or lot")
		}
		if blank(in.By.S) {
			lacks("a person", "by")
		}
		if len(missing) == 0 {
			return
		}
		p.Report(rec, ledger.Span{}, lint.Found{
			Message: "readings without " + list(missing),
			Fix:     "fill in " + list(keys) + ", as far as it is known",
		})
	})
}

func blank(s string) bool { return strings.TrimSpace(s) == "" }

// everyLot reports whether each piece names its lot.
func everyLot(in *ledger.Inspection) bool {
	for _, r := range in.Pieces {
		if blank(r.Lot.S) {
			return false
		}
	}
	return len(in.Pieces) > 0
}

// list joins words as people do.
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
