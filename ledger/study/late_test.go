package study

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
)

// told is a history that is told: commits by name, each with those before it, and
// the goal of CH-1 and whether IN-A is there.
type told struct {
	l       *ledger.Ledger
	commits []toldCommit
}

type toldCommit struct {
	name     string
	prev     []string
	day      int    // of January 2025; 0 for none
	goal     string // of CH-1; "" for no record, "?" for one that cannot be read
	readings bool
}

func (p *told) versions(rec *ledger.Record, same func(a, b toldCommit) bool, make func(toldCommit) *ledger.Record) []*ledger.Version {
	by := map[string]*ledger.Version{}
	var out []*ledger.Version
	for _, c := range p.commits {
		var prev []*ledger.Version
		unchanged := len(c.prev) > 0
		for _, name := range c.prev {
			if v := by[name]; v != nil {
				prev = append(prev, v)
			}
			i := slices.IndexFunc(p.commits, func(o toldCommit) bool { return o.name == name })
			unchanged = unchanged && same(p.commits[i], c)
		}
		if unchanged && len(prev) > 0 {
			by[c.name] = prev[0]
			continue
		}
		r := make(c)
		if r == nil && c.goal != "?" {
			continue
		}
		v := &ledger.Version{Commit: c.name, Uncommitted: c.name == "", Prev: prev, Record: func() *ledger.Record { return r }}
		if c.day > 0 {
			v.On = time.Date(2025, 1, c.day, 0, 0, 0, 0, time.UTC)
		}
		by[c.name] = v
		out = append(out, v)
	}
	return out
}

func (p *told) Versions(rec *ledger.Record) []*ledger.Version {
	if rec.ID() == "IN-A" {
		return p.versions(rec, func(a, b toldCommit) bool { return a.readings == b.readings }, func(c toldCommit) *ledger.Record {
			if c.readings {
				return rec
			}
			return nil
		})
	}
	return p.versions(rec, func(a, b toldCommit) bool { return a.goal == b.goal }, func(c toldCommit) *ledger.Record {
		if c.goal == "" || c.goal == "?" {
			return nil
		}
		recs, _ := p.l.Parse([]byte(toldChange(c.goal)), "CH-1.md")
		return recs[0]
	})
}

func (p *told) Follows(a, b *ledger.Version) bool {
	if a.Commit == b.Commit {
		return false
	}
	i := slices.IndexFunc(p.commits, func(c toldCommit) bool { return c.name == a.Commit })
	for _, name := range p.commits[i].prev {
		if name == b.Commit || p.Follows(&ledger.Version{Commit: name}, b) {
			return true
		}
	}
	return false
}

func toldChange(goal string) string {
	return fmt.Sprintf("+++\nkind = \"change\"\nid = \"CH-1\"\ntitle = \"t\"\nstate = \"done\"\ncharacteristic = \"P-1/W\"\nafter = \"IN-A\"\ngoal = %q\n+++\n", goal)
}

