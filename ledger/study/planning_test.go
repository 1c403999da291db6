package study_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/study"
)

func TestPlanDay(t *testing.T) {
	for _, c := range []struct {
		keys, day string
		open, ok  bool
	}{
		{"state = \"released\"", "2025-06-01", true, true},
		{"", "2025-06-01", true, true},
		{"state = \"released\"\nuntil = 2025-06-01", "2025-06-01", true, true},
		{"state = \"released\"\nuntil = 2025-05-31", "2025-05-31", false, true},
		{"state = \"draft\"", "", false, false},
		{"state = \"superseded\"", "", false, false},
		{"state = \"obsolete\"\nuntil = 2030-01-01", "", false, false},
	} {
		l := loadTexts(t, map[string]string{"p.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n" + c.keys + "\n"})
		day, open, ok := study.New(l, on(t, "2025-06-01")).PlanDay(l.Record("PL"))
		assert.Equal(t, c.ok, ok, c.keys)
		assert.Equal(t, c.open, open, c.keys)
		if c.ok {
			assert.Equal(t, on(t, c.day), day, c.keys)
		}
	}
}

func TestLocatesOn(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n[[feature]]\nid = \"H1\"\n[[feature]]\nid = \"H2\"\n",
		"f.md": "kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\n[[station.locator]]\nid = \"P2\"\ntype = \"relieved pin\"\nengages = \"H2\"\n[[station.locator]]\nid = \"R1\"\ntype = \"rest\"\nengages = \"H1\"\n[[station.locator]]\nid = \"R2\"\ntype = \"rest\"\n" +
			"[[station]]\nid = \"B\"\npart = \"Q\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\n",
		"g.md": "kind = \"fixture\"\nid = \"G\"\ntitle = \"g\"\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station]]\nid = \"B\"\npart = \"P\"\n",
		"l.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n" +
			"[[operation]]\nid = \"1\"\nfixture = \"F/A\"\nlocates_on = [\"H2\"]\n[[operation]]\nid = \"2\"\nfixture = \"F/A\"\n[[operation]]\nid = \"3\"\nfixture = \"F\"\n" +
			"[[operation]]\nid = \"4\"\nfixture = \"F/B\"\n[[operation]]\nid = \"5\"\nfixture = \"G\"\n[[operation]]\nid = \"6\"\n[[operation]]\nid = \"7\"\nfixture = \"F/Z\"\n[[operation]]\nid = \"8\"\nfixture = \"F/A\"\nlocates_on = []\n",
	})
	s := study.New(l, on(t, "2025-06-01"))
	plan := l.Record("PL").Data.(*ledger.Plan)
	for i, want := range [][]string{{"H2"}, {"H1", "H2"}, {"H1", "H2"}, nil, nil, nil, nil, {"H1", "H2"}} {
		var got []string
		for _, on := range s.LocatesOn(plan, &plan.Operations[i]) {
			got = append(got, on.Feature)
			assert.Equal(t, i != 0, on.Locator != nil)
			assert.True(t, on.At.Set())
		}
		assert.Equal(t, want, got, plan.Operations[i].ID.S)
	}
}

// TestWearOf counts parts exactly; life is that of the day.
func TestWearOf(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"t.md": "kind = \"tool\"\nid = \"T\"\ntitle = \"t\"\nlife = 40\ncount = \"30 parts\"\n[[was]]\nuntil = 2025-04-07\nlife = \"90 parts\"\n",
		"u.md": "kind = \"tool\"\nid = \"U\"\ntitle = \"u\"\ncount = \"30 parts\"\n",
		"p.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n[[operation]]\nid = \"1\"\npieces = \"24 parts\"\n[[operation]]\nid = \"2\"\npieces = 10\n[[operation]]\nid = \"3\"\n",
	})
	ops := l.Record("PL").Data.(*ledger.Plan).Operations
	tool := l.Record("T").Data.(*ledger.Tool)
	for _, c := range []struct {
		op    int
		day   string
		over  string
		known bool
	}{{0, "2025-04-07", "14 parts", true}, {0, "2025-04-06", "-36 parts", true}, {1, "2025-04-07", "0 parts", true}, {2, "2025-04-07", "-9 parts", false}} {
		w, ok := study.WearOf(tool, ops[c.op].Pieces, on(t, c.day))
		require.True(t, ok)
		assert.Equal(t, c.over, w.Over.String())
		assert.Equal(t, c.known, w.PiecesKnown)
	}
	_, ok := study.WearOf(l.Record("U").Data.(*ledger.Tool), ops[0].Pieces, on(t, "2025-04-07"))
	assert.False(t, ok)
}

func TestStandingOfFixture(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"a.md": "kind = \"fixture\"\nid = \"A\"\ntitle = \"a\"\nstate = \"superseded\"\nsince = 2021-05-03\n",
		"b.md": "kind = \"fixture\"\nid = \"B\"\ntitle = \"b\"\nstate = \"superseded\"\nsince = 2021-05-03\n[[was]]\nuntil = 2021-05-03\nstate = \"in use\"\n",
		"c.md": "kind = \"fixture\"\nid = \"C\"\ntitle = \"c\"\nstate = \"withdrawn\"\n",
	})
	for _, c := range []struct {
		id, day, want string
		gone          bool
	}{
		{"A", "2021-05-02", "", false}, {"A", "2021-05-03", "superseded", true},
		{"B", "2021-05-02", "in use", false}, {"B", "2021-05-03", "superseded", true},
		{"C", "2000-01-01", "withdrawn", true},
	} {
		s := study.New(l, on(t, c.day))
		assert.Equal(t, c.want, study.StandingOfFixture(l.Record(c.id).Data.(*ledger.Fixture), on(t, c.day)), c.id+c.day)
		assert.Equal(t, c.gone, s.Gone(l.Record(c.id)), c.id+c.day)
	}
}

func TestMaking(t *testing.T) {
	for text, want := range map[string]bool{
		"drilled": true, "spot drilled, drilled": true, "Drill": true, "reamed, then drilled out": true, "gun-drilled": true, "spot drill 90 deg, drill .182": true,
		"": false, "bored": false, "drilled and reamed": false, "drilled, helical bore": false, "drilled and circle-milled": false, "drill, ream": false,
		"drilled, then jig ground": false, "set by indicator": false, "drilled, wire eroded": false, "drilled then interpolated": false,
	} {
		assert.Equal(t, want, study.OnlyDrilled(text), text)
	}
	assert.True(t, study.SetByIndicator("drilled", "sleeve set by indicator and glued"))
	assert.False(t, study.SetByIndicator("drilled", "press"))
	l := loadTexts(t, map[string]string{"p.md": "kind = \"part\"\nid = \"P\"\ntitle = \"p\"\n" +
		"[[feature]]\nid = \"a\"\nsize = \"0.1875 +0.0050/-0\"\n[[feature]]\nid = \"b\"\nsize = \"0.1875 +0.0051/-0\"\n[[feature]]\nid = \"c\"\nsize = \"0.1875\"\nposition = \"0.005\"\n" +
		"[[feature]]\nid = \"d\"\nposition = \"0.128 mm\"\n[[feature]]\nid = \"e\"\nsize = \"5 +0.127/-0 mm\"\n[[feature]]\nid = \"f\"\n"})
	for i, want := range []bool{false, true, false, true, false, false} {
		assert.Equal(t, want, study.CoarseHole(l.Record("P").Data.(*ledger.Part).Features[i]), "over 0.005 in, not at it: %d", i)
	}
}
