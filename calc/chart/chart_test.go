package chart

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const dataDir = "../../testdata/charts"

// table reads a file of numbers with a line of names.
func table(t *testing.T, name string, names bool) (head []string, rows [][]float64) {
	t.Helper()
	raw, err := os.Open(filepath.Join(dataDir, name))
	require.NoError(t, err)
	defer raw.Close()
	r := csv.NewReader(raw)
	r.TrimLeadingSpace = true
	all, err := r.ReadAll()
	require.NoError(t, err)
	if names {
		head, all = all[0], all[1:]
	}
	for _, line := range all {
		var row []float64
		for _, cell := range line {
			v, err := strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
			row = append(row, v)
		}
		rows = append(rows, row)
	}
	return head, rows
}

func (c Constants) named(t *testing.T, name string) float64 {
	switch name {
	case "d2":
		return c.D2
	case "d3":
		return c.D3
	case "c4":
		return c.C4
	case "A2":
		return c.A2()
	case "A3":
		return c.A3()
	case "D3":
		return c.D3Low()
	case "D4":
		return c.D4()
	case "B3":
		return c.B3()
	case "B4":
		return c.B4()
	case "E2":
		return c.E2()
	}
	return math.NaN()
}

// Source: the range integral and the gamma function in R 4.2.2, ten digits.
func TestConstants(t *testing.T) {
	head, rows := table(t, "control_chart_constants_computed.csv", true)
	require.Len(t, rows, 9)
	for _, row := range rows {
		c, err := ConstantsFor(int(row[0]))
		require.NoError(t, err)
		for i, name := range head {
			if got := c.named(t, name); !math.IsNaN(got) {
				assert.InDelta(t, row[i], got, 2e-9, "%s for %g", name, row[0])
			}
		}
	}
	// Closed forms: d2(2) = 2/√π, d3(2) = √(2 - 4/π), d2(3) = 3/√π.
	c, err := ConstantsFor(2)
	require.NoError(t, err)
	assert.InDelta(t, 2/math.Sqrt(math.Pi), c.D2, 1e-12)
	assert.InDelta(t, math.Sqrt(2-4/math.Pi), c.D3, 1e-10)
	c, err = ConstantsFor(3)
	require.NoError(t, err)
	assert.InDelta(t, 3/math.Sqrt(math.Pi), c.D2, 1e-12)
	for _, n := range []int{-1, 0, 1, MaxSubgroup + 1} {
		_, err := ConstantsFor(n)
		assert.Error(t, err)
	}
}

// Source: the table of three decimals that is printed in handbooks (public copies
// of the ASTM manual's table). Every entry is the exact one rounded, but for D4 at
// 3, a misprint that has been copied ever since.
func TestPrintedConstants(t *testing.T) {
	head, rows := table(t, "control_chart_constants_printed.csv", true)
	different := 0
	for _, row := range rows {
		c, err := ConstantsFor(int(row[0]))
		require.NoError(t, err)
		for i, name := range head {
			got := c.named(t, name)
			if math.IsNaN(got) {
				continue
			}
			half := 0.0005
			if name == "c4" {
				half = 0.00005
			}
			if name == "D4" && row[0] == 3 {
				assert.Equal(t, 2.574, row[i])
				assert.Equal(t, "2.575", strconv.FormatFloat(got, 'f', 3, 64))
				different++
				continue
			}
			assert.InDelta(t, row[i], got, half+1e-12, "%s for %g", name, row[0])
		}
	}
	assert.Equal(t, 1, different)
	// Larger subgroups, the same table (from memory).
	for n, want := range map[int][2]float64{15: {3.472, 0.756}, 20: {3.735, 0.729}, 25: {3.931, 0.708}} {
		c, err := ConstantsFor(n)
		require.NoError(t, err)
		assert.InDelta(t, want[0], c.D2, 6e-4)
		assert.InDelta(t, want[1], c.D3, 6e-4)
	}
	// Misprints seen in public tables, none of which is right.
	at := func(n int) Constants {
		c, err := ConstantsFor(n)
		require.NoError(t, err)
		return c
	}
	assert.InDelta(t, 0.8641, at(5).D3, 5e-5, "not 0.8798, which is d3 for 4")
	assert.InDelta(t, 1.622, at(17).D4(), 5e-4, "not 1.662")
	assert.InDelta(t, 0.7159, at(23).D3, 5e-5, "not 0.1759")
	assert.InDelta(t, 1.744, at(11).D4(), 5e-4, "not 1.774")
}

// Source: NIST/SEMATECH e-Handbook 6.3.2.2: mean 50.81, mean moving range 1.8778,
// limits 55.8041 and 45.8159 with d2 rounded to 1.128; exact constants by R.
func TestHandbookIndividuals(t *testing.T) {
	v := []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	c, err := NewIndividuals(v, nil, 0)
	require.NoError(t, err)
	assert.InDelta(t, 50.81, c.Mean, 1e-9)
	assert.InDelta(t, 1.8778, c.MeanRange, 5e-5)
	assert.InDelta(t, 55.8024117, c.Upper, 1e-6)
	assert.InDelta(t, 45.8175883, c.Lower, 1e-6)
	assert.InDelta(t, 6.1347, c.RangeUpper, 0.002)
	// The printed limits need the rounded constant.
	assert.InDelta(t, 55.8041, c.Mean+3*c.MeanRange/1.128, 5e-5)
	assert.InDelta(t, 45.8159, c.Mean-3*c.MeanRange/1.128, 5e-5)
	assert.Empty(t, c.Outside)
	assert.Empty(t, c.Jumps)
	// The overall standard deviation is another number, and not 1.8674 as one
	// transcription has it.
	assert.Greater(t, math.Abs(c.Sigma-2.0338524), 0.3)
}

