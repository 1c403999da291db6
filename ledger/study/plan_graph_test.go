package study_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

var june = time.Date(2025, 6, 1, 0, 0, 0, 0, time.UTC)

const graphPart = `kind = "part"
id = "P"
title = "plate"
coating = "clear anodize"
masked = ["H1"]
[[feature]]
id = "FACE"
type = "face"
[[feature]]
id = "H1"
size = "0.1875 +0.0005/-0"
[[feature]]
id = "H2"
at = ["2.4000 ±0.0005", 0]
size = "0.1875 +0.0005/-0"
[[feature]]
id = "OUT"
type = "outline"
[[characteristic]]
id = "HOLE"
type = "size"
limits = "0.1875 +0.0005/-0"
features = ["H1", "H2"]
[[characteristic]]
id = "WIDTH"
type = "size"
critical = true
limits = "1.5000 ±0.0010"
features = ["OUT"]
[[characteristic]]
id = "PITCH"
type = "position"
limits = "0..0.0010"
datum = ["H1"]
features = ["H2"]
`

// graphOf reads the operations of a plan for the part above.
func graphOf(t interface {
	Helper()
	Fatalf(string, ...any)
}, operations string) *study.PlanGraph {
	t.Helper()
	l, err := ledger.Load(source.Map(map[string]string{
		"tenths.toml": "units = \"in\"\n", "p.md": "+++\n" + graphPart + "+++\n",
		"pl.md": "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"plan\"\npart = \"P\"\n" + operations + "\n+++\n",
	}))
	if err != nil {
		t.Fatalf("%v", err)
	}
	rec := l.Record("PL")
	if rec == nil {
		t.Fatalf("the plan is not read:\n%s", operations)
	}
	return study.New(l, june).PlanGraph(rec)
}

// ops writes operations: "30 makes H1,H2; checks HOLE".
func ops(list ...string) string {
	var b strings.Builder
	for _, o := range list {
		id, rest, _ := strings.Cut(o, " ")
		fmt.Fprintf(&b, "[[operation]]\nid = %q\n", id)
		for _, part := range strings.Split(rest, "; ") {
			key, value, _ := strings.Cut(part, " ")
			switch key {
			case "":
			case "title", "surface", "cut", "does":
				fmt.Fprintf(&b, "%s = %q\n", key, value)
			case "pieces":
				fmt.Fprintf(&b, "pieces = \"%s parts\"\n", value)
			default:
				fmt.Fprintf(&b, "%s = [\"%s\"]\n", key, strings.ReplaceAll(value, ",", "\", \""))
			}
		}
	}
	return b.String()
}

func missing(g *study.PlanGraph) []string {
	var out []string
	for _, m := range g.MissingChecks() {
		what := m.Of
		if m.Char != nil {
			what = m.Char.ID.S
		} else {
			what += " of " + m.Feature.ID.S
		}
		at := func(i int) string {
			if i < 0 {
				return "-"
			}
			return g.Ops[i].ID.S
		}
		out = append(out, fmt.Sprintf("%s %s made %s checked %s by %s", what, m.How, at(m.Made), at(m.Checked), at(m.By)))
	}
	return out
}

