package boring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/internal/testkit"
	"tenths/calc/quantity"
)

func TestRadiusChange(t *testing.T) {
	for _, c := range []struct {
		source, standing            string
		target, estimate, k, change string
	}{
		// Formula sheet of the trade, F9: 0.18715 to 0.1877 in.
		{"shop formula (target - estimate)/(2k), k = 1", practice, "0.1877 in", "0.18715 in", "1", "0.00028 in"},
		{"the same with k = 0.92", practice, "0.1877 in", "0.18715 in", "0.92", "0.00030 in"},
		{"the same in mm", practice, "4.76758 mm", "4.75361 mm", "1", "0.00698 mm"},
	} {
		got, err := RadiusChange(testkit.Q(t, c.target), testkit.Q(t, c.estimate), testkit.Q(t, c.k))
		require.NoError(t, err)
		assert.True(t, got.Exact())
		want := testkit.Q(t, c.change)
		assert.Equal(t, c.change, got.Format(want.Unit(), want.Decimals()), c.source)
	}
}

// start is a hole bracketed at 0.18715 ± 0.00015 in.
func start(t *testing.T) []Fact {
	return []Fact{goes(t, "0.1870 ±0 in"), refuses(t, "0.1873 ±0 in")}
}

func TestNext(t *testing.T) {
	const limits = "0.1875 +0.0005/-0 in"
	pass := func(change string, facts ...Fact) Pass { return Pass{Change: testkit.Q(t, change), Facts: facts} }
	for _, c := range []struct {
		name     string
		job      Job
		decision Decision
		change   string
		most     string
		why      string
	}{
		{"first pass, nothing learned", Job{Start: start(t), Target: testkit.Q(t, "0.1877 in")}, GoOn, "0.00032 in", "0.00035 in",
			"the hole lies between 0.18700 in and 0.18730 in; with 0.00032 in more on the radius it comes to lie between 0.18751 in and 0.18794 in, not above 0.1880 in"},
		{"no more than cannot go over", Job{Start: []Fact{goes(t, "0.1870 ±0 in"), refuses(t, "0.1878 ±0 in")}}, GoOn, "0.0001 in", "0.0001 in", "gauge again after it"},
		{"whole increments, rounded down", Job{Start: start(t), Increment: testkit.Q(t, "0.0001 in")}, GoOn, "0.0003 in", "0.0003 in", ""},
		{"stop on the limits themselves", Job{Start: start(t), Passes: []Pass{pass("0.00035 in", goes(t, "0.1875 ±0 in"), refuses(t, "0.1880 ±0 in"))}}, Stop, "", "", "the hole lies between 0.18750 in and 0.18800 in, inside 0.1875 +0.0005/-0 in"},
		{"may be over", Job{Start: start(t), Passes: []Pass{pass("0.00035 in", goes(t, "0.1875 ±0 in"), refuses(t, "0.1881 ±0 in"))}}, CannotTell, "", "", "may already be above its upper limit 0.1880 in"},
		{"is over", Job{Start: start(t), Passes: []Pass{pass("0.00055 in", goes(t, "0.1881 ±0 in"))}}, Oversize, "", "", "the hole is at least 0.18810 in and its upper limit is 0.1880 in"},
		{"no NOT GO", Job{Start: []Fact{goes(t, "0.1870 ±0 in")}}, CannotTell, "", "", "try larger gauges"},
		{"no GO", Job{Start: []Fact{refuses(t, "0.1873 ±0 in")}}, CannotTell, "", "0.00035 in", "try smaller gauges"},
		{"too coarse", Job{Start: []Fact{goes(t, "0.1874 ±0 in"), refuses(t, "0.1880 ±0 in")}}, CannotTell, "", "0 in", "bracket it closer"},
		{"estimate past the target", Job{Start: []Fact{goes(t, "0.1872 ±0 in"), refuses(t, "0.1879 ±0 in")}, Target: testkit.Q(t, "0.1875 in")}, CannotTell, "", "0.00005 in", "bracket it closer"},
		{"hole shrank", Job{Start: start(t), Passes: []Pass{pass("0.0001 in", refuses(t, "0.1868 ±0 in"))}}, CannotTell, "", "", "after pass 1: the gauges contradict each other: the hole was at least 0.18700 in before and is at most 0.18680 in now"},
		{"gauges contradict", Job{Start: []Fact{goes(t, "0.1874 ±0 in"), refuses(t, "0.1873 ±0 in")}}, CannotTell, "", "", "before the first pass: the gauges contradict"},
		{"gain beyond what was granted", Job{Start: start(t), Passes: []Pass{pass("0.0001 in", goes(t, "0.1876 ±0 in"), refuses(t, "0.1878 ±0 in"))}}, CannotTell, "", "", "passes 1 to 1 gained 1.50 to 4.00 of what was commanded, outside 0.80 to 1.00"},
		{"a repeated pass that cuts", Job{Start: start(t), Passes: []Pass{pass("0 in", goes(t, "0.1874 ±0 in"), refuses(t, "0.1875 ±0 in"))}}, CannotTell, "", "", "a repeated pass opened the hole"},
		{"the same, and spring is granted", Job{Start: start(t), Gain: Gain{Spring: testkit.Q(t, "0.0001 in")}, Passes: []Pass{pass("0 in", goes(t, "0.1874 ±0 in"), refuses(t, "0.1875 ±0 in"))}}, GoOn, "0.00015 in", "0.00015 in", ""},
		{"spring beside a command", Job{Start: []Fact{goes(t, "0.1870 ±0 in"), refuses(t, "0.1870 ±0 in")}, Gain: Gain{Spring: testkit.Q(t, "0.0001 in")},
			Passes: []Pass{pass("0.0001 in", goes(t, "0.18738 ±0 in"), refuses(t, "0.18738 ±0 in"))}}, GoOn, "0.00018 in", "0.00021 in", ""},
		{"not gauged after the pass", Job{Start: start(t), Passes: []Pass{pass("0.0002 in")}}, GoOn, "0.00012 in", "0.00015 in", "the last pass was not gauged, its result is predicted"},
		{"expected inside, not gauged", Job{Start: []Fact{goes(t, "0.18728 ±0 in"), refuses(t, "0.1873 ±0 in")}, Passes: []Pass{pass("0.0003 in")}}, CannotTell, "", "", "the hole is expected between 0.18776 in and 0.18790 in, inside 0.1875 +0.0005/-0 in; gauge it before it counts"},
		{"entered more than was to be expected", Job{Start: start(t), Passes: []Pass{pass("0.0001 in", goes(t, "0.1876 ±0 in"))}}, CannotTell, "", "", "no more than 0.18750 in was to be expected"},
		{"cutter does not cut", Job{Start: start(t), Gain: Gain{Low: testkit.Q(t, "0"), Spread: testkit.Q(t, "0")}, Passes: []Pass{pass("0.0002 in", goes(t, "0.1870 ±0 in"), refuses(t, "0.1870 ±0 in"))}}, CannotTell, "", "", "see that the cutter cuts"},
		{"gains too different", Job{Start: []Fact{goes(t, "0.1860 ±0 in"), refuses(t, "0.1860 ±0 in")}, Gain: Gain{Low: testkit.Q(t, "0.5"), Spread: testkit.Q(t, "0.05")},
			Passes: []Pass{pass("0.0005 in", goes(t, "0.1870 ±0 in"), refuses(t, "0.1870 ±0 in")), pass("0.0002 in", goes(t, "0.1872 ±0 in"), refuses(t, "0.1872 ±0 in"))}}, CannotTell, "", "", "differ in gain by more than twice the spread 0.05"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.job.Limits = tol(t, limits)
			s, err := Next(c.job)
			require.NoError(t, err)
			assert.Equal(t, c.decision, s.Decision, s.Why)
			same(t, c.change, s.Change)
			same(t, c.most, s.Most)
			assert.Contains(t, s.Why, c.why)
			assert.Len(t, s.Cautions, 3)
		})
	}
}

