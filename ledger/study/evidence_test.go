package study_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"tenths/ledger/study"
)

// evidenceParts are the characteristics and gauges of the invented focuser
// shop that its changes were judged by.
var evidenceParts = map[string]string{
	"parts/A-01.md": `kind = "part"
id = "A-01"
title = "Focuser"
[[characteristic]]
id = "KC-1"
title = "Step at the seam"
limits = "0 ±0.0010"
goal = "0 ±0.0005"
judge = "largest"
[[characteristic.point]]
id = "K1"
[[characteristic.point]]
id = "K2"
[[characteristic.point]]
id = "K3"
[[characteristic.point]]
id = "K4"
[[characteristic.point]]
id = "K5"
[[characteristic.point]]
id = "K6"
[[characteristic]]
id = "KC-4"
title = "Step at K4"
limits = "0 ±0.0010"
[[characteristic]]
id = "KC-S"
title = "Step at K3, its spread"
limits = "0 ±0.0010"
[[characteristic]]
id = "taper"
title = "Taper of the edge"
limits = "<= 0.0010"
[[characteristic]]
id = "width"
title = "Width"
limits = "1.5000 ±0.0010"
[[characteristic]]
id = "hole"
title = "Hole"
limits = "0.1875..0.1880"
[[characteristic.was]]
until = 2024-05-20
limits = "0.1875..0.1885"
[[characteristic]]
id = "Ra"
title = "Roughness"
limits = "<= 50 uin"
better = "smaller"
[[characteristic]]
id = "seat"
title = "Needs a mallet"
type = "count"
`,
	"gauges/G4.md": "kind = \"gauge\"\nid = \"G4\"\ntitle = \"indicator\"\ntype = \"indicator\"\nstate = \"in service\"\nresolution = \"0.0001\"\nreads_to = \"0.00005\"\nuncertainty = \"0.00008\"\n[[calibration]]\non = 2023-11-06\ndue = 2026-11-06\nresult = \"conforms\"\n",
	"gauges/G5.md": "kind = \"gauge\"\nid = \"G5\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\nstate = \"in service\"\nresolution = \"0.0001\"\nuncertainty = \"0.00015\"\n[[calibration]]\non = 2024-06-03\nresult = \"conforms\"\n",
	"gauges/G8.md": "kind = \"gauge\"\nid = \"G8\"\ntitle = \"micrometer\"\ntype = \"micrometer\"\nstate = \"in service\"\nresolution = \"0.0001\"\nuncertainty = \"0.00012\"\n[[calibration]]\non = 2024-06-03\nresult = \"conforms\"\n",
	"gauges/G9.md": "kind = \"gauge\"\nid = \"G9\"\ntitle = \"roughness tester\"\ntype = \"roughness tester\"\nstate = \"in service\"\nresolution = \"1 uin\"\nuncertainty = \"3 uin\"\n[[calibration]]\non = 2024-06-03\nresult = \"conforms\"\n",
}

// evidence loads a change with its inspections and gives its comparisons as of
// a day.
func evidence(t *testing.T, day, change string, inspections ...string) []*study.Evidence {
	t.Helper()
	s := changeSet(t, day, change, inspections...)
	return s.Evidence(s.L.Record("CH"))
}

func changeSet(t *testing.T, day, change string, inspections ...string) *study.Set {
	t.Helper()
	texts := map[string]string{"c.md": "kind = \"change\"\nid = \"CH\"\ntitle = \"change\"\nstate = \"done\"\n" + change}
	for k, v := range evidenceParts {
		texts[k] = v
	}
	for i, in := range inspections {
		texts[fmt.Sprintf("i%d.md", i)] = "kind = \"inspection\"\ntitle = \"readings\"\npart = \"A-01\"\n" + in
	}
	return study.New(loadTexts(t, texts), on(t, day))
}

func inspection(id, day, char, rest string) string {
	return fmt.Sprintf("id = %q\non = %s\ncharacteristic = \"A-01/%s\"\n%s\n", id, day, char, rest)
}

// tenthsBy is readings in tenths with a gauge.
func tenthsBy(gauge, readings string) string {
	return fmt.Sprintf("gauge = %q\ndeviation_in = \"tenths\"\nreadings = %q", gauge, readings)
}

