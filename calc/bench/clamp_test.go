package bench

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Published numbers. Unit power p, hp/(in³/min), is a specific cutting force of
// 396000·p lbf/in².
func TestClampPublished(t *testing.T) {
	bolt := func(torque, d string) Clamp {
		return Clamp{BoltTorque: torque, BoltDiameter: d, NutFactor: "0.2", ToWork: "2in", ToHeel: "2in"}
	}
	for _, c := range []struct {
		q         Clamp
		key, want string
		tolerance float64
		source    string
	}{
		{Clamp{Depth: "0.060in", Feed: "0.003in", Specific: "673200lbf/in²", Friction: "0.2", Safety: "1"}, "cutting_force", "121 lbf", 0.5, "boring: clamp maker's manual, 0.060·0.003·1.7·396000 = 121 lb"},
		{Clamp{Drill: "0.75in", Feed: "0.010in", Specific: "79200lbf/in²", Radius: "2in", Friction: "0.2", Safety: "1"}, "cutting_torque", "56 lbf*in", 0.5, "drilling 3/4 in: the same manual, 0.010·0.75²·0.2·49500 = 56 in lb"},
		{Clamp{Force: "121lbf", Friction: "0.2", Safety: "2"}, "force_of_all_clamps", "1210 lbf", 1e-9, "the same page: machining force / friction · safety"},
		{Clamp{Force: "1000N", Friction: "0.20", OnClamp: "0.15", Safety: "1"}, "force_of_all_clamps", "2857.142857 N", 1e-6, "CL1 of testdata/locating/clamping.json"},
		{bolt("457.2lbf*in", "0.5in"), "min_bolt_force", "4572 lbf", 0.5, "1/2-13 at 38.1 ft lb, T = 0.20 F d: machine-design notes"},
		{bolt("457.2lbf*in", "0.5in"), "min_strap_force", "2300 lbf", 20, "the same: catalogues print about 2300 at the work (from memory)"},
		{bolt("192lbf*in", "0.375in"), "min_strap_force", "1280 lbf", 0.5, "3/8-16 at 16 ft lb (computed; catalogue figure from memory)"},
		{bolt("912lbf*in", "0.625in"), "min_strap_force", "3648 lbf", 0.5, "5/8-11 at 76 ft lb (computed; catalogue figure from memory)"},
	} {
		for _, units := range []string{"", "mm", "in"} { // which changes nothing
			asked(t, c.q, units).within(t, c.want, c.tolerance, c.key, c.source)
		}
	}
}

// The formulas of fixture handbooks (common practice), by hand.
func TestClampByHand(t *testing.T) {
	r := asked(t, Clamp{Force: "90N", Up: "300N", Friction: "0.2..0.3", OnClamp: "0.1", Safety: "2", Clamps: 3}, "")
	r.exactly(t, "1000 N", "force_against_sliding", "2·(90 + 0.2·300)/(0.2 + 0.1)")
	r.exactly(t, "600 N", "force_against_lifting", "2·300")
	r.exactly(t, "1000 N", "force_of_all_clamps", "the larger")
	r.within(t, "333.3333333 N", 1e-6, "force_of_each_clamp", "a third")

	r = asked(t, Clamp{Up: "300N", Friction: "0.2", Safety: "2"}, "")
	r.exactly(t, "600 N", "force_of_all_clamps", "nothing but a pull")

	r = asked(t, Clamp{Torque: "8N*m", Radius: "50mm", Up: "100N", Friction: "0.2", Safety: "2"}, "")
	r.exactly(t, "1800 N", "force_of_all_clamps", "2·8000/(0.2·50) + 2·100")

	r = asked(t, Clamp{Force: "100N", Torque: "8N*m", Radius: "50mm", Friction: "0.2", Safety: "2"}, "")
	r.exactly(t, "2600 N", "force_of_all_clamps", "2·100/0.2 + 1600: added")

	r = asked(t, Clamp{Force: "1000N", Friction: "0.2", OnClamp: "0.15", Safety: "2.5", Clamps: 2, BoltTorque: "20N*m", BoltDiameter: "10mm", NutFactor: "0.15..0.20", ToWork: "30mm", ToHeel: "60mm"}, "")
	r.exactly(t, "10000 N", "min_bolt_force", "20000/(0.2·10)")
	r.within(t, "6666.6667 N", 1e-3, "min_strap_force", "2/3 of it")
	r.within(t, "8888.8889 N", 1e-3, "max_strap_force", "2/3 of 20000/(0.15·10)")
	r.within(t, "4.6666667", 1e-6, "times_held", "2·6666.7·0.35/1000")
	assert.Contains(t, strings.Join(texts(t, r, "answer"), "\n"), "hold the cut up to 4.6 times; 2.5 times were asked for")
	assert.Contains(t, strings.Join(texts(t, r, "cautions"), "\n"), "tipping is not in it")
}

func TestClampRefuses(t *testing.T) {
	refuses(t, Clamp{}, "", "force: no value", "type")
	refuses(t, Clamp{Force: "5mm", Friction: "0.2", Safety: "2"}, "", "force: 5 mm is a length", "type a force")
	refuses(t, Clamp{Force: "5N", Safety: "2"}, "", "friction: no value")
	refuses(t, Clamp{Force: "5N", Friction: "0.2"}, "", "safety: no factor of 1 or more")
	refuses(t, Clamp{Force: "5N", Friction: "0.2", Safety: "0.5"}, "", "safety: no factor of 1 or more")
	refuses(t, Clamp{Friction: "0.2", Safety: "2"}, "", "force: no value")
	refuses(t, Clamp{Force: "5N", Depth: "1mm", Feed: "0.1mm", Specific: "800 N/mm²", Friction: "0.2", Safety: "2"}, "", "given in two ways")
	refuses(t, Clamp{Feed: "0.1mm", Friction: "0.2", Safety: "2"}, "", "depth: no value")
	refuses(t, Clamp{Depth: "1mm", Feed: "0.1mm", Friction: "0.2", Safety: "2"}, "", "specific: no value", "type a stress")
	refuses(t, Clamp{Torque: "5N*m", Friction: "0.2", Safety: "2"}, "", "radius: no value")
	refuses(t, Clamp{Torque: "5N", Radius: "50mm", Friction: "0.2", Safety: "2"}, "", "torque: 5 N is a force", "type a torque")
	refuses(t, Clamp{Force: "5N", Friction: "0.2", Safety: "2", Clamps: -1}, "", "clamps: -1")
	refuses(t, Clamp{BoltTorque: "5N*m"}, "", "bolt-diameter: no value")
	refuses(t, Clamp{BoltTorque: "5N*m", BoltDiameter: "10mm"}, "", "nut-factor: no value", "type about 0.2")
	refuses(t, Clamp{BoltTorque: "5N*m", BoltDiameter: "10mm", NutFactor: "1.5"}, "", "beyond any joint")
	refuses(t, Clamp{BoltTorque: "5N*m", BoltDiameter: "10mm", NutFactor: "0.2", ToWork: "30mm"}, "", "both distances are needed")
	refuses(t, Clamp{Force: "5N", Friction: "0.2", Safety: "2"}, "furlong", "units")
}
