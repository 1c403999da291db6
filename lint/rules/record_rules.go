package rules

import "tenths/lint"

// recordRules are the rules about records, gauges and readings.
func recordRules() []*lint.Rule {
	return []*lint.Rule{
		recordUnreadable, keyUnknown, referenceBroken, concessionOpen, idTaken,
		unitsMixed, valueImpossible, readingIncomplete, lineUnsorted, photoOrphan,
		gaugeOverdue, gaugeCoarse, limitsNotBracketed, passedOutside,
	}
}