const pair = "before = \"B\"\nafter = \"A\"\n"

// welch is Welch's interval by a general library, apart from calc/stats.
func welch(b, a []float64) (diff, half float64) {
	mb, sb := stat.MeanStdDev(b, nil)
	ma, sa := stat.MeanStdDev(a, nil)
	vb, va := sb*sb/float64(len(b)), sa*sa/float64(len(a))
	df := (vb + va) * (vb + va) / (vb*vb/float64(len(b)-1) + va*va/float64(len(a)-1))
	return ma - mb, distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(0.975) * math.Sqrt(vb+va)
}

// TestDemoEvidence compares the changes of the invented focuser shop with the
// differences and intervals that its table gives (one decimal), and with
// Welch's interval by gonum.
func TestDemoEvidence(t *testing.T) {
	for _, c := range []struct {
		name, char, gauge string
		before, after     string
		b, a              []float64
		diff, low, high   float64
		effect            study.Effect
		outsideLimits     int
	}{
		{"CH-03 long-reach finisher", "taper", "G4", "2.0 2.0 2.5 2.0 2.0", "10.5 10.5 10.0 8.5 11.0",
			[]float64{2, 2, 2.5, 2, 2}, []float64{10.5, 10.5, 10, 8.5, 11}, 8.0, 6.8, 9.2, study.Worse, 3},
		{"CH-04 step at K4", "KC-4", "G4", "9.0 2.5 3.0 3.0 4.5 5.0", "1.5 -1.5 0 0 .5 0",
			[]float64{9, 2.5, 3, 3, 4.5, 5}, []float64{1.5, -1.5, 0, 0, .5, 0}, -4.4, -7.0, -1.9, study.Better, 0},
		{"CH-05 warm-up", "KC-4", "G5", "3 6 6 5", "2 6 3 4",
			[]float64{3, 6, 6, 5}, []float64{2, 6, 3, 4}, -1.2, -4.0, 1.5, study.NotShown, 0},
		{"CH-08 saddle position", "KC-4", "G4", "7.5 6.5 5.5 6.0 6.5 6.5", "3.0 2.5 1.5 2.5 2.5 .5",
			[]float64{7.5, 6.5, 5.5, 6, 6.5, 6.5}, []float64{3, 2.5, 1.5, 2.5, 2.5, .5}, -4.3, -5.4, -3.3, study.Better, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			ev := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/"+c.char+"\"\n",
				inspection("B", "2024-08-05", c.char, tenthsBy(c.gauge, c.before)), inspection("A", "2024-08-12", c.char, tenthsBy(c.gauge, c.after)))
			require.Len(t, ev, 1)
			e := ev[0]
			require.Empty(t, e.Problem)
			assert.Equal(t, "tenths", e.Unit.Name())
			assert.InDeltaSlice(t, c.b, e.Before.Judged, 1e-9)
			assert.InDeltaSlice(t, c.a, e.After.Judged, 1e-9)
			diff, half := welch(c.b, c.a)
			assert.InDelta(t, diff, e.C.Sampling.Difference, 1e-9)
			assert.InDelta(t, diff-half, e.C.Sampling.Low, 1e-9)
			assert.InDelta(t, diff+half, e.C.Sampling.High, 1e-9)
			const rounding = 0.0501
			assert.InDelta(t, c.diff, e.C.Difference, rounding)
			assert.InDelta(t, c.low, e.C.Low, rounding)
			assert.InDelta(t, c.high, e.C.High, rounding)
			assert.Equal(t, c.effect, e.Effect)
			assert.Equal(t, c.outsideLimits, e.OutsideLimits)
		})
	}
}

// seam is the CH-01 readings of the invented shop, six points on six pieces.
var seamBefore = [][]float64{{-4.5, -10.5, 6, 7, -3.5, 13}, {-12, -7, 0, 10, 0, 4.5}, {-4.5, -12.5, 3, 5, -1, 13.5}, {-2.5, -15.5, .5, 2.5, .5, 16.5}, {-5, -15.5, 7.5, 7.5, -6.5, 17.5}, {-5.5, -7.5, 9, 9, -6, 7.5}}
var seamAfter = [][]float64{{3, -4.5, -9.5, 3, 14.5, 11.5}, {-2.5, -3.5, -8.5, 5, 12, 6}, {-.5, 2.5, -4, 4, 7, .5}, {-6.5, -1.5, .5, 9, 3.5, 5.5}, {-2.5, 0, 1, 3, -.5, 1}, {-4, 1.5, -1.5, 5, 3, -1.5}}

