package ledger

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// longestName bounds the names that are compared letter by letter.
const longestName = 80

// Nearest gives the name that is closest to what was written, in letters that
// must be changed, added or left out, whatever their case; two neighbours that
// changed places count as one. It is "" if none is nearer than within, or if
// nothing of what was written would stay. Of equal ones it is the first.
func Nearest(written string, among []string, within int) string {
	if len(written) > longestName {
		return ""
	}
	best := ""
	for _, n := range among {
		if len(n) > longestName {
			continue
		}
		a, b := strings.ToLower(written), strings.ToLower(n)
		d := levenshtein.ComputeDistance(a, b)
		if d == 2 && swapped(a, b) {
			d = 1
		}
		if d < within && (d == 0 || d < len(written)) {
			best, within = n, d
		}
	}
	return best
}

// swapped reports whether two names differ in two neighbours that changed places.
func swapped(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range len(a) - 1 {
		if a[i] != b[i] {
			return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
		}
	}
	return false
}
