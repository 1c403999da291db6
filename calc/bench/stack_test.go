package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Four parts in a pocket (testdata/stacks, computed in R): the worst case is 0.25 mm
// beyond one limit and 0.05 beyond the other; (0.2 - 0.1)/(0.18248288/3) = 1.644
// standard deviations leave 5.0 % outside.
func TestStackAgainstLimits(t *testing.T) {
	q := Stack{Formula: "w - a - b - c", Inputs: []string{"w=20.200 ±0.05 mm", "a=6.000 ±0.10 mm", "b=9.000 ±0.12 mm", "c=5.000 ±0.08 mm"}, Limits: "0.10..0.50mm", Simulate: true}
	r := asked(t, q, "")
	r.exactly(t, "-0.25 mm", "room_to_lower_limit", "R")
	r.exactly(t, "-0.05 mm", "room_to_upper_limit", "R")
	r.within(t, "5.009 %", 1e-3, "outside_limits_if_normal", "normal table")
	r.within(t, "0.0608276 mm", 1e-4, "standard_deviation", "R, a third of the root sum square")
	// Cut off at 3 s, the simulation is a little narrower.
	r.within(t, "4.8 %", 0.06, "simulation/outside_limits", "about the same")
	r.within(t, "0.0600 mm", 0.01, "simulation/standard_deviation", "0.98658 of it")
	assert.Equal(t, "b", r.at(t, "tighten_first").([]any)[0].(map[string]any)["name"])
	q.Cost, q.Simulate = []string{"w=2", "a=3", "b=3", "c=1"}, false
	r = asked(t, q, "in")
	assert.Equal(t, "c", r.at(t, "tighten_first").([]any)[0].(map[string]any)["name"])
	assert.Contains(t, r.text(t, "room_to_lower_limit"), "in")
}

// Two holes of one reamer: their difference does not see it, their sum does.
func TestStackCommonSource(t *testing.T) {
	q := Stack{Formula: "a - b", Inputs: []string{"a=10 ±0.3 mm", "b=8 ±0.4 mm"}, Common: []string{"a=reamer", "b=reamer"}}
	r := asked(t, q, "")
	r.exactly(t, "1.9 mm", "worst_lower", "0.4 - 0.3")
	q.Common[1] = "b=against reamer"
	r = asked(t, q, "")
	r.exactly(t, "1.3 mm", "worst_lower", "0.4 + 0.3")
	q.Common = []string{"a=reamer 50%", "b=reamer 50%"}
	r = asked(t, q, "")
	r.within(t, "0.25495098 mm", 1e-7, "root_sum_square_half_width", "sqrt(0.05² + 0.15² + 0.2²)")
}

func TestStackAllotted(t *testing.T) {
	q := Stack{Formula: "box - a - b", Inputs: []string{"box=60 ±0.1 mm", "a=40 ±0.1 mm", "b=19.8 ±0.1 mm"}, Limits: "0.05..0.35mm", Fixed: []string{"b"}, Allot: "equal"}
	r := asked(t, q, "")
	items := r.at(t, "allotted").([]any)
	assert.Len(t, items, 3)
	r.exactly(t, "0.025 mm", "allotted/0/half_width", "(0.15 - 0.1)/2")
	r.exactly(t, "0.1 mm", "allotted/2/half_width", "fixed")
	q.Statistical = true
	r = asked(t, q, "")
	r.within(t, "0.0790 mm", 1e-3, "allotted/0/half_width", "sqrt((0.15² - 0.1²)/2)")
}
