package limits

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/internal/checkvalues"
)

func rat(t testing.TB, text string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(text)
	require.True(t, ok, text)
	return r
}

func equalRat(t testing.TB, want, got *big.Rat, what string) {
	t.Helper()
	require.NotNil(t, got, what)
	assert.Zero(t, want.Cmp(got), "%s: want %s, got %s", what, show(want), show(got))
}

// um gives the deviations of a class in micrometres.
func um(t testing.TB, nominal, class string) (lower, upper *big.Rat) {
	t.Helper()
	lo, up, err := ISO286(rat(t, nominal), class)
	require.NoError(t, err)
	k := big.NewRat(1000, 1)
	return lo.Mul(lo, k), up.Mul(up, k)
}

func TestISO286PublishedLimits(t *testing.T) {
	for _, c := range checkvalues.Table(t, "../../testdata/limits/iso286_limits.csv") {
		t.Run(c["nominal"]+" "+c["class"], func(t *testing.T) {
			what := c["source"] + ", " + c["standing"]
			lo, up := um(t, c["nominal"], c["class"])
			equalRat(t, rat(t, c["lower"]), lo, what)
			equalRat(t, rat(t, c["upper"]), up, what)
			nominal := rat(t, c["nominal"])
			loMM, upMM, err := ISO286(nominal, c["class"])
			require.NoError(t, err)
			equalRat(t, rat(t, c["min"]), loMM.Add(loMM, nominal), what)
			equalRat(t, rat(t, c["max"]), upMM.Add(upMM, nominal), what)
		})
	}
}

func TestISO286Fits(t *testing.T) {
	for _, c := range checkvalues.Table(t, "../../testdata/limits/iso286_fits.csv") {
		t.Run(c["nominal"]+" "+c["fit"], func(t *testing.T) {
			what := c["source"] + ", " + c["standing"]
			hole, shaft, ok := strings.Cut(c["fit"], "/")
			require.True(t, ok)
			holeLo, holeUp := um(t, c["nominal"], hole)
			shaftLo, shaftUp := um(t, c["nominal"], shaft)
			equalRat(t, rat(t, c["holeLower"]), holeLo, what)
			equalRat(t, rat(t, c["holeUpper"]), holeUp, what)
			equalRat(t, rat(t, c["shaftLower"]), shaftLo, what)
			equalRat(t, rat(t, c["shaftUpper"]), shaftUp, what)
			least := new(big.Rat).Sub(holeLo, shaftUp)
			most := new(big.Rat).Sub(holeUp, shaftLo)
			equalRat(t, rat(t, c["clearanceMin"]), least, what)
			equalRat(t, rat(t, c["clearanceMax"]), most, what)
			kind := "transition"
			switch {
			case least.Sign() >= 0:
				kind = "clearance"
			case most.Sign() <= 0:
				kind = "interference"
			}
			assert.Equal(t, c["kind"], kind, what)
		})
	}
}

