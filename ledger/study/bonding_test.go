package study_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tenths/ledger"
	"tenths/ledger/study"
)

func text(s string) ledger.Text { return ledger.Text{S: s} }

func TestHoldingOf(t *testing.T) {
	for _, c := range []struct {
		heldBy, adhesive string
		want             study.Holding
	}{
		{"press", "", study.Holding{Press: true, Said: true}},
		{"press fit, retaining compound", "", study.Holding{Press: true, Adhesive: true, Said: true}},
		{"shrunk in", "", study.Holding{Shrink: true, Said: true}},
		{"glued", "", study.Holding{Adhesive: true, Said: true}},
		{"adhesive", "", study.Holding{Adhesive: true, Said: true}},
		{"", "anaerobic", study.Holding{Adhesive: true, Said: true}},
		{"press", "none", study.Holding{Press: true, Said: true}},
		{"press, no adhesive", "", study.Holding{Press: true, Said: true}},
		{"set screw", "", study.Holding{Screw: true, Said: true}},
		{"press in a bushing", "", study.Holding{Press: true, Sleeve: true, Said: true}},
		{"magnet", "", study.Holding{Said: true}},
		{"retaining ring", "", study.Holding{Said: true}},
		{"retaining compound", "", study.Holding{Adhesive: true, Said: true}},
		{" ", "", study.Holding{}},
	} {
		assert.Equal(t, c.want, study.HoldingOf(ledger.Locator{HeldBy: text(c.heldBy), Adhesive: text(c.adhesive)}), "%q, %q", c.heldBy, c.adhesive)
	}
}

func TestAdhesiveOf(t *testing.T) {
	for _, c := range []struct {
		heldBy, adhesive string
		want             study.AdhesiveKind
	}{
		{"adhesive", "", study.SomeAdhesive}, {"adhesive", "instant", study.InstantAdhesive}, {"", "cyanoacrylate", study.InstantAdhesive},
		{"super glue", "", study.InstantAdhesive}, {"instant adhesive", "", study.InstantAdhesive}, {"adhesive", "not instant, anaerobic", study.Anaerobic},
		{"adhesive", "anaerobic", study.Anaerobic}, {"retaining compound", "", study.Anaerobic}, {"", "two-part epoxy", study.Epoxy}, {"", "acrylic", study.SomeAdhesive},
		{"press", "", study.NoAdhesive}, {"press", "none", study.NoAdhesive}, {"retaining ring", "", study.NoAdhesive}, {"instant release clamp", "", study.NoAdhesive},
	} {
		assert.Equal(t, c.want, study.AdhesiveOf(ledger.Locator{HeldBy: text(c.heldBy), Adhesive: text(c.adhesive)}), "%q, %q", c.heldBy, c.adhesive)
	}
}

func TestMetalOf(t *testing.T) {
	for material, want := range map[string]study.Metal{
		"4140 pre-hard": study.Steel, "C45 steel plate": study.Steel, "O1": study.Steel, "303": study.Steel,
		"6061-T6": study.Aluminium, "aluminium soft jaws": study.Aluminium, "Aluminum 7075": study.Aluminium, "MIC-6": study.Aluminium,
		"aluminium with steel inserts": study.OtherMetal, "cast iron": study.OtherMetal, "": study.OtherMetal, "CuZn39Pb3": study.OtherMetal,
	} {
		assert.Equal(t, want, study.MetalOf(material), material)
	}
}

// TestBadlyMet: plain instant adhesive keeps about half its strength at 80 °C and
// is poor in water (a maker's resistance page; common practice).
func TestBadlyMet(t *testing.T) {
	for _, c := range []struct {
		pin  string
		want string
	}{
		{`adhesive = "instant"|exposed_to = ["coolant"]`, "water or coolant"},
		{`adhesive = "instant"|exposed_to = ["wash water", "coolant", "hot air"]`, "water or coolant, heat"},
		{`adhesive = "instant"|exposed_to = ["acetone"]`, "solvent"},
		{`adhesive = "instant"|exposed_to = ["no coolant", "solvent-free cleaner", "chips"]`, ""},
		{`adhesive = "instant"`, ""},
		{`adhesive = "anaerobic"|exposed_to = ["coolant", "heat"]`, ""},
		{`held_by = "press"|exposed_to = ["coolant"]`, ""},
		{"adhesive = \"instant\"|exposed_to = [\"coolant\"]\n[[station.locator.was]]\nuntil = 2025-12-01\nheld_by = \"press\"", ""},
	} {
		s, _, st := onlyStation(t, fitLedger("in", "", "", "", strings.ReplaceAll(c.pin, "|", "\n")))
		var got []string
		for _, m := range s.BadlyMet(&st.Locators[0]) {
			got = append(got, m.What)
			assert.True(t, m.At.Set())
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), c.pin)
	}
}