func seam(rows [][]float64) string {
	out := "gauge = \"G4\"\ndeviation_in = \"tenths\"\n"
	for i, r := range rows {
		out += fmt.Sprintf("[[reading]]\npiece = \"%d\"\nvalues = \"", i+1)
		for _, v := range r {
			out += fmt.Sprintf("%v ", v)
		}
		out += "\"\n"
	}
	return out
}

// TestDemoSeam judges the largest of six points a piece, and each point alone:
// CH-01 of the invented shop, whose table gives the numbers to one decimal.
func TestDemoSeam(t *testing.T) {
	e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/KC-1\"\n", inspection("B", "2024-03-09", "KC-1", seam(seamBefore)), inspection("A", "2024-03-13", "KC-1", seam(seamAfter)))[0]
	require.Empty(t, e.Problem)
	assert.InDeltaSlice(t, []float64{13, 12, 13.5, 16.5, 17.5, 9}, e.Before.Judged, 1e-9)
	assert.InDeltaSlice(t, []float64{14.5, 12, 7, 9, 3, 5}, e.After.Judged, 1e-9)
	for _, n := range []struct{ got, want float64 }{{e.C.Difference, -5.2}, {e.C.Low, -10.1}, {e.C.High, -0.3}} {
		assert.InDelta(t, n.want, n.got, 0.0501)
	}
	assert.Equal(t, study.Better, e.Effect)
	assert.Equal(t, 2, e.OutsideLimits, "two of six still over 10")
	assert.Equal(t, 4, e.OutsideGoal, "goal 5: 14.5, 12, 7 and 9 are over it")
	want := []struct {
		point           string
		diff, low, high float64
		worse           bool
	}{
		{"K1", 3.5, -.7, 7.7, false}, {"K2", 10.5, 6.2, 14.8, false}, {"K3", -8.0, -13.3, -2.7, false},
		{"K4", -2.0, -5.2, 1.2, false}, {"K5", 9.3, 3.2, 15.5, true}, {"K6", -8.2, -14.6, -1.9, false},
	}
	require.Len(t, e.Points, len(want))
	for i, w := range want {
		p := e.Points[i]
		assert.Equal(t, w.point, p.Point)
		assert.InDelta(t, w.diff, p.C.Difference, 0.0501, w.point)
		assert.InDelta(t, w.low, p.C.Low, 0.0501, w.point)
		assert.InDelta(t, w.high, p.C.High, 0.0501, w.point)
		assert.Equal(t, w.worse, p.Worse, "%s: -2.8 -> +6.6 is shown worse, the others are nearer to nothing", w.point)
	}
}

// TestDemoSpread is CH-02 of the invented shop: s 3.5 -> 1.7 at K3, ratio 2.04,
// F 4.15 against 4.03.
func TestDemoSpread(t *testing.T) {
	e := evidence(t, "2025-11-25", pair+"claim = \"spread\"\ncharacteristic = \"A-01/KC-S\"\n",
		inspection("B", "2024-05-15", "KC-S", tenthsBy("G4", "-.5 .5 -3.5 .5 -5.5 -3 2 4 -6.5 -5")), inspection("A", "2024-05-24", "KC-S", tenthsBy("G4", "0 -2 -3.5 2 -3 0 1 0 -1 -1")))[0]
	require.Empty(t, e.Problem)
	assert.InDelta(t, 3.5, e.Spread.Before.SD, 0.0501)
	assert.InDelta(t, 1.7, e.Spread.After.SD, 0.0501)
	assert.InDelta(t, 2.04, 1/e.Spread.SDRatio, 0.005)
	assert.InDelta(t, 4.15, 1/e.Spread.F.Ratio, 0.02)
	assert.InDelta(t, 4.03, distuv.F{D1: 9, D2: 9}.Quantile(0.975), 0.005)
	assert.Equal(t, study.Better, e.Effect)
}

