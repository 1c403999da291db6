package study_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/ledger/study"
)

func TestWorkOf(t *testing.T) {
	type kinds = []study.WorkKind
	for _, c := range []struct {
		does, title, where string
		want               kinds
	}{
		// The words that the table of keys offers.
		{"weld", "", "", kinds{study.Welding}}, {"torch", "", "", kinds{study.Flame}}, {"grind", "", "", kinds{study.Grinding}},
		{"solvent", "", "", kinds{study.Solvent}}, {"adhesive", "", "", kinds{study.Adhesive}}, {"press", "", "", kinds{study.Pressing}},
		{"slide hammer", "", "", kinds{study.Pressing}}, {"deburr by hand", "", "", kinds{study.HandAtSpindle}},
		{"bore", "", "", nil}, {"skim", "", "", nil}, {"survey", "", "", nil}, {"measure", "", "on the machine", nil},
		// Other forms of the work.
		{"tack weld a nut on", "", "", kinds{study.Welding}}, {"TIG", "", "", kinds{study.Welding}}, {"holes welded up", "", "", kinds{study.Welding}},
		{"re-weld the corner", "", "", kinds{study.Welding}}, {"skim, weld, skim again", "", "", kinds{study.Welding}}, {"fill the holes by welding", "", "", kinds{study.Welding}},
		{"heat the plate and press the pin in", "", "", kinds{study.Flame, study.Pressing}}, {"silver solder", "", "", kinds{study.Flame}}, {"soften with a heat gun", "", "", kinds{study.Flame}},
		{"surface grind", "", "", kinds{study.Grinding}}, {"regrind the land", "", "", kinds{study.Grinding}}, {"shorten at the bench grinder", "", "", kinds{study.Grinding}},
		{"carefully grind", "", "", kinds{study.Grinding}}, {"clean with acetone", "", "", kinds{study.Solvent}}, {"degrease", "", "", kinds{study.Solvent}},
		{"spray anti-spatter aerosol", "", "", kinds{study.Solvent}}, {"pickle in acid", "", "", kinds{study.Solvent}}, {"brake cleaner", "", "", kinds{study.Solvent}},
		{"glue the sleeve", "", "", kinds{study.Adhesive}}, {"set with retaining compound", "", "", kinds{study.Adhesive}}, {"epoxy", "", "", kinds{study.Adhesive}},
		{"press fit the dowels", "", "", kinds{study.Pressing}}, {"push it out with the arbor press", "", "", kinds{study.Pressing}}, {"pins pressed in", "", "", kinds{study.Pressing}},
		{"in the press", "", "", kinds{study.Pressing}}, {"gauge the bore", "", "at the spindle", kinds{study.HandAtSpindle}}, {"polish by hand", "", "in the lathe", kinds{study.HandAtSpindle}},
		{"gauge by hand", "", "on the machine", kinds{study.HandAtSpindle}},
		{"weld and grind flush", "", "", kinds{study.Welding, study.Grinding}},
		// Things and work that is not done here.
		{"fit the ground pin", "", "", nil}, {"check the press fit", "", "", nil}, {"press fit already there", "", "", nil}, {"measure the heat-treated plate", "", "", nil},
		{"heat treat lot 7", "", "", nil}, {"bore the weld", "", "", nil}, {"skim the welded area", "", "", nil}, {"weld metal skimmed flush", "", "", nil}, {"skim after welding", "", "", nil},
		{"survey before grinding", "", "", nil}, {"drill on the drill press", "", "", nil}, {"hold with hot glue", "", "", nil}, {"no solvent, water only", "", "", nil},
		{"wipe dry, no chlorinated solvent", "", "", nil}, {"measure the welder's handle", "", "", nil}, {"tack cloth over it", "", "", nil}, {"adhesive-held pin: survey", "", "", nil},
		{"adhesive tape under the shim", "", "", nil}, {"file the papers", "", "", nil}, {"deburr by hand", "", "on the bench", nil}, {"gauge by hand", "", "", nil}, {"etch and anodize", "", "sent out", nil},
		{"deburr in the program", "", "", nil}, {"check the spindle's warm-up", "", "", nil}, {"", "Gauge the bore at the spindle", "", kinds{study.HandAtSpindle}}, {"skim the ground face", "", "", nil}, {"set the pressure", "", "", nil},
		// The title is read only where nothing says what is done, and more carefully.
		{"bore", "weld the holes", "", nil},
		{"", "Weld the holes", "", kinds{study.Welding}}, {"", "Fill holes: TIG weld", "", kinds{study.Welding}}, {"", "Press the dowels in", "", kinds{study.Pressing}},
		{"", "Grind both faces", "", kinds{study.Grinding}}, {"", "Wipe with acetone", "", kinds{study.Solvent}}, {"", "Pull pins with the slide hammer", "", kinds{study.Pressing}},
		{"", "Deburr by hand", "at the spindle", kinds{study.HandAtSpindle}}, {"", "Holes welded and re-bored", "", kinds{study.Welding}},
		{"", "Ground pin in, press fit there", "", nil}, {"", "Heat-treated blank, face", "", nil}, {"", "Acetone bottle refilled", "", nil}, {"", "Welded plate: face", "", nil},
		{"", "Edge break .005", "", nil}, {"", "Torch height gauge", "", nil}, {"", "Adhesive cured, survey", "", nil},
	} {
		assert.Equal(t, c.want, study.WorkOf(c.does, c.title, c.where).Kinds, "does %q, title %q, where %q", c.does, c.title, c.where)
	}
}

func TestWorkPlace(t *testing.T) {
	for where, want := range map[string][2]bool{ // on the machine, on the bench
		"on the machine": {true, false}, "in the mill": {true, false}, "on the machine, not on the bench": {true, false}, "at the spindle": {true, false},
		"on the bench": {false, true}, "in the machine shop, on the bench": {false, true}, "off the machine": {false, true}, "next to the machine": {false, true},
		"on the floor away from the mill": {false, true}, "on the welding table": {false, true}, "": {false, false}, "outdoors": {false, false},
	} {
		w := study.WorkOf("weld", "", where)
		assert.Equal(t, want, [2]bool{w.OnMachine, w.OnBench}, where)
	}
	assert.True(t, study.WorkOf("weld on the machine", "", "").OnMachine)
	assert.False(t, study.WorkOf("weld, then mill flush", "", "").OnMachine)
	assert.True(t, study.WorkOf("", "Weld on the bench", "").OnBench)
}

func TestLeadOn(t *testing.T) {
	for text, want := range map[string]study.Lead{
		"": study.LeadNotSaid, "  ": study.LeadNotSaid,
		"on the fixture, next to the weld": study.LeadOnWork, "on the workpiece": study.LeadOnWork, "work lead on the plate beside the weld": study.LeadOnWork,
		"on the fixture, not on the table": study.LeadOnWork, "clamped to the part, away from the spindle": study.LeadOnWork,
		"on the table": study.LeadElsewhere, "on the vise": study.LeadElsewhere, "work lead on the column": study.LeadElsewhere, "on the table beside the fixture": study.LeadElsewhere,
		"far away": study.LeadElsewhere, "on the spindle": study.LeadElsewhere,
		"work lead close by": study.LeadUnclear, "somewhere": study.LeadUnclear, "not on the table": study.LeadUnclear,
	} {
		assert.Equal(t, want, study.LeadOn(text), text)
	}
}