func TestGoalMovedThroughBranches(t *testing.T) {
	const day = 8 // of the readings
	for _, c := range []struct {
		name    string
		commits []toldCommit
		want    string
	}{
		{"never altered", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "one", true}}, ""},
		{"altered afterwards", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "one", true}, {"c", []string{"b"}, 10, "two", true}}, "3 one -> two by c"},
		{"altered afterwards, by clocks that lie", []toldCommit{{"a", nil, 0, "one", false}, {"b", []string{"a"}, 0, "one", true}, {"c", []string{"b"}, 0, "two", true}}, "3 one -> two by c"},
		{"altered twice afterwards", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "one", true}, {"c", []string{"b"}, 10, "two", true}, {"d", []string{"c"}, 11, "three", true}}, "3 one -> three by d"},
		{"altered with the readings, then again", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "two", true}, {"c", []string{"b"}, 10, "three", true}}, "3 two -> three by c"},
		{"altered with the readings, then put back", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "two", true}, {"c", []string{"b"}, 10, "one", true}}, ""},
		{"all in the first commit, altered later", []toldCommit{{"a", nil, 9, "one", true}, {"b", []string{"a"}, 10, "two", true}}, "3 one -> two by b"},
		{"altered and unreadable between", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "?", true}, {"c", []string{"b"}, 10, "two", true}}, "3 one -> two by c"},
		{"unreadable between, the same again", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "?", true}, {"c", []string{"b"}, 10, "one", true}}, ""},
		{"altered on a branch before the readings, merged later",
			[]toldCommit{{"a", nil, 1, "one", false}, {"x", []string{"a"}, 3, "two", false}, {"b", []string{"a"}, 9, "one", true}, {"m", []string{"b", "x"}, 10, "two", true}}, ""},
		{"altered on a branch, nobody knows when",
			[]toldCommit{{"a", nil, 0, "one", false}, {"x", []string{"a"}, 0, "two", false}, {"b", []string{"a"}, 0, "one", true}, {"m", []string{"b", "x"}, 0, "two", true}}, ""},
		{"altered on a branch on a later day",
			[]toldCommit{{"a", nil, 1, "one", false}, {"x", []string{"a"}, 9, "two", false}, {"b", []string{"a"}, 9, "one", true}, {"m", []string{"b", "x"}, 10, "two", true}}, "1 one -> two by x"},
		{"altered on a branch that has the readings",
			[]toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "one", true}, {"x", []string{"b"}, 10, "two", true}, {"c", []string{"b"}, 11, "one", true}, {"m", []string{"c", "x"}, 12, "two", true}}, "3 one -> two by x"},
		{"altered in the merge itself",
			[]toldCommit{{"a", nil, 1, "one", false}, {"x", []string{"a"}, 3, "two", false}, {"b", []string{"a"}, 9, "one", true}, {"m", []string{"b", "x"}, 10, "three", true}}, "3 one -> three by m"},
		{"altered on both sides alike, in time on one",
			[]toldCommit{{"a", nil, 1, "one", false}, {"x", []string{"a"}, 3, "two", false}, {"b", []string{"a"}, 9, "one", true}, {"c", []string{"b"}, 10, "two", true}, {"m", []string{"c", "x"}, 11, "two", true}}, ""},
		{"altered after the day asked for", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 9, "one", true}, {"c", []string{"b"}, 21, "two", true}}, ""},
		{"readings not committed, goal altered with them", []toldCommit{{"a", nil, 1, "one", false}, {"", []string{"a"}, 0, "two", true}}, "2 one -> two by "},
		{"readings not committed, goal altered before", []toldCommit{{"a", nil, 1, "one", false}, {"b", []string{"a"}, 7, "two", false}, {"", []string{"b"}, 0, "two", true}}, ""},
		{"nothing committed", []toldCommit{{"", nil, 0, "one", true}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			last := c.commits[len(c.commits)-1]
			l, err := ledger.Load(source.Map(map[string]string{
				ledger.ConfigName: "",
				"CH-1.md":         toldChange(last.goal),
				"IN-A.md":         fmt.Sprintf("+++\nkind = \"inspection\"\nid = \"IN-A\"\ntitle = \"t\"\nunits = \"in\"\non = 2025-01-%02d\nreadings = \"1 2\"\n+++\n", day),
			}))
			require.NoError(t, err)
			s := New(l, time.Date(2025, 1, 20, 0, 0, 0, 0, time.UTC))
			assert.Empty(t, s.GoalMoved(l.Record("CH-1")), "without history")
			s.Past = &told{l, c.commits}
			got := ""
			for _, m := range s.GoalMoved(l.Record("CH-1")) {
				got += fmt.Sprintf("%d %s -> %s by %s", m.Lateness, m.Was, m.Is, m.By.Commit)
			}
			assert.Equal(t, c.want, got)
		})
	}
}