// TestMissingChecks: what is a missing check is common practice, that what decides is
// measured as soon as it is made, and locating holes before they locate.
func TestMissingChecks(t *testing.T) {
	holes, outline := "30 makes H1,H2; checks H1,H2,PITCH", "50 locates_on H1,H2; makes OUT; checks WIDTH"
	for _, c := range []struct {
		name string
		ops  []string
		want []string
	}{
		{"all in time", []string{holes, outline}, nil},
		{"nothing made, nothing asked", []string{"10 title saw"}, nil},
		{"never", []string{"30 makes H1,H2", "50 makes OUT"}, []string{
			"HOLE never checked made 30 checked - by -", "PITCH never checked made 30 checked - by -", "WIDTH never checked made 50 checked - by -"}},
		{"a size is checked by the names of all its features", []string{"30 makes H1,H2; checks H1,PITCH", outline}, []string{"HOLE never checked made 30 checked - by -"}},
		{"a check before the making does not count", []string{"20 checks HOLE", "30 makes H1,H2; checks PITCH", outline}, []string{"HOLE never checked made 30 checked - by -"}},
		{"after they have located", []string{"30 makes H1,H2; checks PITCH", outline, "60 checks HOLE"}, []string{"HOLE checked late made 30 checked 60 by 50"}},
		{"critical, after more work", []string{holes, "50 locates_on H1,H2; makes OUT", "60 makes X", "70 checks WIDTH"}, []string{"WIDTH checked late made 50 checked 70 by 60"}},
		{"critical, but nothing was spent in between", []string{holes, "50 locates_on H1,H2; makes OUT", "60 title wash", "70 checks WIDTH"}, nil},
		{"altered behind the check", []string{holes, outline, "80 alters OUT"}, []string{"WIDTH changed after its last check made 50 checked 50 by 80"}},
		{"altered and checked again", []string{holes, outline, "80 alters OUT; checks WIDTH"}, nil},
		{"edges broken: no change of a size", []string{holes, outline, "80 title Break the edges; alters OUT"}, nil},
		{"coated, H1 kept bare", []string{holes, outline, "90 title anodize"}, []string{
			"HOLE changed after its last check made 30 checked 30 by 90", "PITCH changed after its last check made 30 checked 30 by 90", "WIDTH changed after its last check made 50 checked 50 by 90"}},
		{"built over before the check", []string{holes, "50 locates_on H1,H2; makes OUT; covers OUT", "60 checks WIDTH"}, []string{"WIDTH checked when it cannot be reached any more made 50 checked 60 by 50"}},
	} {
		assert.Equal(t, c.want, missing(graphOf(t, ops(c.ops...))), c.name)
	}
}

// TestToleranceWithoutCharacteristic: limits of a feature that no characteristic stands
// for are asked for by themselves.
func TestToleranceWithoutCharacteristic(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"p.md":  "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = \"in\"\n[[feature]]\nid = \"A\"\nsize = \"1.0000 ±0.0010\"\nat = [\"1.0 ±0.1\", 0]\nposition = \"0.002\"\n[[feature]]\nid = \"B\"\nsize = \"1.0000\"\n[[characteristic]]\nid = \"EDGE\"\ntype = \"size\"\nlimits = \"2.0 ±0.1\"\nfeatures = [\"A\"]\n",
		"pl.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n" + ops("10 makes A,B; checks EDGE"),
	})
	g := study.New(l, june).PlanGraph(l.Record("PL"))
	assert.Equal(t, []string{"size of A never checked made 10 checked - by -", "position of A never checked made 10 checked - by -", "place of A never checked made 10 checked - by -"}, missing(g),
		"a distance of 2 in is not the size of A, and B has no limits")
}

// TestMoreChecksNeverMiss: adding a check to any plan never adds to what is missing.
func TestMoreChecksNeverMiss(t *testing.T) {
	names := []string{"FACE", "H1", "H2", "OUT", "X"}
	can := append([]string{"HOLE", "WIDTH", "PITCH"}, names...)
	rapid.Check(t, func(t *rapid.T) {
		var list []string
		checks := make([][]string, rapid.IntRange(1, 6).Draw(t, "operations"))
		for i := range checks {
			o := fmt.Sprintf("%d", i)
			for _, key := range []string{"makes", "locates_on", "alters", "covers"} {
				if some := rapid.SliceOfNDistinct(rapid.SampledFrom(names), 0, 2, rapid.ID).Draw(t, key); len(some) > 0 && (key == "makes" || rapid.IntRange(0, 2).Draw(t, "rare") == 0) {
					o += "; " + key + " " + strings.Join(some, ",")
				}
			}
			if rapid.IntRange(0, 5).Draw(t, "coat") == 0 {
				o += "; title anodize"
			}
			list = append(list, strings.Replace(o, ";", "", 1))
			checks[i] = rapid.SliceOfNDistinct(rapid.SampledFrom(can), 0, 2, rapid.ID).Draw(t, "checks")
		}
		plan := func() []string {
			out := slices.Clone(list)
			for i, c := range checks {
				if len(c) > 0 {
					out[i] += map[bool]string{true: "; ", false: " "}[strings.Contains(out[i], " ")] + "checks " + strings.Join(c, ",")
				}
			}
			var what []string
			for _, m := range missing(graphOf(t, ops(out...))) {
				for _, how := range []study.MissingHow{study.NoCheck, study.CheckedCovered, study.CheckedBefore, study.CheckedLate} {
					m, _, _ = strings.Cut(m, " "+string(how))
				}
				what = append(what, m)
			}
			return what
		}
		before := plan()
		at := rapid.IntRange(0, len(checks)-1).Draw(t, "at")
		checks[at] = append(checks[at], rapid.SampledFrom(can).Draw(t, "more"))
		for _, w := range plan() {
			if !slices.Contains(before, w) {
				t.Fatalf("%s is missing only with the check: %v", w, list)
			}
		}
	})
}

