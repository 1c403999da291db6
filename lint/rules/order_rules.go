package rules

import "tenths/lint"

// orderRules are the rules about datums, the order of operations, and what must
// be looked at again after heat, a refit or a new state.
func orderRules() []*lint.Rule {
	return []*lint.Rule{datumMissing, heatUnsurveyed, locatorFeatureAltered, oppositeFaces, refitUnchecked, relocatedBetween, setupBehind}
}
