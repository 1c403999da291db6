package history

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// maxCommits is the number of commits of one window that are looked into.
const maxCommits = 500

// Commit is a commit with the files of the ledger that it wrote, moved or took
// away.
type Commit struct {
	ID      string    // in full
	On      time.Time // day of the author's clock, in the author's zone
	Subject string
	Paths   []string // relative to the ledger, in git's order
}

// Commits lists the commits that lead to HEAD, in no merge, which wrote files under
// prefix on a day after from and up to and with to, the oldest first. The day is
// the author's: a commit that was laid on another one later keeps it. It is empty
// for a repository without a commit.
//
// Errors: more than 500 commits in the window, and git's own messages.
func (r *Repo) Commits(from, to time.Time, prefix string) ([]Commit, error) {
	prefix, err := cleanPrefix(prefix)
	if err != nil {
		return nil, err
	}
	if out, err := r.run("rev-list", "--max-count=1", "--all"); err != nil || len(out) == 0 {
		return nil, err
	}
	out, err := r.run(under(prefix, "rev-list", "--no-merges", "--reverse", "--date=short", "--format=%ad %s", "HEAD")...)
	if err != nil {
		return nil, err
	}
	list, err := parseCommits(out, from, to)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	if len(list) > maxCommits {
		return nil, fmt.Errorf("git holds %d commits of these days; no more than %d are looked into", len(list), maxCommits)
	}
	var ids strings.Builder
	for _, c := range list {
		ids.WriteString(c.ID + "\n")
	}
	out, err = r.call(r.top, []byte(ids.String()), append(arguments(), under(prefix, "diff-tree", "--stdin", "-r", "--root", "-z", "--raw", "--no-renames", "--no-ext-diff")...))
	if err != nil {
		return nil, err
	}
	return list, parsePaths(out, prefix, list)
}

// parseCommits reads "commit ID", a line end, day, a space and the subject, for
// each commit, and keeps those of the window.
func parseCommits(out []byte, from, to time.Time) ([]Commit, error) {
	var list []Commit
	for len(out) > 0 {
		head, rest, ok := bytes.Cut(out, []byte("\n"))
		text, after, _ := bytes.Cut(rest, []byte("\n"))
		id, isCommit := strings.CutPrefix(string(head), "commit ")
		day, subject, _ := strings.Cut(string(text), " ")
		on, err := time.Parse(time.DateOnly, day)
		if !ok || !isCommit || err != nil {
			return nil, errors.New("git rev-list: unexpected answer")
		}
		out = after
		if on.After(from) && !on.After(to) {
			list = append(list, Commit{ID: id, On: on, Subject: strings.ToValidUTF8(subject, string(utf8.RuneError))})
		}
	}
	return list, nil
}

// parsePaths reads the answer of diff-tree: a name of a commit, then for each file
// its modes, which begin with a colon, and its path.
func parsePaths(out []byte, prefix string, list []Commit) error {
	byID := make(map[string]*Commit, len(list))
	for i := range list {
		byID[list[i].ID] = &list[i]
	}
	var now *Commit
	path := false
	for record := range records(out) {
		switch {
		case path:
			path = false
			local, in, err := relative(prefix, record)
			if err != nil {
				return err
			}
			if in {
				now.Paths = append(now.Paths, local)
			}
		case strings.HasPrefix(record, ":"):
			if path = true; now == nil {
				return errors.New("git diff-tree: unexpected answer")
			}
		default:
			if now = byID[strings.TrimSpace(record)]; now == nil {
				return errors.New("git diff-tree: unexpected answer")
			}
		}
	}
	return nil
}