func TestReorder(t *testing.T) {
	moves := func(g *study.PlanGraph) (out []string) {
		for _, m := range g.Reorder().Moves {
			behind := "the front"
			if m.Behind != nil {
				behind = m.Behind.ID.S
			}
			out = append(out, m.Op.ID.S+" to "+behind)
		}
		return out
	}
	assert.Nil(t, graphOf(t, ops("30 makes H1", "40 locates_on H1")).Reorder())
	assert.Equal(t, []string{"65 to 70"}, moves(graphOf(t, ops("30 makes H1", "50 locates_on H1", "65 alters H1", "70 locates_on H1", "80 title wash"))))
	assert.Equal(t, []string{"30 to the front"}, moves(graphOf(t, ops("10 locates_on H1", "20 locates_on H1", "30 makes H1"))))
	g := graphOf(t, ops("10 locates_on H2; makes H1", "20 locates_on H1; makes H2"))
	assert.Nil(t, g.Reorder().Order)
	assert.Len(t, g.Reorder().Circle, 2)
}

func TestSetups(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"f.md": "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station.offset_set]]\non = 2025-01-02\n[[station.offset_set]]\non = 2025-05-02\n[[station.offset_set]]\non = 2026-01-02\n",
		"pl.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n[[operation]]\nid = \"1\"\n[[operation]]\nid = \"2\"\n[[operation]]\nid = \"3\"\nfixture = \"F/A\"\n" +
			"[[operation]]\nid = \"4\"\nfixture = \"F/A\"\n[[operation]]\nid = \"5\"\nfixture = \"F/A\"\nmachine = \"M\"\n",
	})
	var got []string
	for _, st := range study.New(l, june).PlanGraph(l.Record("PL")).Setups() {
		text := ""
		for _, op := range st.Ops {
			text += op.ID.S
		}
		got = append(got, text+" "+st.Found.String())
	}
	assert.Equal(t, []string{"1 ", "2 ", "34 2025-05-02", "5 2025-05-02"}, got)
}

// FuzzPlan reads odd plans: circles, empty ones, many operations. Nothing may fail,
// and an order that is offered must be legal.
func FuzzPlan(f *testing.F) {
	f.Add([]byte("ABCabcABCabc"))
	f.Add([]byte{})
	f.Add(slices.Repeat([]byte{7, 77, 177, 250}, 500))
	words := []string{"makes", "locates_on", "alters", "checks", "surface", "covers"}
	names := []string{"FACE", "H1", "H2", "OUT", "HOLE", "WIDTH", "nothing", ""}
	f.Fuzz(func(t *testing.T, data []byte) {
		var list []string
		for i := 0; i+3 < len(data) && len(list) < 500; i += 4 {
			o := fmt.Sprintf("%d", data[i]%40)
			sep := " "
			for k := range 3 {
				b := data[i+1+k]
				key := words[int(b)%len(words)]
				if strings.Contains(o, key) {
					continue
				}
				o += sep + key + " " + names[int(b/8)%len(names)]
				if key == "surface" {
					o += "; cut " + []string{"rough", "finish"}[b%2]
				}
				sep = "; "
			}
			list = append(list, o)
		}
		g := graphOf(t, ops(list...))
		g.MissingChecks()
		g.Constraints()
		g.ToolRuns(9)
		g.Setups()
		r := g.Reorder()
		if (r == nil) != (len(g.Faults) == 0) {
			t.Fatalf("an order is offered where there is no fault, or none where there is: %v", g.Faults)
		}
		if r == nil || r.Order == nil {
			return
		}
		var again []string
		for _, op := range r.Order {
			for i := range g.Ops {
				if &g.Ops[i] == op {
					again = append(again, list[i])
				}
			}
		}
		if other := graphOf(t, ops(again...)); len(other.Faults) > 0 {
			t.Fatalf("the order that is offered has faults: %v\n%s", other.Faults, strings.Join(again, "\n"))
		}
	})
}