// Single limits with a source of their own. An empty text is not checked.
func TestISO286SingleValues(t *testing.T) {
	for _, c := range []struct{ nominal, class, lower, upper, source string }{
		{"4", "H7", "0", "12", "4.000 to 4.012: T1 row 3-6 H7, as 6 H7"},
		{"4", "g6", "-12", "-4", "T3 row 3-6 g6, as 6 g6"},
		{"25", "H6", "0", "13", "25.013: public examination item (GATE 2011)"},
		{"100", "E8", "72", "126", "COR: +126, the 1988 table printed +125"},
		{"20", "R10", "", "-28", "COR: -28, printed -10"},
		{"300", "f9", "-186", "", "COR: -186, printed -185"},
		{"2", "f8", "-20", "-6", "T3 lower limit -20 = -6 - 14; the printed upper -8 is a misprint"},
		{"8", "g6", "-14", "-5", "T3; the -8 of one T8 page is a misprint"},
		{"25", "h6", "-13", "0", "T5 IT6; the -30 of T9 is a misprint"},
		{"8", "h6", "-9", "0", "T3 10 h6; a dimension-tolerance page prints -10"},
		{"3", "H8", "0", "14", "T5 IT8; a page with a shifted table prints 18"},
		{"300", "M6", "-41", "-9", "T5 footnote: M6 over 250 to 315 is -9, the rule gives -11"},
		{"250", "M6", "-37", "-8", "T5: -17 + 9, the exception starts above 250"},
		{"315.001", "M6", "-46", "-10", "T5: -21 + 11, the exception ends at 315"},
		{"20", "k8", "0", "33", "T5: k has ei = 0 from IT8"},
		{"20", "k3", "0", "4", "T5: k has ei = 0 up to IT3"},
		{"20", "k4", "2", "8", "T5: k is tabulated for IT4 to IT7"},
		{"20", "k7", "2", "23", "T5: k is tabulated for IT4 to IT7"},
		{"20", "P7", "-35", "-14", "T5 worked sentence: P7, 18-30: delta 8, ES = -14"},
		{"20", "P8", "-55", "-22", "T5: P coarser than IT7 takes no delta"},
		{"20", "M9", "-60", "-8", "T5: M coarser than IT8 takes no delta"},
		{"20", "N9", "-52", "0", "T5: N coarser than IT8 has ES = 0 above 3 mm"},
		{"3", "N9", "-29", "-4", "T5: N9 up to 3 mm has ES = -4"},
		{"3.001", "N9", "-30", "0", "T5: N9 above 3 mm has ES = 0"},
		{"40", "JS7", "-12.5", "12.5", "T2 prints 12.5 (T1 rounds to 12)"},
		{"25", "JS7", "-10.5", "10.5", "T2 and T3 print 10.5 (T1 rounds to 10)"},
		{"25", "js7", "-10.5", "10.5", "T3"},
	} {
		t.Run(c.nominal+" "+c.class, func(t *testing.T) {
			lo, up := um(t, c.nominal, c.class)
			if c.lower != "" {
				equalRat(t, rat(t, c.lower), lo, c.source)
			}
			if c.upper != "" {
				equalRat(t, rat(t, c.upper), up, c.source)
			}
		})
	}
}

// Cells where the rounded formula i = 0.45 D^(1/3) + 0.001 D misses the table of
// ISO 286-1 (T5): the table must win.
func TestISO286GradesAreTheTableNotTheFormula(t *testing.T) {
	for _, c := range []struct {
		nominal string
		grade   int
		formula int64 // rounded to the nearest micrometre
		table   int64
	}{
		{"3", 6, 5, 6}, {"3", 7, 9, 10}, {"3", 9, 22, 25}, {"3", 10, 35, 40}, {"3", 11, 54, 60},
		{"6", 6, 7, 8}, {"6", 11, 73, 75}, {"10", 7, 14, 15}, {"18", 7, 17, 18},
		{"180", 9, 101, 100}, {"400", 9, 142, 140}, {"500", 6, 39, 40}, {"500", 7, 62, 63},
	} {
		lo, up := um(t, c.nominal, "H"+strconv.Itoa(c.grade))
		equalRat(t, new(big.Rat), lo, "H starts at the nominal size")
		equalRat(t, big.NewRat(c.table, 1), up, "T5 Table 15.1")
		assert.NotZero(t, up.Cmp(big.NewRat(c.formula, 1)))
	}
}