// Three passes of 0.0005 in radius that gained 0.92: each is exactly 0.00092 on
// the diameter. The mean is learned exactly, its half-width shrinks with the
// commands, and the next aim uses it.
func TestGainIsLearned(t *testing.T) {
	job := Job{Limits: tol(t, "0.1900 +0.0005/-0 in"), Gain: Gain{Spread: testkit.Q(t, "0.02")}}
	at := func(lower, upper string) []Fact { return []Fact{goes(t, lower+" ±0 in"), refuses(t, upper+" ±0 in")} }
	job.Start = at("0.18685", "0.18715")
	var halves []float64
	for _, z := range [][2]string{{"0.18777", "0.18807"}, {"0.18869", "0.18899"}, {"0.18961", "0.18991"}} {
		job.Passes = append(job.Passes, Pass{Change: testkit.Q(t, "0.0005 in"), Facts: at(z[0], z[1])})
		s, err := Next(job)
		require.NoError(t, err)
		same(t, "0.92", s.Learned.Mean)
		halves = append(halves, s.Learned.Half.Float())
		assert.Equal(t, len(job.Passes), s.Learned.Passes)
	}
	assert.InDeltaSlice(t, []float64{0.3, 0.15, 0.1}, halves, 1e-12) // 0.00030/(2·ΣΔr)
	s, err := Next(job)
	require.NoError(t, err)
	// Mean gain 0.92 ± 0.10 from all three, ± spread twice: 0.80 to 1.
	same(t, "0.8", s.Learned.Low)
	same(t, "1", s.Learned.High)
	aim, err := RadiusChange(testkit.Q(t, "0.19025 in"), testkit.Q(t, "0.18976 in"), testkit.Q(t, "0.92"))
	require.NoError(t, err)
	n, err := aim.Cmp(s.Aim)
	require.NoError(t, err)
	assert.Zero(t, n)

	// With closer gauges the limits of the next gain close in: 0.92 ± 0.01 from
	// the widths, and twice the spread.
	job.Start, job.Passes = at("0.186985", "0.187015"), nil
	for _, z := range [][2]string{{"0.187905", "0.187935"}, {"0.188825", "0.188855"}, {"0.189745", "0.189775"}} {
		job.Passes = append(job.Passes, Pass{Change: testkit.Q(t, "0.0005 in"), Facts: at(z[0], z[1])})
	}
	s, err = Next(job)
	require.NoError(t, err)
	same(t, "0.87", s.Learned.Low)
	same(t, "0.97", s.Learned.High)
}

