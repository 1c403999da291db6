package study_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// TestToolRuns counts a batch of 24 by hand. T12 has cut 12 of 40: the 40 takes 24 of the
// 28 that are left, the 50 changes before its part 5 and brings the new one to 20, the
// 60 changes before its part 21 and ends at 4.
func TestToolRuns(t *testing.T) {
	l := loadTexts(t, map[string]string{
		"t12.md": "kind = \"tool\"\nid = \"T12\"\ntitle = \"finisher\"\nunits = \"in\"\nrole = \"finishing\"\nlife = \"40 parts\"\ncount = \"12 parts\"\nwear_per_part = \"0.04 tenths\"\n",
		"t13.md": "kind = \"tool\"\nid = \"T13\"\ntitle = \"rougher\"\nrole = \"roughing\"\n",
		"t14.md": "kind = \"tool\"\nid = \"T14\"\ntitle = \"short\"\nlife = \"10 parts\"\ncount = \"10 parts\"\n",
		"pl.md": "kind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n" +
			ops("40 tools T13,T12; cut rough; surface OUT", "50 tools T12; cut finish; surface OUT; pieces 24", "60 tools T12,T14"),
	})
	g := study.New(l, june).PlanGraph(l.Record("PL"))
	runs := g.ToolRuns(0)
	var got []string
	for _, r := range runs {
		text := fmt.Sprintf("%s batch %d, %d of %d, %d changes, end %d, most %d:", r.Rec.ID(), r.Pieces, r.Count, r.Life, r.N, r.End, r.Most)
		for _, c := range r.Changes {
			text += fmt.Sprintf(" %s/%d", c.Op.ID.S, c.Before)
		}
		got = append(got, text)
	}
	assert.Equal(t, []string{
		"T13 batch 24, -1 of -1, 0 changes, end -1, most -1:",
		"T12 batch 24, 12 of 40, 2 changes, end 4, most 40: 50/5 60/21",
		"T14 batch 24, 10 of 10, 3 changes, end 4, most 10: 60/1 60/11 60/21",
	}, got)
	assert.Equal(t, "1.6 tenths", runs[1].Edge.String(), "40 parts of 0.04 tenths")
	rough := g.RoughingFinishers()
	assert.Len(t, rough, 1)
	assert.Equal(t, "T12", rough[0].Rec.ID())
	assert.Equal(t, "50", rough[0].Finishes.ID.S)
}

// TestChangesOneByOne counts every part singly and compares.
func TestChangesOneByOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		life, count, pieces, uses := rapid.IntRange(1, 30).Draw(t, "life"), rapid.IntRange(0, 40).Draw(t, "count"), rapid.IntRange(1, 80).Draw(t, "pieces"), rapid.IntRange(1, 3).Draw(t, "uses")
		var list []string
		for k := range uses {
			list = append(list, fmt.Sprintf("%d tools T", k))
		}
		g := toolGraph(t, fmt.Sprintf("life = \"%d parts\"\ncount = \"%d parts\"\n", life, count), ops(list...))
		r := g.ToolRuns(pieces)[0]
		cut, most, changes := count, count, []string{}
		for k := range uses {
			for part := 1; part <= pieces; part++ {
				if cut >= life {
					changes, cut = append(changes, fmt.Sprintf("%d/%d", k, part)), 0
				}
				cut++
				most = max(most, cut)
			}
		}
		var got []string
		for _, c := range r.Changes {
			got = append(got, c.Op.ID.S+"/"+fmt.Sprint(c.Before))
		}
		if r.N != len(changes) || r.End != cut || r.Most != most || fmt.Sprint(got) != fmt.Sprint(changes[:min(len(changes), 20)]) {
			t.Fatalf("%d changes %v, end %d, most %d; one by one %d %v, %d, %d", r.N, got, r.End, r.Most, len(changes), changes, cut, most)
		}
	})
}

func toolGraph(t *rapid.T, tool, operations string) *study.PlanGraph {
	l, err := ledger.Load(source.Map(map[string]string{
		"tenths.toml": "units = \"in\"\n", "t.md": "+++\nkind = \"tool\"\nid = \"T\"\ntitle = \"t\"\n" + tool + "+++\n",
		"pl.md": "+++\nkind = \"plan\"\nid = \"PL\"\ntitle = \"p\"\npart = \"P\"\n" + operations + "+++\n",
	}))
	if err != nil {
		t.Fatal(err)
	}
	return study.New(l, june).PlanGraph(l.Record("PL"))
}
