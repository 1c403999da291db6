package thermal

import "tenths/calc/check"

const (
	egLength = "1.5 in or 38 mm"
	egSpan   = "1 dF or 0.5 K"
)

// sums is exact arithmetic that keeps its first error.
type sums struct{ check.Sums }
