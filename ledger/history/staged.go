package history

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tenths/ledger/source"
)

// Staged returns what the index changes against HEAD under prefix: paths that
// were added or changed, and paths that were deleted, both sorted and relative
// to the ledger. A renamed file is one deleted and one added. Before the first
// commit everything is added. Files added with intent-to-add are not staged.
//
// The comparison is with HEAD, also while a commit is amended: then the changes
// of the commit that is replaced are not listed again.
//
// Errors: *UnmergedError, and git's own messages.
func (r *Repo) Staged(prefix string) (changed, deleted []string, err error) {
	prefix, err = cleanPrefix(prefix)
	if err != nil {
		return nil, nil, err
	}
	changes, err := r.diff(prefix, "--ita-invisible-in-index")
	if err != nil {
		return nil, nil, err
	}
	var unmerged []string
	for _, c := range changes {
		switch {
		case source.Hidden(c.path):
		case c.status == 'U':
			unmerged = append(unmerged, c.path)
		case c.status == 'D':
			deleted = append(deleted, c.path)
		default:
			changed = append(changed, c.path)
		}
	}
	if len(unmerged) > 0 {
		slices.Sort(unmerged)
		return nil, nil, &UnmergedError{Paths: slices.Compact(unmerged)}
	}
	slices.Sort(changed)
	slices.Sort(deleted)
	return changed, deleted, nil
}

type change struct {
	status byte // A, M, T, D, U
	path   string
}

// diff compares index and HEAD. diff --cached works before the first commit,
// which diff-index HEAD does not. The switches undo the settings that would
// change or shorten a raw listing.
func (r *Repo) diff(prefix, intentToAdd string) ([]change, error) {
	out, err := r.run(under(prefix, "diff", "--cached", "--raw", "-z", "--no-renames", "--no-ext-diff", "--no-textconv",
		"--no-relative", "--no-color", "--ignore-submodules=none", intentToAdd)...)
	if err != nil {
		return nil, err
	}
	return parseChanges(out, prefix)
}

// parseChanges reads "diff --raw -z": ":mode mode object object status", NUL,
// path, NUL.
func parseChanges(out []byte, prefix string) ([]change, error) {
	var changes []change
	head := ""
	for record := range records(out) {
		if head == "" {
			head = record
			continue
		}
		fields := strings.Fields(head)
		if len(fields) != 5 || head[0] != ':' {
			return nil, fmt.Errorf("git diff: unexpected answer %q", head)
		}
		local, in, err := relative(prefix, record)
		if err != nil {
			return nil, err
		}
		if in {
			changes = append(changes, change{status: fields[4][0], path: local})
		}
		head = ""
	}
	if head != "" {
		return nil, errors.New("git diff: the answer ends early")
	}
	return changes, nil
}
