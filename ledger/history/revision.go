package history

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Revision is a commit that somebody named.
type Revision struct {
	Commit string    // its full object name
	On     time.Time // when it was committed, UTC
}

// Revision finds the commit that rev names in git's notation: a commit, a tag or
// a branch. What begins with a hyphen is no revision. Where the history of the
// clone was cut off, the error says so.
func (r *Repo) Revision(rev string) (Revision, error) {
	commit, err := r.commit(rev)
	if err != nil {
		return Revision{}, err
	}
	out, err := r.run("rev-list", "--max-count=1", "--timestamp", commit)
	if err != nil {
		return Revision{}, err
	}
	stamp, _, _ := strings.Cut(string(out), " ")
	sec, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return Revision{}, fmt.Errorf("git rev-list: unexpected answer %q", strings.TrimSpace(string(out)))
	}
	return Revision{commit, time.Unix(sec, 0).UTC()}, nil
}
