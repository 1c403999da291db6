package stats

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const dataDir = "../../testdata/statistics"

func load(t *testing.T, name string, into any) {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(dataDir, name))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(raw, into))
}

// near asserts relative agreement.
func near(t *testing.T, want, got, rel float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, rel*math.Abs(want)+1e-300, what)
}

func strdFile(t *testing.T, name string) []float64 {
	t.Helper()
	f, err := os.Open(filepath.Join(dataDir, name))
	require.NoError(t, err)
	defer f.Close()
	var xs []float64
	for sc := bufio.NewScanner(f); sc.Scan(); {
		x, err := strconv.ParseFloat(sc.Text(), 64)
		require.NoError(t, err)
		xs = append(xs, x)
	}
	return xs
}

// numAcc makes NumAcc2 to NumAcc4 by NIST's rule: the centre, then 500 pairs.
func numAcc(centre, low, high float64) []float64 {
	xs := []float64{centre}
	for range 500 {
		xs = append(xs, low, high)
	}
	return xs
}

// Source: NIST Statistical Reference Datasets, univariate summary statistics,
// certified values.
func TestStRDUnivariate(t *testing.T) {
	var certified map[string]struct {
		N         int
		Certified struct {
			Mean, SD string
			Lag1     string `json:"lag1_autocorrelation"`
		}
	}
	load(t, "strd_univariate.json", &certified)
	for _, c := range []struct {
		name  string
		data  []float64
		sdRel float64 // NumAcc3 and 4: the decimal data are not exact in binary
	}{
		{"PiDigits", strdFile(t, "strd_pidigits.txt"), 1e-14},
		{"Lottery", strdFile(t, "strd_lottery.txt"), 1e-14},
		{"Lew", strdFile(t, "strd_lew.txt"), 1e-14},
		{"Mavro", strdFile(t, "strd_mavro.txt"), 1e-12},
		{"Michelso", strdFile(t, "strd_michelso.txt"), 1e-12},
		{"NumAcc1", strdFile(t, "strd_numacc1.txt"), 1e-15},
		{"NumAcc2", numAcc(1.2, 1.1, 1.3), 1e-14},
		{"NumAcc3", numAcc(1000000.2, 1000000.1, 1000000.3), 1e-9},
		{"NumAcc4", numAcc(10000000.2, 10000000.1, 10000000.3), 1e-8},
	} {
		t.Run(c.name, func(t *testing.T) {
			want, ok := certified[c.name]
			require.True(t, ok)
			s, err := Summarize(c.data)
			require.NoError(t, err)
			assert.Equal(t, want.N, s.N)
			mean, err := strconv.ParseFloat(want.Certified.Mean, 64)
			require.NoError(t, err)
			sd, err := strconv.ParseFloat(want.Certified.SD, 64)
			require.NoError(t, err)
			near(t, mean, s.Mean, 1e-14, "mean")
			near(t, sd, s.SD, c.sdRel, "sd")
			lag1, err := strconv.ParseFloat(want.Certified.Lag1, 64)
			require.NoError(t, err)
			got, stands, err := Lag1(c.data)
			require.NoError(t, err)
			near(t, lag1, got, max(c.sdRel, 1e-12), "autocorrelation")
			assert.Equal(t, c.name != "PiDigits" && c.name != "Lottery" && c.name != "NumAcc1", stands)
		})
	}
}

type groupStats struct {
	N                          int
	Mean, SD, Median, Min, Max float64
	Distinct                   int     `json:"distinct_values"`
	SDCounts                   float64 `json:"sd_counts"`
}

type publicSet struct {
	ID         string
	Resolution float64 `json:"instrument_resolution"`
	Before     []string
	After      []string
	Stats      struct{ Before, After groupStats }
	Difference float64 `json:"mean_difference_after_minus_before"`
	Welch      struct {
		T, DF, SE float64
		P         float64 `json:"p_two_sided"`
		CI95      [2]float64
	}
	F struct {
		Ratio float64    `json:"ratio_after_over_before"`
		DF    [2]int     `json:"df"`
		P     float64    `json:"p_two_sided"`
		CI    [2]float64 `json:"ratio_ci95"`
	} `json:"f_test"`
	Resol struct {
		UDiff  float64 `json:"u_diff_with_unaveraged_resolution"`
		Counts float64 `json:"abs_diff_in_counts"`
	} `json:"resolution_effect"`
}

func (p publicSet) samples(t *testing.T) (before, after Sample) {
	parse := func(in []string) (out []float64) {
		for _, s := range in {
			x, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err)
			out = append(out, x)
		}
		return out
	}
	return Sample{Values: parse(p.Before), Resolution: p.Resolution, Gauge: "one"},
		Sample{Values: parse(p.After), Resolution: p.Resolution, Gauge: "one"}
}

