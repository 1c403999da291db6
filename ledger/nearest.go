package ledger

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// longestName bounds the names that are compared letter by letter.
const longestName = 80

// Nearest gives the name that is closest to what was written, in letters that
// must be changed, added or left out, whatever their case; "" if none is nearer
// than within, or if nothing of what was written would stay. Of equal ones it is
// the first.
func Nearest(written string, among []string, within int) string {
	if len(written) > longestName {
		return ""
	}
	best := ""
	for _, n := range among {
		if len(n) > longestName {
			continue
		}
		if d := levenshtein.ComputeDistance(strings.ToLower(written), strings.ToLower(n)); d < within && (d == 0 || d < len(written)) {
			best, within = n, d
		}
	}
	return best
}