func TestISO286Refusals(t *testing.T) {
	for _, c := range []struct {
		nominal, class string
		want           error
		says           string
	}{
		{"10", "", ErrClass, "the grade is missing"},
		{"10", "H", ErrClass, "the grade is missing"},
		{"10", "7", ErrClass, "the letter is missing"},
		{"10", "Js7", ErrClass, "mixed"},
		{"10", "H19", ErrClass, "01, 0 or 1 to 18"},
		{"10", "H07", ErrClass, "01, 0 or 1 to 18"},
		{"10", "H7/g6", ErrClass, "01, 0 or 1 to 18"},
		{"10", "H7 ", ErrClass, "01, 0 or 1 to 18"},
		{"10", "Q7", ErrClass, "no such letter"},
		{"10", "\u041d7", ErrClass, "only letters"}, // a Cyrillic letter that looks like H
		{"10", "RC4", ErrClass, "no such letter"},
		{"10", "H99999999999999999999", ErrClass, "01, 0 or 1 to 18"},
		{"10", "j6", ErrNotCarried, "shafts d e f g h js"},
		{"10", "zc7", ErrNotCarried, "shafts d e f g h js"},
		{"29", "c11", ErrNotCarried, "over 30 up to and including 40 mm"},
		{"30", "c11", ErrNotCarried, "over 30 up to and including 40 mm"},
		{"40.001", "C11", ErrNotCarried, "over 30 up to and including 40 mm"},
		{"330", "A13", ErrNotCarried, "carried: holes"}, // COR corrects it; the letter is not in the tables
		{"500.001", "H7", ErrNotCarried, "up to and including 500 mm"},
		{"2", "K9", ErrNotCarried, "grades 3 to 8"},
		{"20", "K9", ErrNotCarried, "grades 3 to 8"},
		{"20", "N2", ErrNotCarried, "from grade 3"},
		{"20", "P01", ErrNotCarried, "from grade 3"},
		{"1", "h14", ErrNotCarried, "1 mm"},
		{"0", "H7", nil, "above 0"},
		{"-4", "H7", nil, "above 0"},
	} {
		t.Run(c.nominal+" "+c.class, func(t *testing.T) {
			lo, up, err := ISO286(rat(t, c.nominal), c.class)
			require.Error(t, err)
			assert.Nil(t, lo)
			assert.Nil(t, up)
			assert.ErrorContains(t, err, c.says)
			if c.want != nil {
				assert.ErrorIs(t, err, c.want)
			}
		})
	}
	_, _, err := ISO286(nil, "H7")
	assert.ErrorContains(t, err, "no nominal size")
	_, _, err = ISO286(rat(t, "1.001"), "h14")
	assert.NoError(t, err, "above 1 mm grade 14 is given")
	_, _, err = ISO286(rat(t, "500"), "H7")
	assert.NoError(t, err, "500 mm is included")
}

// Every class at every step: the zone is as wide as its grade, and holes d to h
// mirror the shafts. The delta column equals IT(n) - IT(n-1) above 3 mm (T5).
func TestISO286Algebra(t *testing.T) {
	tables, err := isoTables()
	require.NoError(t, err)
	require.Len(t, tables.tolerance, 13)
	require.Len(t, tables.shaft, 22)
	require.Len(t, tables.delta, 13)
	for i, row := range tables.delta {
		for n := 3; n <= 8; n++ {
			want := new(big.Rat)
			if i > 0 {
				want.Sub(tables.tolerance[i].values[fmt.Sprintf("IT%d", n)], tables.tolerance[i].values[fmt.Sprintf("IT%d", n-1)])
			}
			equalRat(t, want, row.values[fmt.Sprintf("delta_IT%d", n)], fmt.Sprintf("delta IT%d up to %s mm", n, show(row.toIncl)))
		}
	}
	exceptions := 0
	for _, row := range tables.tolerance {
		for n := 6; n <= 13; n++ {
			ten := new(big.Rat).Mul(row.values[fmt.Sprintf("IT%d", n)], big.NewRat(10, 1))
			if ten.Cmp(row.values[fmt.Sprintf("IT%d", n+5)]) != 0 {
				exceptions++
				assert.Equal(t, "6", show(row.toIncl), "IT%d", n+5)
				assert.Equal(t, 11, n+5)
			}
		}
	}
	assert.Equal(t, 1, exceptions, "ten times every five grades holds but for IT11 over 3 to 6 mm (T5)")
	for _, rows := range [][]isoRow{tables.tolerance, tables.shaft, tables.delta} {
		for i := 1; i < len(rows); i++ {
			equalRat(t, rows[i-1].toIncl, rows[i].over, "steps join without a gap")
		}
	}
}

