package fit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/fit"
	"tenths/calc/internal/testkit"
	"tenths/calc/limits"
	"tenths/calc/quantity"
)

func names(fits []fit.Fit) []string {
	out := make([]string, len(fits))
	for i, f := range fits {
		out[i] = f.Name
	}
	return out
}

// Own selections, made by hand from the printed tables (ISO 286: T1 and T3;
// ANSI B4.1: handbook tables). The wanted ranges of slip fits are common
// practice.
func TestChoose(t *testing.T) {
	for _, c := range []struct {
		why, nominal, wanted string
		want                 []string
	}{
		{"general slip .0002-.0012: RC1 and RC2 start at .00015, RC4 ends at .0016", "0.1875 in", "0.0002..0.0012 in", []string{"RC3"}},
		{"the same in thou", "187.5 thou", "0.2..1.2 thou", []string{"RC3"}},
		{"the same wanted range in mm", "0.1875 in", "0.00508..0.03048 mm", []string{"RC3"}},
		{"press in steel .0002-.0005 is finer than any class", "0.1875 in", "-0.0005..-0.0002 in", nil},
		{"close running at 1/2 in", "0.5 in", "0.0002..0.0010 in", []string{"RC2", "RC1"}},
		{"7 to 41 um at 25 mm is H7/g6 itself", "25 mm", "7..41 um", []string{"H7/g6", "G7/h6", "H6/g5", "G6/h5"}},
		{"one micrometre less excludes it", "25 mm", "7..40 um", []string{"H6/g5", "G6/h5"}},
		{"interference only", "25 mm", "-40..0 um", []string{"H7/p6", "P7/h6", "H6/p5", "P6/h5", "H6/n5", "N6/h5"}},
		{"an end at 0 keeps H7/h6", "6 mm", "0..20 um", []string{"H7/h6", "H6/g5", "G6/h5", "H6/h5"}},
	} {
		t.Run(c.why, func(t *testing.T) {
			got, err := fit.Choose(testkit.Q(t, c.nominal), tol(t, c.wanted))
			require.NoError(t, err)
			if c.want == nil {
				assert.Empty(t, got)
				return
			}
			assert.Equal(t, c.want, names(got))
		})
	}
}

func TestChooseRefusals(t *testing.T) {
	for _, c := range []struct{ nominal, wanted, says string }{
		{"0 in", "0.0002..0.0012 in", "must be above 0"},
		{"-1 in", "0.0002..0.0012 in", "must be above 0"},
		{"5 deg", "0.0002..0.0012 in", "is no length"},
		{"0.5 in", "<= 0.0012 in", "needs both its ends; write it like 0.0002..0.0012 in"},
		{"0.5 in", "0.0012 in", "needs both its ends"},
		{"0.5 in", "0.1..0.2 deg", "needs both its ends"},
	} {
		_, err := fit.Choose(testkit.Q(t, c.nominal), tol(t, c.wanted))
		assert.ErrorContains(t, err, c.says, c.nominal+" "+c.wanted)
	}
	for _, nominal := range []string{"2 in", "600 mm"} {
		_, err := fit.Choose(testkit.Q(t, nominal), tol(t, "0..0.1 in"))
		assert.ErrorIs(t, err, limits.ErrNotCarried, nominal)
	}
}

// Nothing is listed that leaves the wanted range, nothing twice; each is one of
// the fits of the standard; the tolerances never get coarser down the list; and
// a wide enough range finds every fit.
func TestChooseProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inch := rapid.Bool().Draw(t, "inch")
		unit, nominal := quantity.Millimetre, rapid.Int64Range(1001, 500000).Draw(t, "um")
		if inch {
			unit, nominal = quantity.Inch, rapid.Int64Range(950, 11900).Draw(t, "tenths")
		}
		size := func(n int64, digits int64) quantity.Quantity { return quantity.New(ratio(n, digits), unit) }
		n := size(nominal, 1000)
		if inch {
			n = size(nominal, 10000)
		}
		low := rapid.Int64Range(-300, 200).Draw(t, "low")
		width := rapid.Int64Range(0, 400).Draw(t, "width")
		scale := int64(1000)
		if inch {
			scale = 100000
		}
		lo, hi := size(low, scale), size(low+width, scale)
		wanted, err := quantity.WithLimits(lo, lo, hi)
		require.NoError(t, err)
		got, err := fit.Choose(n, wanted)
		require.NoError(t, err)
		seen := map[string]bool{}
		for i, f := range got {
			require.False(t, seen[f.Name], f.Name)
			seen[f.Name] = true
			require.GreaterOrEqual(t, f.MinClearance.Rat().Cmp(lo.Rat()), 0, f.Name)
			require.LessOrEqual(t, f.MaxClearance.Rat().Cmp(hi.Rat()), 0, f.Name)
			if i > 0 {
				a, err := got[i-1].MaxClearance.Sub(got[i-1].MinClearance)
				require.NoError(t, err)
				b, err := f.MaxClearance.Sub(f.MinClearance)
				require.NoError(t, err)
				require.GreaterOrEqual(t, a.Rat().Cmp(b.Rat()), 0, "%s before %s", got[i-1].Name, f.Name)
			}
			again, err := fit.Parse(n.String()+" "+f.Name, quantity.Unit{})
			require.NoError(t, err)
			require.Zero(t, again.MinClearance.Rat().Cmp(f.MinClearance.Rat()))
		}
		// The class that was asked for by its own clearance is found, and first.
		all, err := fit.Choose(n, wide(t, unit))
		require.NoError(t, err)
		pick := all[rapid.IntRange(0, len(all)-1).Draw(t, "pick")]
		own, err := quantity.WithLimits(pick.Middle, pick.MinClearance, pick.MaxClearance)
		require.NoError(t, err)
		found, err := fit.Choose(n, own)
		require.NoError(t, err)
		require.Contains(t, names(found), pick.Name)
		require.Zero(t, found[0].MinClearance.Rat().Cmp(pick.MinClearance.Rat()))
		require.Zero(t, found[0].MaxClearance.Rat().Cmp(pick.MaxClearance.Rat()))
	})
}

func wide(t require.TestingT, u quantity.Unit) quantity.Toleranced {
	one := quantity.New(ratio(10, 1), u)
	w, err := quantity.WithLimits(one, one.Neg(), one)
	require.NoError(t, err)
	return w
}

func TestChooseListsEveryUsualFit(t *testing.T) {
	all, err := fit.Choose(testkit.Q(t, "25 mm"), wide(t, quantity.Millimetre))
	require.NoError(t, err)
	got := names(all)
	assert.Len(t, got, 60)
	// Preferred fits of ANSI B4.2 within grades 6 to 9 (two reprints of the table).
	for _, f := range []string{"H9/d9", "H8/f7", "H7/g6", "H7/h6", "H7/k6", "H7/n6", "H7/p6", "H7/s6",
		"D9/h9", "F8/h7", "G7/h6", "K7/h6", "N7/h6", "P7/h6", "S7/h6"} {
		assert.Contains(t, got, f)
	}
	inch, err := fit.Choose(testkit.Q(t, "1 in"), wide(t, quantity.Inch))
	require.NoError(t, err)
	assert.Len(t, inch, 34, "9 RC, 11 LC, 6 LT, 3 LN, 5 FN")
	small, err := fit.Choose(testkit.Q(t, "0.1 in"), wide(t, quantity.Inch))
	require.NoError(t, err)
	assert.Len(t, small, 31, "the standard leaves LT3, LT4 and FN3 blank here")
}