// TestEarlyWork: what comes within the cure time, as far as a record of days can
// tell: 8 h on the day of the gluing, 24 h for each day after it (a choice of
// this tool).
func TestEarlyWork(t *testing.T) {
	type step struct{ does, on, day string }
	glue := step{"adhesive", "F/A", "2025-07-14"}
	for _, c := range []struct {
		name  string
		cure  string
		state string // further keys of the locator
		steps []step
		want  string // steps found, with what they are and the elapsed time
	}{
		{"same day, below the gluing", "24 h", "", []step{glue, {"skim", "F/A", "2025-07-14"}}, "2 machining 8 h"},
		{"same day, above it", "24 h", "", []step{{"bore", "F/A", "2025-07-14"}, glue}, ""},
		{"same day, cured in a shift", "8 h", "", []step{glue, {"skim", "F/A", "2025-07-14"}}, ""},
		{"just not cured in a shift", "481 min", "", []step{glue, {"skim", "F/A", "2025-07-14"}}, "2 machining 8 h"},
		{"instant", "10 min", "", []step{glue, {"skim", "F/A", "2025-07-14"}}, ""},
		{"next day, 24 h", "24 h", "", []step{glue, {"skim", "F/A", "2025-07-15"}}, ""},
		{"next day, 25 h", "25 h", "", []step{glue, {"skim", "F/A", "2025-07-15"}}, "2 machining 24 h"},
		{"the longer end counts", "12..72 h", "", []step{glue, {"weld", "F", "2025-07-16"}}, "2 welding 48 h"},
		{"all kinds", "7 days", "", []step{glue, {"torch", "F/A", "2025-07-15"}, {"solvent", "F/A", "2025-07-15"}, {"grind", "F/A/P1", "2025-07-15"}, {"survey", "F/A", "2025-07-15"}, {"press", "F/A", "2025-07-15"}}, "2 heat 24 h, 3 solvent 24 h, 4 machining 24 h"},
		{"another locator: heat only", "7 days", "", []step{glue, {"skim", "F/A/P2", "2025-07-15"}, {"weld", "F/A/P2", "2025-07-15"}, {"weld", "F/B", "2025-07-15"}, {"weld", "P", "2025-07-15"}}, "3 welding 24 h"},
		{"glued again", "24 h", "", []step{glue, {"adhesive", "F/A/P1", "2025-07-20"}, {"skim", "F/A", "2025-07-14"}, {"skim", "F/A", "2025-07-20"}}, "4 machining 8 h"},
		{"no day", "7 days", "", []step{glue, {"skim", "F/A", ""}}, ""},
		{"a month only", "7 days", "", []step{glue, {"skim", "F/A", "2025-07"}}, ""},
		{"not yet", "700 days", "", []step{glue, {"skim", "F/A", "2025-11-26"}}, ""},
		{"no cure time", "", "", []step{glue, {"skim", "F/A", "2025-07-14"}}, ""},
		{"no gluing recorded, no state", "7 days", "", []step{{"skim", "F/A", "2025-07-15"}}, ""},
		{"by the state: the same day is the day of boring", "7 days", "[[station.locator.was]]\nuntil = 2025-07-14\nheld_by = \"press\"", []step{{"bore", "F/A", "2025-07-14"}, {"skim", "F/A", "2025-07-15"}}, "2 machining 24 h"},
		{"a gluing of an earlier state does not count", "7 days", "[[station.locator.was]]\nuntil = 2025-08-01\nheld_by = \"adhesive\"", []step{glue, {"skim", "F/A", "2025-07-15"}}, ""},
		{"glued before its change was done", "7 days", "[[station.locator.was]]\nuntil = 2025-07-16\nheld_by = \"press\"", []step{glue, {"skim", "F/A", "2025-07-15"}}, "2 machining 24 h"},
	} {
		pin := "adhesive = \"anaerobic\""
		if c.cure != "" {
			pin += fmt.Sprintf("\ncure = %q", c.cure)
		}
		texts := fitLedger("in", "", "", "", pin+"\n"+c.state+"\n[[station.locator]]\nid = \"P2\"\ntype = \"rest\"\n[[station]]\nid = \"B\"")
		ch := "kind = \"change\"\nid = \"C\"\ntitle = \"c\"\nstate = \"done\"\ndone = 2025-07-16\n"
		for _, st := range c.steps {
			ch += fmt.Sprintf("[[step]]\ndoes = %q\non = %q\n", st.does, st.on)
			switch len(st.day) {
			case 10:
				ch += "day = " + st.day + "\n"
			case 7:
				ch += fmt.Sprintf("day = %q\n", st.day)
			}
		}
		texts["c.md"] = ch
		s, _, _ := onlyStation(t, texts)
		var got []string
		for _, e := range s.EarlyWork() {
			assert.Len(t, e.Joints, 1, c.name)
			got = append(got, fmt.Sprintf("%d %s %s", e.N, e.What, e.Joints[0].Elapsed))
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), c.name)
	}
}

func TestMachines(t *testing.T) {
	for does, want := range map[string]bool{
		"bore": true, "skim": true, "re-bore both holes": true, "helical bore": true, "finish ream": true, "face the seat": true, "holes drilled": true, "press in, then skim": true, "turning": true,
		"gauge the bore": false, "measure": false, "survey": false, "photograph the bored holes": false, "press": false, "adhesive": false, "clean the drilled hole": false, "measure on the machine": false, "": false,
		"set before boring": false, "without skimming": false,
	} {
		assert.Equal(t, want, study.Machines(does), does)
	}
}