// TestDemoCounts is the mallet of CH-04 (3 of 20 -> 0 of 20, p = .23) and what
// would have been enough (6 of 40 -> 0 of 40, p = .03), as the invented shop
// gives them; the same by touch.
func TestDemoCounts(t *testing.T) {
	for _, c := range []struct {
		before, after string
		p             float64
		effect        study.Effect
	}{
		{"count = \"3 of 20\"", "count = \"0 of 20\"", 0.23, study.NotShown},
		{"count = \"6 of 40\"", "count = \"0 of 40\"", 0.03, study.Better},
		{"count = \"0 of 40\"", "count = \"6 of 40\"", 0.03, study.Worse},
		{"touch = \"1 2 0 1 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0\"", "count = \"0 of 20\"", 0.23, study.NotShown},
	} {
		e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/seat\"\n", inspection("B", "2024-10-05", "seat", c.before), inspection("A", "2024-10-16", "seat", c.after))[0]
		require.Empty(t, e.Problem)
		require.True(t, e.HasCounts)
		assert.InDelta(t, c.p, e.Counts.TwoSided, 0.005, c.before)
		assert.Equal(t, c.effect, e.Effect, c.before)
	}
}

// TestEvidenceRollBack is CH-03 undone: 3.0 1.5 2.0 2.0 against the readings
// before, 0.0 (-.9 … +1.0).
func TestEvidenceRollBack(t *testing.T) {
	e := evidence(t, "2025-11-25", pair+"after_roll_back = \"R\"\ncharacteristic = \"A-01/taper\"\n",
		inspection("B", "2024-08-02", "taper", tenthsBy("G4", "2.0 2.0 2.5 2.0 2.0")), inspection("A", "2024-08-06", "taper", tenthsBy("G4", "10.5 10.5 10.0 8.5 11.0")),
		inspection("R", "2024-08-14", "taper", tenthsBy("G4", "3.0 1.5 2.0 2.0")))[0]
	require.NotNil(t, e.Restored)
	diff, half := welch([]float64{2, 2, 2.5, 2, 2}, []float64{3, 1.5, 2, 2})
	assert.InDelta(t, diff, e.Restored.Sampling.Difference, 1e-9)
	assert.InDelta(t, diff-half, e.Restored.Sampling.Low, 1e-9)
	assert.InDelta(t, 0, e.Restored.Sampling.Difference, 0.0501)
	assert.InDelta(t, -.9, e.Restored.Sampling.Low, 0.0501)
	assert.InDelta(t, 1.0, e.Restored.Sampling.High, 0.0501)
	margin, shown := e.BackWithin()
	assert.True(t, shown)
	assert.InDelta(t, 4.0, margin, 0.0501, "half of 8.0")
}

// TestBackWithin: that nothing is shown to differ is not that all is back. Two
// scattered readings show neither; readings half way back are not restored; where
// nothing had moved there is no margin.
func TestBackWithin(t *testing.T) {
	const before, harmed = "2.0 2.0 2.5 2.0 2.0", "10.5 10.5 10.0 8.5 11.0"
	for _, c := range []struct {
		name, before, after, back string
		want                      bool
	}{
		{"back", before, harmed, "3.0 1.5 2.0 2.0", true},
		{"too few and scattered", before, harmed, "0.5 4.0", false},
		{"half way", before, harmed, "6.0 6.5 5.5 6.0", false},
		{"never moved", before, "2.0 2.5 2.0 1.5 2.0", "2.0 2.0 2.5 2.0", false},
		{"nobody measured", before, harmed, "", false},
	} {
		inspections := []string{inspection("B", "2024-08-02", "taper", tenthsBy("G4", c.before)), inspection("A", "2024-08-06", "taper", tenthsBy("G4", c.after))}
		change := pair + "characteristic = \"A-01/taper\"\n"
		if c.back != "" {
			change += "after_roll_back = \"R\"\n"
			inspections = append(inspections, inspection("R", "2024-08-14", "taper", tenthsBy("G4", c.back)))
		}
		_, shown := evidence(t, "2025-11-25", change, inspections...)[0].BackWithin()
		assert.Equal(t, c.want, shown, c.name)
	}
}

