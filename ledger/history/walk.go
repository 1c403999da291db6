package history

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// commit is one commit of the walk.
type commit struct {
	name    string
	parents []int // places of the parents in the walk, each before the commit's own
	on      time.Time
}

// step is one file that a commit left with other contents than all its parents.
type step struct {
	commit int
	oid    string // "" if the file was taken away
	was    string // what it replaced; "" if the file is new
}

// walk is the history of HEAD: each commit after its parents, and the steps of
// each record's file in that order.
type walk struct {
	commits []commit
	steps   map[string][]step // by path in the ledger
	gone    map[int][]string  // files that a commit took away
}

// walk reads the history under prefix with two processes, however many files
// there are: rev-list for the order and the parents, diff-tree for what each
// commit changed. Of a merge only what differs from all its parents is its own.
// Where the repository has no commit yet the walk is empty.
func (r *Repo) walk(prefix string) (*walk, error) {
	w := &walk{steps: map[string][]step{}, gone: map[int][]string{}}
	if _, err := r.commit("HEAD"); err != nil {
		return w, r.ctx.Err()
	}
	list, err := r.run(under(prefix, "rev-list", "--topo-order", "--full-history", "--parents", "HEAD")...)
	if err != nil {
		return nil, err
	}
	names, err := w.order(string(list))
	if err != nil {
		return nil, err
	}
	if len(names) == 0 {
		return w, nil
	}
	args := under(prefix, "diff-tree", "--stdin", "-r", "--root", "-c", "--raw", "-z", "--no-renames", "--no-abbrev", "--no-ext-diff", "--no-textconv",
		"--ignore-submodules=none", "--always", "--format=%H %aI")
	out, err := r.call(r.top, []byte(strings.Join(names, "\n")+"\n"), append(arguments(), args...))
	if err != nil {
		return nil, err
	}
	if err := w.read(out, prefix); err != nil {
		return nil, err
	}
	w.distrust()
	return w, nil
}

// order reads "rev-list --parents", which lists the newest commit first, and
// gives the names of the commits from the oldest.
func (w *walk) order(list string) ([]string, error) {
	lines := strings.Split(strings.TrimSuffix(list, "\n"), "\n")
	slices.Reverse(lines)
	at := make(map[string]int, len(lines))
	var names []string
	for _, line := range lines {
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		c := commit{name: fields[0]}
		for _, p := range fields[1:] {
			i, ok := at[p]
			if !ok {
				return nil, fmt.Errorf("git rev-list: commit %.40q comes before its parent", c.name)
			}
			c.parents = append(c.parents, i)
		}
		at[c.name] = len(w.commits)
		w.commits = append(w.commits, c)
		names = append(names, c.name)
	}
	return names, nil
}

// read takes the answer of diff-tree: a line for each commit, then for each file
// ":modes objects status", or of a merge "::modes objects status" with one mode,
// object and letter for each parent; all ended by NUL.
func (w *walk) read(out []byte, prefix string) error {
	now, head := -1, ""
	for record := range records(out) {
		record, isPath := record, head != ""
		if !isPath {
			if record = strings.TrimLeft(record, "\n"); record == "" {
				continue
			}
			if strings.HasPrefix(record, ":") {
				head = record
				continue
			}
			name, day, _ := strings.Cut(record, " ")
			if now++; now >= len(w.commits) || w.commits[now].name != name {
				return fmt.Errorf("git diff-tree: unexpected answer %.80q", record)
			}
			w.commits[now].on, _ = time.Parse(time.RFC3339, day)
			continue
		}
		if now < 0 {
			return fmt.Errorf("git diff-tree: a file without a commit: %.80q", head)
		}
		s, ok := parseStep(head)
		if head = ""; !ok {
			return fmt.Errorf("git diff-tree: unexpected answer for %.80q", record)
		}
		local, in, err := relative(prefix, record)
		if err != nil {
			return err
		}
		if !in || !strings.HasSuffix(strings.ToLower(local), ".md") {
			continue
		}
		s.commit = now
		w.steps[local] = append(w.steps[local], s)
		if s.oid == "" {
			w.gone[now] = append(w.gone[now], local)
		}
	}
	if head != "" || now != len(w.commits)-1 {
		return fmt.Errorf("git diff-tree: the answer ends early")
	}
	return nil
}

// parseStep reads what stands before a path. A link or a submodule counts as no
// file.
func parseStep(head string) (step, bool) {
	parents := len(head) - len(strings.TrimLeft(head, ":"))
	fields := strings.Fields(head[parents:])
	if len(fields) != 2*(parents+1)+1 {
		return step{}, false
	}
	modes, objects := fields[:parents+1], fields[parents+1:2*(parents+1)]
	var s step
	if strings.HasPrefix(modes[parents], "100") {
		s.oid = objects[parents]
	}
	for i := range parents {
		if strings.HasPrefix(modes[i], "100") {
			s.was = objects[i]
		}
	}
	return s, true
}

// distrust takes the day from a commit that says it was written before one of
// its ancestors, and from that ancestor: one of the two clocks was wrong, and
// nobody can tell which. A merge or a commit that was moved keeps its author's
// day, so hours that are out of order within a day are no matter.
func (w *walk) distrust() {
	newest := make([]time.Time, len(w.commits)) // of a commit and its ancestors
	bad := make([]bool, len(w.commits))
	for i, c := range w.commits {
		for _, p := range c.parents {
			if newest[p].After(newest[i]) {
				newest[i] = newest[p]
			}
		}
		if d := day(c.on); d.After(newest[i]) {
			newest[i] = d
		} else {
			bad[i] = d.Before(newest[i])
		}
	}
	oldest := make([]time.Time, len(w.commits)) // of a commit and its descendants
	for i := len(w.commits) - 1; i >= 0; i-- {
		d := day(w.commits[i].on)
		if !oldest[i].IsZero() && d.After(oldest[i]) {
			bad[i] = true
		} else {
			oldest[i] = d
		}
		for _, p := range w.commits[i].parents {
			if oldest[p].IsZero() || oldest[i].Before(oldest[p]) {
				oldest[p] = oldest[i]
			}
		}
	}
	for i := range w.commits {
		if bad[i] {
			w.commits[i].on = time.Time{}
		}
	}
}

// day is the day of the calendar on which a clock showed the time, as the days of
// a ledger are kept.
func day(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// follows reports whether commit a has commit b among its ancestors.
func (w *walk) follows(a, b int) bool {
	if a <= b {
		return false
	}
	seen := make([]bool, a-b)
	open := []int{a}
	for len(open) > 0 {
		c := open[len(open)-1]
		open = open[:len(open)-1]
		for _, p := range w.commits[c].parents {
			if p == b {
				return true
			}
			if p > b && !seen[p-b] {
				seen[p-b] = true
				open = append(open, p)
			}
		}
	}
	return false
}