// Source: piston rings, 25 subgroups of five (Montgomery's textbook data in a
// public transcription); printed: 74.00118, 0.02276, limits 73.98805 and 74.0143,
// upper limit of the range 0.04812; exact ones by R 4.2.2.
func TestPistonRings(t *testing.T) {
	_, rows := table(t, "pistonrings_25x5.csv", false)
	c, err := NewSubgroups(rows)
	require.NoError(t, err)
	var want map[string]struct {
		Exact struct{ UCLx, LCLx, UCLr float64 }
		SD    float64 `json:"sigma_s_c4"`
		R     float64 `json:"sigma_R_d2"`
	}
	raw, err := os.ReadFile(filepath.Join(dataDir, "xbar_r_computed.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, &want))
	w := want["pistonrings"]
	assert.InDelta(t, 74.00118, c.GrandMean, 5e-6)
	assert.InDelta(t, 0.02276, c.MeanRange, 1e-9)
	assert.InDelta(t, w.Exact.UCLx, c.Upper, 1e-8)
	assert.InDelta(t, w.Exact.LCLx, c.Lower, 1e-8)
	assert.InDelta(t, w.Exact.UCLr, c.RangeUpper, 1e-8)
	assert.Zero(t, c.RangeLower)
	assert.InDelta(t, w.R, c.SigmaRange, 1e-9)
	assert.InDelta(t, w.SD, c.SigmaSD, 1e-9)
	assert.InDelta(t, 73.98805, c.Lower, 5e-6)
	assert.InDelta(t, 74.0143, c.Upper, 5e-5)
	assert.InDelta(t, 0.04812, c.RangeUpper, 1e-5)
	assert.Empty(t, c.Outside)
	assert.Empty(t, c.RangeOutside)
	// The copy with 73.998 in rows 3 and 8 and 74.001 in row 11 is a misprint: it
	// does not give the printed mean.
	rows[2][0], rows[7][4], rows[10][4] = 73.998, 73.998, 74.001
	c, err = NewSubgroups(rows)
	require.NoError(t, err)
	assert.InDelta(t, 74.001424, c.GrandMean, 1e-9)
	assert.Greater(t, c.GrandMean-74.00118, 1e-4)
}

func TestIndividualsSigns(t *testing.T) {
	c, err := NewIndividuals([]float64{1, 2, 1, 2, 1, 2, 30, 2, 1, 2, 1, 2, 1, 2}, nil, 0)
	require.NoError(t, err)
	assert.Equal(t, []int{6}, c.Outside)
	assert.Equal(t, []int{6, 7}, c.Jumps)
	step := []float64{1, 2, 1, 2, 1, 2, 1, 2, 7, 8, 7, 8, 7, 8, 7, 8}
	c, err = NewIndividuals(step, nil, 0)
	require.NoError(t, err)
	assert.Equal(t, []Run{{0, 7, false}, {8, 15, true}}, c.Runs)
	// With the step known for another lot, its range no longer counts.
	two, err := NewIndividuals(step, []int{8}, 0)
	require.NoError(t, err)
	assert.Len(t, two.Ranges, 14)
	assert.Less(t, two.MeanRange, c.MeanRange)
	c, err = NewIndividuals([]float64{3, 3, 3, 3}, nil, 1)
	require.NoError(t, err)
	assert.True(t, c.Coarse)
	assert.Empty(t, c.Outside)
	assert.Empty(t, c.Runs)
	for _, bad := range [][]float64{nil, {1}, {1, 2}, {1, 2, math.NaN()}} {
		_, err := NewIndividuals(bad, nil, 0)
		assert.Error(t, err)
	}
	_, err = NewIndividuals([]float64{1, 2, 3}, []int{1, 2}, 0)
	assert.ErrorContains(t, err, "three readings in a row")
	_, err = NewIndividuals([]float64{1, 2, 3}, []int{3}, 0)
	assert.ErrorContains(t, err, "cannot begin")
	_, err = NewIndividuals([]float64{1, 2, 3}, nil, -1)
	assert.ErrorContains(t, err, "resolution")
	for _, bad := range [][][]float64{nil, {{1, 2}}, {{1}, {2}}, {{1, 2}, {1, 2, 3}}, {{1, 2}, {1, math.Inf(1)}}} {
		_, err := NewSubgroups(bad)
		assert.Error(t, err)
	}
}

// A common amount and another unit change no sign of a chart.
func TestChartOfDeviations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Map(rapid.IntRange(-20, 20), func(i int) float64 { return float64(i) }), 3, 30).Draw(t, "v")
		a, err := NewIndividuals(v, nil, 1)
		require.NoError(t, err)
		scaled := make([]float64, len(v))
		for i := range v {
			scaled[i] = 2.54 * (v[i] + 15000)
		}
		b, err := NewIndividuals(scaled, nil, 2.54)
		require.NoError(t, err)
		require.InDelta(t, 2.54*a.Sigma, b.Sigma, 1e-7)
		require.Equal(t, a.Outside, b.Outside)
		require.Equal(t, a.Runs, b.Runs)
	})
}