// TestEvidenceUnits writes the same readings as tenths, as full sizes in
// inches, in thou, and mixed with millimetres: nothing changes.
func TestEvidenceUnits(t *testing.T) {
	want := []float64{4, 6, 3, -2}
	for _, text := range []string{
		"deviation_in = \"tenths\"\nreadings = \"+4 +6 +3 -2\"",
		"deviation_in = \"thou\"\nreadings = \"0.4 0.6 0.3 -0.2\"",
		"deviation_in = \"tenths\"\nnominal_is = \"1.4990\"\nreadings = \"14 16 13 8\"",
		"readings = [1.5004, 1.5006, \"1.5003\", \"1.4998\"]",
		"readings = [\"38.11016 mm\", \"1.5006 in\", \"1500.3 thou\", \"38.09492 mm\"]",
		"[[reading]]\npiece = \"1\"\nvalues = [1.5004]\n[[reading]]\npiece = \"2\"\nvalues = [1.5006]\n[[reading]]\npiece = \"x\"\nstate = \"void\"\nvalues = [9.9]\n[[reading]]\npiece = \"3\"\nvalues = [1.5003]\n[[reading]]\npiece = \"4\"\nvalues = [1.4998]",
	} {
		e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/width\"\n", inspection("B", "2025-01-10", "width", "gauge = \"G5\"\n"+text), inspection("A", "2025-01-20", "width", tenthsBy("G5", "+1 0 +10 -10")))[0]
		require.Empty(t, e.Problem)
		require.Len(t, e.Before.Judged, 4, text)
		var inTenths []float64
		for _, v := range e.Before.Judged {
			inTenths = append(inTenths, e.Base.FloatIn(e.Unit)+v-15000)
		}
		if e.Unit.Name() != "tenths" {
			t.Fatalf("unit %q", e.Unit.Name())
		}
		assert.InDeltaSlice(t, want, inTenths, 1e-7, text)
		assert.Equal(t, 0, e.OutsideLimits, "a reading on the limit is inside")
		var low, high float64
		for i, p := range []*float64{&low, &high} {
			*p = e.Base.FloatIn(e.Unit) + e.Limits[i]
		}
		assert.InDelta(t, 14990, low, 1e-7)
		assert.InDelta(t, 15010, high, 1e-7)
	}
}

// TestEvidenceDeviationsOfTheDay: deviations are counted from the nominal that
// held on the day of the readings. The hole's limits were 0.1875..0.1885, with
// the middle at 0.1880, until 2024-05-20, then 0.1875..0.1880 (0.18775).
func TestEvidenceDeviationsOfTheDay(t *testing.T) {
	e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/hole\"\n",
		inspection("B", "2024-05-15", "hole", tenthsBy("G4", "0 1 2")), inspection("A", "2024-05-24", "hole", tenthsBy("G4", "0 1 2")))[0]
	require.Empty(t, e.Problem)
	base := e.Base.FloatIn(e.Unit)
	assert.InDelta(t, 1880, base+e.Before.Judged[0], 1e-7)
	assert.InDelta(t, 1877.5, base+e.After.Judged[0], 1e-7)
	assert.InDelta(t, -2.5, e.C.Difference, 1e-7)
	assert.InDelta(t, 1880, base+e.Limits[1], 1e-7, "judged by the limits after")
}

// TestEvidenceBetter: less is better where the limit is one-sided or the
// characteristic says so. Ra of CH-08, 44 35 36 45 39 45 -> 19 27 24 22 25 21,
// -17.7 (-22.7 … -12.6).
func TestEvidenceBetter(t *testing.T) {
	e := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/Ra\"\n",
		inspection("B", "2025-08-30", "Ra", "gauge = \"G9\"\nreadings = [\"44 uin\", \"35 uin\", \"36 uin\", \"45 uin\", \"39 uin\", \"45 uin\"]"),
		inspection("A", "2025-09-03", "Ra", "gauge = \"G9\"\nreadings = [\"19 uin\", \"27 uin\", \"24 uin\", \"22 uin\", \"25 uin\", \"21 uin\"]"))[0]
	require.Empty(t, e.Problem)
	assert.Equal(t, "uin", e.Unit.Name())
	assert.InDelta(t, -17.7, e.C.Difference, 0.0501)
	assert.InDelta(t, -22.7, e.C.Low, 0.0501)
	assert.InDelta(t, -12.6, e.C.High, 0.0501)
	assert.Equal(t, study.Better, e.Effect)
	assert.True(t, math.IsInf(e.Target, -1))
}