func TestISO286Properties(t *testing.T) {
	letters := []string{"d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s"}
	rapid.Check(t, func(t *rapid.T) {
		size := big.NewRat(rapid.Int64Range(1001, 500000).Draw(t, "thousandths of a mm"), 1000)
		letter := rapid.SampledFrom(letters).Draw(t, "letter")
		grade := rapid.IntRange(3, 18).Draw(t, "grade")
		if letter == "k" && grade > 8 {
			grade = 8 // K ends there
		}
		class := letter + strconv.Itoa(grade)
		_, it, err := ISO286(size, "H"+strconv.Itoa(grade))
		require.NoError(t, err)
		lo, up, err := ISO286(size, class)
		require.NoError(t, err)
		holeLo, holeUp, err := ISO286(size, strings.ToUpper(letter)+strconv.Itoa(grade))
		require.NoError(t, err)
		for _, zone := range [][2]*big.Rat{{lo, up}, {holeLo, holeUp}} {
			require.Zero(t, new(big.Rat).Sub(zone[1], zone[0]).Cmp(it), "%s at %s mm", class, show(size))
		}
		if letter <= "h" || letter == "js" {
			require.Zero(t, holeLo.Cmp(new(big.Rat).Neg(up)), "hole mirrors the shaft: %s at %s mm", class, show(size))
		}
		// A caller may write to what it was given.
		lo.SetInt64(7)
		up.SetInt64(7)
		again, _, err := ISO286(size, class)
		require.NoError(t, err)
		require.Negative(t, again.Cmp(lo))
	})
}

func TestANSIB41(t *testing.T) {
	for _, c := range []struct {
		nominal, class         string
		holeLower, holeUpper   string // thousandths of an inch
		shaftLower, shaftUpper string
		source, standing       string
	}{
		{"0.1875", "RC4", "0", "0.7", "-0.9", "-0.4", "MH31, CE, MH23", "seen twice"},
		{"1", "RC4", "0", "1.2", "-1.6", "-0.8", "MH31: H8/f7 at 1 in", "seen twice"},
		{"0.24", "RC1", "0", "0.2", "-0.3", "-0.15", "MH31: 0.24 in is in the step 0.12-0.24", "seen twice"},
		{"0.2401", "RC1", "0", "0.25", "-0.35", "-0.2", "MH31", "seen twice"},
		{"0.5", "FN1", "0", "0.4", "0.5", "0.8", "MH27 and a second text: 0.5000-0.5004, 0.5005-0.5008", "seen twice"},
		{"0.5", "FN2", "0", "0.7", "1.2", "1.6", "MH27 and a second text: 0.5000-0.5007, 0.5012-0.5016", "seen twice"},
		{"0.12", "LT1", "0", "0.4", "-0.12", "0.12", "MH31", "one source"},
		{"1.19", "LN3", "0", "0.8", "1.2", "1.7", "MH31", "one source"},
		{"0.1", "LC8", "0", "1.6", "-2", "-1", "CE by algebra 3.6; its printed maximum clearance 2.0 is a misprint", "one source"},
		{"0.2", "RC3", "0", "0.5", "-0.7", "-0.4", "MH31, MH23; CE prints the maximum clearance 1.12", "seen twice"},
		{"0.1", "RC2", "0", "0.25", "-0.3", "-0.1", "MH31: the shaft is 0.2 wide although B4.1 grade 5 is 0.15 there (MH23)", "seen twice"},
		{"1", "LC2", "0", "0.8", "-0.5", "0", "H7/h6 from columns seen in RC and LN", "derived"},
		{"0.3", "LT3", "0", "0.6", "0.1", "0.5", "MH31", "one source"},
		{"1", "FN3", "0", "0.8", "1.6", "2.1", "MH27", "one source"},
		{"1", "fn3", "0", "0.8", "1.6", "2.1", "MH27", "one source"},
	} {
		t.Run(c.nominal+" "+c.class, func(t *testing.T) {
			what := c.source + ", " + c.standing
			for _, m := range []struct {
				member       Member
				lower, upper string
			}{{Hole, c.holeLower, c.holeUpper}, {Shaft, c.shaftLower, c.shaftUpper}} {
				lo, up, err := ANSIB41(rat(t, c.nominal), c.class, m.member)
				require.NoError(t, err)
				equalRat(t, thou(rat(t, m.lower)), lo, what)
				equalRat(t, thou(rat(t, m.upper)), up, what)
			}
		})
	}
}