// Source: the project's own reference computation, R 4.2.2; see the README
// beside the file.
func TestPublicSets(t *testing.T) {
	var file struct{ Datasets []publicSet }
	load(t, "public_three.json", &file)
	require.Len(t, file.Datasets, 3)
	verdicts := map[string]Verdict{"P1": Shown, "P2": Shown, "P3": CannotTell}
	for _, p := range file.Datasets {
		t.Run(p.ID, func(t *testing.T) {
			before, after := p.samples(t)
			c, err := Compare(before, after, 0.95)
			require.NoError(t, err)
			const rel = 1e-6
			for _, side := range []struct {
				got    Summary
				counts float64
				want   groupStats
			}{{c.Before, c.SpreadCounts[0], p.Stats.Before}, {c.After, c.SpreadCounts[1], p.Stats.After}} {
				assert.Equal(t, side.want.N, side.got.N)
				assert.Equal(t, side.want.Distinct, side.got.Distinct)
				near(t, side.want.Mean, side.got.Mean, 1e-12, "mean")
				near(t, side.want.SD, side.got.SD, rel, "sd")
				near(t, side.want.Median, side.got.Median, 1e-12, "median")
				near(t, side.want.Min, side.got.Min, 0, "min")
				near(t, side.want.Max, side.got.Max, 0, "max")
				near(t, side.want.SDCounts, side.counts, rel, "sd in counts")
			}
			near(t, p.Difference, c.Difference, rel, "difference")
			w := c.Sampling
			require.True(t, c.HasSampling)
			near(t, p.Welch.T, w.T, rel, "t")
			near(t, p.Welch.DF, w.DF, rel, "df")
			near(t, p.Welch.P, w.P, rel, "p")
			near(t, p.Welch.SE, w.U, rel, "u")
			near(t, p.Welch.CI95[0], w.Low, rel, "low")
			near(t, p.Welch.CI95[1], w.High, rel, "high")

			f, err := FRatio(before.Values, after.Values, 0.95)
			require.NoError(t, err)
			near(t, p.F.Ratio, f.Ratio, rel, "F")
			near(t, p.F.P, f.P, rel, "F p")
			near(t, p.F.CI[0], f.Low, rel, "F low")
			near(t, p.F.CI[1], f.High, rel, "F high")
			assert.Equal(t, p.F.DF, [2]int{f.DFAfter, f.DFBefore})

			near(t, p.Resol.UDiff, c.Floor.U, rel, "u with resolution")
			near(t, p.Resol.Counts, math.Abs(c.DifferenceCounts), rel, "counts")
			assert.Equal(t, verdicts[p.ID], c.Verdict)
			assert.Equal(t, p.ID == "P3", c.Floor.Used)
		})
	}
}

func TestP3IsBeyondTheGauge(t *testing.T) {
	// p is 0.008 by every test, the difference 0.44 count: not a claim to make.
	var file struct{ Datasets []publicSet }
	load(t, "public_three.json", &file)
	before, after := file.Datasets[2].samples(t)
	c, err := Compare(before, after, 0.95)
	require.NoError(t, err)
	assert.Equal(t, BelowFloor, c.Reason)
	assert.Equal(t, FloorBoth, c.Floor.Cause)
	assert.InDelta(t, 0.82, c.Floor.Alone/c.Count, 0.005)
	assert.Less(t, c.Low, 0.0)
	assert.Greater(t, c.High, 0.0)
	// A gauge with a tenth of the count would have let the same readings speak.
	before.Resolution, after.Resolution = 1e-5, 1e-5
	c, err = Compare(before, after, 0.95)
	require.NoError(t, err)
	assert.Equal(t, Shown, c.Verdict)
	assert.Equal(t, FloorNotNeeded, c.Floor.Cause)
}