// TestEvidenceGauge: another gauge adds both of its uncertainties (half of U
// each, JCGM 100), the same gauge adds nothing.
func TestEvidenceGauge(t *testing.T) {
	b, a := []float64{3, 6, 6, 5}, []float64{2, 6, 3, 4}
	same := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/width\"\n", inspection("B", "2025-01-10", "width", tenthsBy("G5", "3 6 6 5")), inspection("A", "2025-01-22", "width", tenthsBy("G5", "2 6 3 4")))[0]
	other := evidence(t, "2025-11-25", pair+"characteristic = \"A-01/width\"\n", inspection("B", "2025-01-10", "width", tenthsBy("G5", "3 6 6 5")), inspection("A", "2025-01-22", "width", tenthsBy("G8", "2 6 3 4")))[0]
	diff, half := welch(b, a)
	assert.False(t, same.C.GaugeChanged)
	assert.InDelta(t, diff-half, same.C.Low, 1e-9)
	require.True(t, other.C.GaugeChanged)
	assert.InDelta(t, math.Hypot(0.75, 0.6), other.C.UGauge, 1e-9, "half of 1.5 and of 1.2 tenths")
	u := other.C.Sampling.U
	assert.InDelta(t, diff-half*math.Hypot(u, other.C.UGauge)/u, other.C.Low, 1e-9)
}

// TestEvidenceMissing says what is missing, and leaves out what does not count
// on the day asked for.
func TestEvidenceMissing(t *testing.T) {
	b := inspection("B", "2025-01-10", "width", tenthsBy("G5", "3 6 6 5"))
	a := inspection("A", "2025-01-22", "width", tenthsBy("G5", "2 6 3 4"))
	char := "characteristic = \"A-01/width\"\n"
	for _, c := range []struct {
		name, day, change string
		inspections       []string
		problem           string
	}{
		{"no before", "2025-11-25", char + "after = \"A\"\n", []string{a}, "there are no readings before"},
		{"no after", "2025-11-25", char + "before = \"B\"\n", []string{b}, "there are no readings after"},
		{"neither", "2025-11-25", char, nil, "neither readings before nor readings after are in the ledger"},
		{"after is later than the day", "2025-01-21", char + pair, []string{b, a}, "there are no readings after"},
		{"void", "2025-11-25", char + pair, []string{b, a + "state = \"void\"\n"}, "there are no readings after"},
		{"superseded", "2025-11-25", char + pair, []string{b, a + "state = \"superseded\"\n"}, "there are no readings after"},
		{"draft", "2025-11-25", char + pair, []string{b, a + "state = \"draft\"\n"}, "there are no readings after"},
		{"no such characteristic", "2025-11-25", "characteristic = \"A-01/nothing\"\n" + pair, []string{b, a}, "no characteristic that is in the ledger is named"},
		{"characteristic of the readings", "2025-11-25", pair, []string{b, a}, ""},
	} {
		ev := evidence(t, c.day, c.change, c.inspections...)
		require.Len(t, ev, 1, c.name)
		assert.Equal(t, c.problem, ev[0].Problem, c.name)
		assert.Equal(t, c.problem != "", ev[0].Effect == study.Missing, c.name)
	}
	assert.Nil(t, evidence(t, "2025-11-25", "[[also]]\ncharacteristic = \"A-01/width\"\n")[0].Before)
	assert.False(t, evidence(t, "2025-11-25", "[[also]]\ncharacteristic = \"A-01/width\"\n")[0].Primary)
	few := evidence(t, "2025-11-25", char+pair, b, inspection("A", "2025-01-22", "width", tenthsBy("G5", "2")))[0]
	assert.Equal(t, study.TooFew, few.Effect)
	l := loadTexts(t, map[string]string{"t.md": "kind = \"tool\"\nid = \"T\"\ntitle = \"t\"\n"})
	assert.Nil(t, study.New(l, on(t, "2025-11-25")).Evidence(l.Record("T")), "a tool has no evidence")
}