// A printed fit limit is redundant, so each of the 170 rows checks itself:
// least clearance = hole lower - shaft upper, most = hole upper - shaft lower.
func TestANSIB41Algebra(t *testing.T) {
	rows, err := b41Rows()
	require.NoError(t, err)
	require.Len(t, rows, 170)
	for _, r := range rows {
		what := r.class + " up to " + show(r.toIncl) + " in"
		holeLo, holeUp, err := ANSIB41(r.toIncl, r.class, Hole)
		require.NoError(t, err, what)
		shaftLo, shaftUp, err := ANSIB41(r.toIncl, r.class, Shaft)
		require.NoError(t, err, what)
		equalRat(t, thou(r.clearanceMin), new(big.Rat).Sub(holeLo, shaftUp), what)
		equalRat(t, thou(r.clearanceMax), new(big.Rat).Sub(holeUp, shaftLo), what)
		assert.Zero(t, holeLo.Sign(), "basic hole: %s", what)
		assert.Positive(t, holeUp.Cmp(holeLo), what)
		assert.Positive(t, shaftUp.Cmp(shaftLo), what)
		assert.Positive(t, r.toIncl.Cmp(r.over), what)
	}
}

func TestANSIB41Refusals(t *testing.T) {
	for _, c := range []struct {
		nominal, class string
		member         Member
		want           error
		says           string
	}{
		{"0.5", "RC10", Hole, ErrClass, "RC1 to RC9"},
		{"0.5", "H7", Hole, ErrClass, "RC1 to RC9"},
		{"0.5", "", Hole, ErrClass, "RC1 to RC9"},
		{"0.5", "RC4", 0, ErrClass, "neither hole nor shaft"},
		{"1.1901", "RC4", Hole, ErrNotCarried, "1.19 in"},
		{"2", "FN2", Shaft, ErrNotCarried, "1.19 in"},
		{"0.24", "LT3", Hole, ErrNotCarried, "blank up to 0.24 in"},
		{"0.24", "LT4", Hole, ErrNotCarried, "blank up to 0.24 in"},
		{"0.95", "FN3", Hole, ErrNotCarried, "blank up to 0.95 in"},
		{"0", "RC4", Hole, nil, "above 0"},
		{"-1", "RC4", Hole, nil, "above 0"},
	} {
		t.Run(c.nominal+" "+c.class, func(t *testing.T) {
			_, _, err := ANSIB41(rat(t, c.nominal), c.class, c.member)
			require.Error(t, err)
			assert.ErrorContains(t, err, c.says)
			if c.want != nil {
				assert.ErrorIs(t, err, c.want)
			}
		})
	}
	_, _, err := ANSIB41(nil, "RC4", Hole)
	assert.ErrorContains(t, err, "no nominal size")
}

// The two standards do not agree on H7/s6 in inches: 2 in by ISO 286 is hole
// +1.0 (converted table: 2.0010), by B4.1 FN2 +1.2 thou. B4.1 at 2 in is not
// carried, and must not fall back on the metric table (TXT; B4.1 tables).
func TestStandardsAreNotMixed(t *testing.T) {
	_, _, err := ANSIB41(rat(t, "2"), "FN2", Hole)
	assert.ErrorIs(t, err, ErrNotCarried)
	_, up, err := ISO286(rat(t, "50.8"), "H7")
	require.NoError(t, err)
	equalRat(t, big.NewRat(30, 1000), up, "H7 over 50 up to 80 mm")
}

func FuzzISO286Class(f *testing.F) {
	for _, s := range []string{"H7", "g6", "JS7", "js01", "zc18", "H7/g6", "", "\xff7"} {
		f.Add(s)
	}
	size := big.NewRat(25, 1)
	f.Fuzz(func(t *testing.T, class string) {
		lo, up, err := ISO286(size, class)
		if err != nil {
			if lo != nil || up != nil {
				t.Fatal("values beside an error")
			}
			return
		}
		if up.Cmp(lo) <= 0 {
			t.Fatalf("%q: the zone has no width", class)
		}
	})
}

func ExampleISO286() {
	lower, upper, err := ISO286(big.NewRat(25, 1), "g6")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(lower.FloatString(3), "to", upper.FloatString(3), "mm")
	// Output: -0.020 to -0.007 mm
}

func ExampleANSIB41() {
	lower, upper, err := ANSIB41(big.NewRat(3, 16), "RC4", Shaft)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(lower.FloatString(4), "to", upper.FloatString(4), "in")
	// Output: -0.0009 to -0.0004 in
}

func BenchmarkISO286(b *testing.B) {
	size := big.NewRat(400, 1)
	for b.Loop() {
		if _, _, err := ISO286(size, "P7"); err != nil {
			b.Fatal(err)
		}
	}
}