// Sources: data of Vardeman and Jobe, Basic Engineering Data Collection and
// Analysis (gear run-out, turned dimension); results by R 4.2.2.
func TestTextbookData(t *testing.T) {
	var file struct {
		Gears struct {
			Laid, Hung       []float64
			N                [2]int
			Mean, SD, Median [2]float64
			Welch            struct {
				T, DF, P float64
				CI       [2]float64
			}
			F struct {
				Ratio, P float64
				CI       [2]float64
			}
		}
		CNC struct {
			X        []float64
			Mean, SD float64
			Pred95   [2]float64
			Pred90   [2]float64
			Distinct int
		} `json:"cnc20"`
	}
	load(t, "real_and_edge_cases.json", &file)
	g := file.Gears
	const rel = 1e-9
	for k, x := range [][]float64{g.Laid, g.Hung} {
		s, err := Summarize(x)
		require.NoError(t, err)
		assert.Equal(t, g.N[k], s.N)
		near(t, g.Mean[k], s.Mean, rel, "mean")
		near(t, g.SD[k], s.SD, rel, "sd")
		near(t, g.Median[k], s.Median, rel, "median")
	}
	w, err := Welch(g.Hung, g.Laid, 0.95)
	require.NoError(t, err)
	near(t, g.Welch.T, w.T, rel, "t")
	near(t, g.Welch.DF, w.DF, rel, "df")
	near(t, g.Welch.P, w.P, 1e-8, "p")
	near(t, g.Welch.CI[0], w.Low, 1e-8, "low")
	near(t, g.Welch.CI[1], w.High, 1e-8, "high")
	f, err := FRatio(g.Hung, g.Laid, 0.95)
	require.NoError(t, err)
	near(t, g.F.Ratio, f.Ratio, rel, "F")
	near(t, g.F.P, f.P, 1e-8, "F p")
	near(t, g.F.CI[0], f.Low, 1e-8, "F low")
	near(t, g.F.CI[1], f.High, 1e-8, "F high")

	s, err := Summarize(file.CNC.X)
	require.NoError(t, err)
	near(t, file.CNC.Mean, s.Mean, rel, "mean")
	near(t, file.CNC.SD, s.SD, rel, "sd")
	assert.Equal(t, file.CNC.Distinct, s.Distinct)
	for _, c := range []struct {
		conf float64
		want [2]float64
	}{{0.95, file.CNC.Pred95}, {0.90, file.CNC.Pred90}} {
		p, err := Prediction(s.Mean, s.SD, s.N, c.conf)
		require.NoError(t, err)
		near(t, c.want[0], p.Low, 1e-8, "prediction low")
		near(t, c.want[1], p.High, 1e-8, "prediction high")
	}
}

// Source: NIST/SEMATECH e-Handbook 1.3.5.3 (AUTO83B), 1.3.5.9 (JAHANMI2) and
// 7.3.2: printed sizes, means and standard deviations; results recomputed with R
// from the printed inputs. Where the handbook prints a result it is beside it.
func TestHandbookExamples(t *testing.T) {
	var file struct {
		Auto struct {
			Welch struct {
				T, DF, P float64
				CI       [2]float64
			}
		} `json:"auto83b"`
		Jahanmi struct {
			F, P2 float64
			Crit  [2]float64 `json:"crit_two_sided_05"`
			CI    [2]float64 `json:"ci_ratio"`
		} `json:"jahanmi2"`
		Two struct {
			F    float64
			Crit [2]float64 `json:"crit_two"`
		} `json:"prc32"`
	}
	load(t, "nist_examples_computed.json", &file)

	us, japan := Summary{N: 249, Mean: 20.14458, SD: 6.41470}, Summary{N: 79, Mean: 30.48101, SD: 6.10771}
	w, err := welch(japan, us, 0.95)
	require.NoError(t, err)
	near(t, file.Auto.Welch.T, w.T, 1e-9, "t")
	near(t, file.Auto.Welch.DF, w.DF, 1e-9, "df")
	near(t, file.Auto.Welch.P, w.P, 1e-7, "p")
	near(t, file.Auto.Welch.CI[0], w.Low, 1e-9, "low")
	near(t, file.Auto.Welch.CI[1], w.High, 1e-9, "high")

	f, err := fRatio(Summary{N: 240, SD: 61.85425}, Summary{N: 240, SD: 65.54909}, 0.95)
	require.NoError(t, err)
	assert.InDelta(t, 1.123037, f.Ratio, 5e-7) // printed
	near(t, file.Jahanmi.F, f.Ratio, 1e-9, "F")
	near(t, file.Jahanmi.P2, f.P, 1e-8, "p")
	near(t, file.Jahanmi.Crit[0], f.CriticalLow, 1e-8, "critical low")
	near(t, file.Jahanmi.Crit[1], f.CriticalHigh, 1e-8, "critical high")
	near(t, file.Jahanmi.CI[0], f.Low, 1e-8, "low")
	near(t, file.Jahanmi.CI[1], f.High, 1e-8, "high")

	f, err = fRatio(Summary{N: 9, SD: 2.5874}, Summary{N: 11, SD: 4.9082}, 0.95)
	require.NoError(t, err)
	near(t, file.Two.F, f.Ratio, 1e-9, "F")
	near(t, file.Two.Crit[0], f.CriticalLow, 1e-8, "critical low")
	near(t, file.Two.Crit[1], f.CriticalHigh, 1e-8, "critical high")
}