func TestRefusals(t *testing.T) {
	good := func() Job { return Job{Limits: tol(t, "0.1875 +0.0005/-0 in"), Start: start(t)} }
	for _, c := range []struct {
		name, want string
		spoil      func(*Job)
	}{
		{"no limits", "type both, such as 0.1875 +0.0005/-0 in", func(j *Job) { j.Limits = tol(t, "0.1875 in") }},
		{"limits of an angle", "type a length above 0", func(j *Job) { j.Limits = tol(t, "10..12 deg") }},
		{"target outside", "type a diameter inside them", func(j *Job) { j.Target = testkit.Q(t, "0.1881 in") }},
		{"target an angle", "target diameter: 3 deg is an angle; type a length above 0, such as 0.1877 in", func(j *Job) { j.Target = testkit.Q(t, "3 deg") }},
		{"negative change", "change of radius of pass 1: -0.0001 in is not above 0; type a length above 0, such as 0.0003 in, or 0 in", func(j *Job) { j.Passes = []Pass{{Change: testkit.Q(t, "-0.0001 in")}} }},
		{"no change", "change of radius of pass 1: no value", func(j *Job) { j.Passes = []Pass{{}} }},
		{"change without unit", "is a plain number; type a length", func(j *Job) { j.Passes = []Pass{{Change: testkit.Q(t, "0.0003")}} }},
		{"gauge without tolerance", `gauge "0.1870 in" has no tolerance; type the limits of its true size`, func(j *Job) { j.Start[0].Gauge = tol(t, "0.1870 in") }},
		{"gain of a length", "highest gain: 1 in is a length; type a plain number above 0, such as 1", func(j *Job) { j.Gain.High = testkit.Q(t, "1 in") }},
		{"gain of zero", "highest gain: 0 is not above 0", func(j *Job) { j.Gain.High = testkit.Q(t, "0") }},
		{"gain in percent of a percent", "type a number near 1", func(j *Job) { j.Gain.High = testkit.Q(t, "92") }},
		{"gains crossed", "type the lower one first", func(j *Job) { j.Gain.Low = testkit.Q(t, "1.2") }},
		{"negative spring", "spring: -0.0001 in is not above 0", func(j *Job) { j.Gain.Spring = testkit.Q(t, "-0.0001 in") }},
		{"increment zero", "increment of the control: 0 in is not above 0", func(j *Job) { j.Increment = testkit.Q(t, "0 in") }},
		{"entry an angle", "clearance for entering: 1 deg is an angle", func(j *Job) { j.Entry = testkit.Q(t, "1 deg") }},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := good()
			c.spoil(&j)
			_, err := Next(j)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
		})
	}
	for _, c := range []struct {
		cut  Cut
		want string
	}{
		{Cut{}, "hole diameter: no value; type a length above 0, such as 0.1880 in"},
		{Cut{Hole: testkit.Q(t, "0 in"), Cutter: testkit.Q(t, "0.1 in")}, "hole diameter: 0 in is not above 0"},
		{Cut{Hole: testkit.Q(t, "-1 in"), Cutter: testkit.Q(t, "0.1 in")}, "hole diameter: -1 in is not above 0"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "68 F")}, "cutter diameter: 68 F is a temperature; type a length above 0"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "1 in")}, "type a cutter smaller than the hole"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), Before: testkit.Q(t, "1 in")}, "leaves nothing to cut"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), Pitch: testkit.Q(t, "0.1 in"), Ramp: testkit.Q(t, "1 deg")}, "leave one out"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), WallFeed: testkit.Q(t, "1 in/min"), CentreFeed: testkit.Q(t, "1 in/min")}, "leave one out"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), WallFeed: testkit.Q(t, "1 in")}, "feed at the wall: 1 in is a length; type a speed above 0, such as 800 mm/min"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), Ramp: testkit.Q(t, "60 deg")}, "type an angle up to 45 deg"},
		{Cut{Hole: testkit.Q(t, "1 in"), Cutter: testkit.Q(t, "0.5 in"), FlatRounds: -1}, "type a whole number"},
	} {
		_, err := Helix(c.cut)
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.want)
	}
	_, err := HoleRange(testkit.Q(t, "10 mm"), testkit.Q(t, "11 mm"), quantity.Quantity{})
	assert.ErrorContains(t, err, "type the diameter inside the cutting edges")
	_, err = HoleRange(testkit.Q(t, "10 mm"), quantity.Quantity{}, testkit.Q(t, "6 mm"))
	assert.ErrorContains(t, err, "type the radius, not the diameter")
	_, _, err = Speeds(testkit.Q(t, "25 m/min"), testkit.Q(t, "35 mm"), testkit.Q(t, "0.2 mm"), 0)
	assert.ErrorContains(t, err, "type the number of teeth")
	_, err = BossCentreFeed(testkit.Q(t, "25 m"), testkit.Q(t, "35 mm"), testkit.Q(t, "20 mm"))
	assert.ErrorContains(t, err, "feed at the wall: 25 m is a length")
	_, err = RadiusChange(testkit.Q(t, "0.1877 in"), testkit.Q(t, "0.18715 in"), testkit.Q(t, "0"))
	assert.ErrorContains(t, err, "gain: 0 is not above 0")
}
