package freedom

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Group is a set of locators that take the same freedoms more than once. Such
// locators fight: unless they are made to match, not all of them touch.
type Group struct {
	Members []int
	Surplus int // how many of them are too many
	// Circuits are Surplus smallest sets in the group that already fight. The
	// locator that comes last in each is the one that earlier ones made
	// superfluous; other smallest sets may exist.
	Circuits []Circuit
}

// Circuit is a smallest set of locators that fight: without any one of them the
// others can all touch.
type Circuit struct {
	Members []int
	// Shares are the factors y, member by member, with which the rows add up to
	// nothing. The largest is one.
	Shares []float64
	Lead   int // the locator whose share is one
	count  int // of all locators
}

// Gap is what keeps the locators of the circuit from all touching when each
// stands proud (+) or short (-) along its normal by proud, mm, given for all
// locators: the sum of share times proud. Positive: Lead stands that much
// beyond where the others put the part, and pinches or lifts it. Negative: that
// much is open at Lead while the others touch. Zero: all touch.
//
// Errors: a number of values that is not that of the locators, a value that is
// not a number.
func (c Circuit) Gap(proud []float64) (float64, error) {
	if err := checkCount(proud, c.count); err != nil {
		return 0, err
	}
	var gap float64
	for i, k := range c.Members {
		gap += c.Shares[i] * proud[k]
	}
	return gap, nil
}

func checkCount(values []float64, n int) error {
	if len(values) != n {
		return fmt.Errorf("%d values for %d locators: every locator needs one", len(values), n)
	}
	if !finite(values...) {
		return fmt.Errorf("a value is not a number")
	}
	return nil
}

// group sorts the locators into essential ones and groups. Going through them
// in their order, each either adds to the rank or depends on those before; what
// it depends on is a circuit. All circuits together hold every locator that is
// not essential, and those with a member in common make a group.
func (f *Freedom) group() {
	least := tolerance * f.Singular[0]
	var basis []int
	var span [][6]float64
	var circuits []Circuit
	for i, r := range f.Rows {
		row := f.full(f.scaledRow(r))
		if rest := without(row, span); norm6(rest) > least && len(basis) < f.Rank {
			span = append(span, normalized(rest))
			basis = append(basis, i)
			continue
		}
		circuits = append(circuits, f.circuit(basis, i))
	}
	// groupOf[i] is a locator of the same group, itself for the first.
	groupOf := make([]int, len(f.Rows))
	fights := make([]bool, len(f.Rows))
	for i := range groupOf {
		groupOf[i] = i
	}
	first := func(i int) int {
		for groupOf[i] != i {
			i = groupOf[i]
		}
		return i
	}
	for _, c := range circuits {
		for _, k := range c.Members {
			fights[k] = true
			a, b := first(k), first(c.Members[0])
			groupOf[max(a, b)] = min(a, b)
		}
	}
	at := map[int]int{}
	for i := range f.Rows {
		if !fights[i] {
			f.Essential = append(f.Essential, i)
			continue
		}
		k, known := at[first(i)]
		if !known {
			k = len(f.Groups)
			at[i] = k
			f.Groups = append(f.Groups, Group{})
		}
		f.Groups[k].Members = append(f.Groups[k].Members, i)
	}
	for _, c := range circuits {
		g := &f.Groups[at[first(c.Members[0])]]
		g.Circuits = append(g.Circuits, c)
		g.Surplus++
	}
}

// circuit is the dependency of locator i on those of a basis.
func (f *Freedom) circuit(basis []int, i int) Circuit {
	shares := make([]float64, len(basis)+1)
	members := append(append([]int(nil), basis...), i)
	shares[len(basis)] = 1
	if len(basis) > 0 {
		a := mat.NewDense(f.Dim, len(basis), nil)
		for k, b := range basis {
			a.SetCol(k, f.scaledRow(f.Rows[b]))
		}
		var x mat.VecDense
		// The error only warns of a poor condition; the basis is independent.
		_ = x.SolveVec(a, mat.NewVecDense(f.Dim, f.scaledRow(f.Rows[i])))
		for k := range basis {
			shares[k] = -x.AtVec(k)
		}
	}
	lead := len(basis)
	for k, y := range shares {
		if math.Abs(y) > math.Abs(shares[lead])*(1+1e-9) {
			lead = k
		}
	}
	c := Circuit{Lead: members[lead], count: len(f.Rows)}
	for k, y := range shares {
		if y /= shares[lead]; math.Abs(y) > 1e-8 {
			c.Members = append(c.Members, members[k])
			c.Shares = append(c.Shares, y)
		}
	}
	return c
}
