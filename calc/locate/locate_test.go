package locate

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// patternFile is testdata/locating/pinpattern.json; see the README there for
// its origin.
type patternFile struct {
	Cases []struct {
		ID   string
		Pins []struct {
			X, Y, Diameter float64
			Kind           string
			LandWidth      float64 `json:"land_width"`
			ReliefAxis     float64 `json:"relief_axis_deg"`
		}
		Holes  []struct{ X, Y, Diameter float64 }
		Expect struct {
			GoesTogether bool `json:"goes_together"`
			Margin       float64
			Pose         *struct {
				X     float64 `json:"tx"`
				Y     float64 `json:"ty"`
				Theta float64
			}
			PoseUnique bool `json:"pose_unique"`
			Active     []string
			ThetaMin   *float64 `json:"theta_min"`
			ThetaMax   *float64 `json:"theta_max"`
			Play       []struct {
				Point, Direction [2]float64
				MaxPlus          float64 `json:"max_plus"`
				MaxMinus         float64 `json:"max_minus"`
			}
		}
		ClosedForm *closedForm `json:"closed_form"`
	}
}

func readPatterns(t *testing.T) patternFile {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/locating/pinpattern.json")
	require.NoError(t, err)
	var file patternFile
	require.NoError(t, json.Unmarshal(raw, &file))
	require.NotEmpty(t, file.Cases)
	return file
}

// TestReferenceCases runs every case of the file: two pins by the two-pin
// functions, and all of them as patterns.
func TestReferenceCases(t *testing.T) {
	done := map[int]int{}
	for _, c := range readPatterns(t).Cases {
		done[len(c.Pins)]++
		var pins []Pin
		var holes []Hole
		for k, p := range c.Pins {
			pin := Pin{X: p.X, Y: p.Y, D: p.Diameter}
			if p.Kind == "relieved" {
				pin.Kind, pin.Land, pin.ReliefAxis = Relieved, p.LandWidth, p.ReliefAxis*math.Pi/180
			}
			pins = append(pins, pin)
			holes = append(holes, Hole{c.Holes[k].X, c.Holes[k].Y, c.Holes[k].Diameter})
		}
		t.Run(c.ID, func(t *testing.T) {
			p, err := Pattern(pins, holes)
			require.NoError(t, err)
			assert.Equal(t, c.Expect.GoesTogether, p.GoesOn)
			assert.InDelta(t, c.Expect.Margin, p.Margin, 1e-9)
			if want := c.Expect.Pose; want != nil && c.Expect.PoseUnique {
				// Where the margin is smooth, its noise leaves the pose to about its
				// square root.
				assert.InDelta(t, want.X, p.Pose.X, 1e-8)
				assert.InDelta(t, want.Y, p.Pose.Y, 1e-8)
				assert.InDelta(t, want.Theta, p.Pose.Angle, 1e-10)
			}
			if want := c.Expect.Active; want != nil {
				var got []string
				for _, b := range p.Binds {
					require.Equal(t, RoundFace, b.Face, "all these pins are round")
					got = append(got, fmt.Sprintf("pin%d:arc", b.Pin))
				}
				assert.Equal(t, want, got)
			}
			if len(pins) == 2 {
				two(t, c.ClosedForm, p, [2]Pin(pins), [2]Hole(holes))
			}
			least, most, err := p.AngleRange()
			if !c.Expect.GoesTogether {
				assert.ErrorIs(t, err, ErrDoesNotGoOn)
				return
			}
			require.NoError(t, err)
			require.NotNil(t, c.Expect.ThetaMin)
			require.NotNil(t, c.Expect.ThetaMax)
			assert.InDelta(t, *c.Expect.ThetaMin, least, 1e-12)
			assert.InDelta(t, *c.Expect.ThetaMax, most, 1e-12)
			require.NotEmpty(t, c.Expect.Play)
			for _, w := range c.Expect.Play {
				plus, minus, err := p.Play(w.Point, w.Direction)
				require.NoError(t, err)
				// The file allows 2e-6; the rotation here is exact.
				assert.InDelta(t, w.MaxPlus, plus, 1e-9, "%v along %v", w.Point, w.Direction)
				assert.InDelta(t, w.MaxMinus, minus, 1e-9, "%v against %v", w.Point, w.Direction)
			}
		})
	}
	assert.Equal(t, map[int]int{2: 4, 3: 1, 4: 1}, done, "cases in the file by number of pins")
}

type closedForm struct {
	LPins  float64 `json:"L_pins"`
	LHoles float64 `json:"L_holes"`
	Pitch  float64 `json:"pitch_error"`
	C1, C2 float64
	Reach  *float64 `json:"e_relieved"`
}

// two checks the two-pin functions against the file and against the pattern.
func two(t *testing.T, cf *closedForm, p *Placement, pins [2]Pin, holes [2]Hole) {
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	assert.Equal(t, r.Margin, p.Margin)
	assert.Equal(t, r.Binds, p.Binds)
	if cf == nil {
		return
	}
	assert.InDelta(t, cf.LPins, r.PitchPins, 1e-12)
	assert.InDelta(t, cf.LHoles, r.PitchHoles, 1e-12)
	assert.InDelta(t, cf.Pitch, r.Mismatch, 1e-12)
	assert.InDelta(t, cf.C1, r.C1, 1e-12)
	assert.InDelta(t, cf.C2, r.C2, 1e-12)
	if cf.Reach != nil {
		assert.InDelta(t, *cf.Reach, r.Reach[1], 1e-12)
	}
}

// inch turns inches into mm: the trade examples below are in inches.
const inch = 25.4

// flat returns a pattern on the x axis: pin 1 round, pin 2 round (land 0) or
// relieved along the line; equal hole and pin sizes.
func flat(pitchPins, pitchHoles, hole, pin, land float64) ([2]Pin, [2]Hole) {
	pins := [2]Pin{{D: pin}, {X: pitchPins, D: pin}}
	if land > 0 {
		pins[1].Kind, pins[1].Land = Relieved, land
	}
	return pins, [2]Hole{{D: hole}, {X: pitchHoles, D: hole}}
}

func TestTradeExamples(t *testing.T) {
	// The shop figures are the trade's formulas with round numbers in tenths
	// of a thousandth of an inch (common practice), kept to the digits given.
	for _, c := range []struct {
		name                 string
		hole, pin, land      float64 // inch
		allowance, roundedTo float64
	}{
		{"two rounds, .0003 clearance each", .1876, .1873, 0, .0003, 1e-9},
		{"round and relieved, land .045", .1876, .1873, .045, .00077, .000005},
		{"hole before reaming, two rounds", .1881, .1873, 0, .0008, 1e-9},
		{"reamed hole, two rounds", .1877, .1873, 0, .0004, 1e-9},
		{"reamed hole, relieved", .1877, .1873, .045, .0010, .00005},
	} {
		t.Run(c.name, func(t *testing.T) {
			pins, holes := flat(2.4*inch, 2.4*inch, c.hole*inch, c.pin*inch, c.land*inch)
			r, err := TwoPins(pins, holes)
			require.NoError(t, err)
			assert.InDelta(t, c.allowance, r.Allowance/inch, c.roundedTo)
			// What the allowance says holds for holes too long and too short.
			for _, sign := range []float64{1, -1} {
				holes[1].X = pins[1].X + sign*(r.Allowance-1e-7)
				in, err := TwoPins(pins, holes)
				require.NoError(t, err)
				assert.True(t, in.GoesOn)
				holes[1].X = pins[1].X + sign*(r.Allowance+1e-7)
				out, err := TwoPins(pins, holes)
				require.NoError(t, err)
				assert.False(t, out.GoesOn)
				assert.Equal(t, LimitPitch, out.Limit)
			}
		})
	}
}

func TestLoosenessOnThePinLine(t *testing.T) {
	// Lateral looseness at distance a from pin 1 is |1-a/L| c1 + |a/L| c2, with
	// radial clearances; angle ±(C1+C2)/(2L) (jig and fixture handbooks,
	// common practice).
	for _, c := range []struct {
		name           string
		hole, pin, a   float64 // inch
		want, rounding float64
	}{
		{"overhang of half the pitch", .1876, .1873, 3.6, .0003, 1e-7},
		{"seam point, reamed hole", .1877, .1873, 2.8, .00027, .000005},
		{"seam point, before reaming", .1881, .1873, 2.8, .00053, .000005},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, land := range []float64{0, .045} {
				pins, holes := flat(2.4*inch, 2.4*inch, c.hole*inch, c.pin*inch, land*inch)
				plus, minus, err := Play(pins, holes, [2]float64{c.a * inch, 0}, [2]float64{0, 1})
				require.NoError(t, err)
				assert.InDelta(t, c.want, plus/inch, c.rounding)
				assert.InDelta(t, c.want, minus/inch, c.rounding)
				least, most, err := AngleRange(pins, holes)
				require.NoError(t, err)
				theta := (c.hole - c.pin) / 2.4
				assert.InDelta(t, theta, most, theta*1e-4)
				assert.InDelta(t, -theta, least, theta*1e-4)
			}
		})
	}
}

func TestHousingBase(t *testing.T) {
	// Plane and two pins, inputs of an open course on manufacturing technology
	// (housing base, 2 x 8H7, pitch 220 ±0.03, round pin 8g6, relieved pin
	// with a land of 3); results recomputed, not the course's printed ones.
	d2, err := PinFor(8.000, 0.04, 3)
	require.NoError(t, err)
	assert.InDelta(t, 7.969542, d2, 5e-7)

	// At the smallest clearances the handbook size 7.970 reaches less than the
	// 0.04 it was sized for, but the round pin adds its clearance.
	pins, holes := flat(220, 220+0.04, 8.000, 7.995, 3)
	pins[1].D = 7.970
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	assert.InDelta(t, 0.039407, r.Reach[1], 5e-7)
	assert.True(t, r.GoesOn)
	assert.InDelta(t, 0.0025+0.039407, r.Allowance, 5e-7)

	// At the largest: rotation 0.648', a bored hole at 150 on the pin line moves
	// 0.046045 in all across the line and 0.029 along it.
	pins, holes = flat(220, 220, 8.015, 7.986, 3)
	pins[1].D = 7.961
	least, most, err := AngleRange(pins, holes)
	require.NoError(t, err)
	assert.InDelta(t, 0.0108081, most*180/math.Pi, 5e-8)
	assert.InDelta(t, -0.0108081, least*180/math.Pi, 5e-8)
	plus, minus, err := Play(pins, holes, [2]float64{150, 0}, [2]float64{0, 1})
	require.NoError(t, err)
	assert.InDelta(t, 0.046045, plus+minus, 5e-7)
	plus, minus, err = Play(pins, holes, [2]float64{150, 0}, [2]float64{1, 0})
	require.NoError(t, err)
	assert.InDelta(t, 0.029, plus+minus, 1e-6)
}

func TestBinds(t *testing.T) {
	pins, holes := flat(100, 100.05, 10.02, 9.98, 0)
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	assert.Equal(t, LimitPitch, r.Limit)
	assert.Equal(t, []Contact{{1, RoundFace}, {2, RoundFace}}, r.Binds)

	pins, holes = flat(100, 100.08, 10.02, 9.98, 3)
	r, err = TwoPins(pins, holes)
	require.NoError(t, err)
	assert.Equal(t, LimitPitch, r.Limit)
	assert.Equal(t, []Contact{{1, RoundFace}, {2, LandEdges}}, r.Binds)
	assert.InDelta(t, 0.066800000-0.065247584, r.HandbookExcess[1], 5e-10)
	assert.Zero(t, r.HandbookExcess[0])

	pins[1].ReliefAxis = math.Pi / 2 // the wrong way round
	r, err = TwoPins(pins, holes)
	require.NoError(t, err)
	assert.False(t, r.GoesOn)
	assert.Equal(t, []Contact{{1, RoundFace}, {2, LandFace}}, r.Binds)
	assert.InDelta(t, math.Pi/2, r.Turn[1], 1e-12)
	assert.InDelta(t, 0.04, r.Allowance, 1e-12, "no more than two round pins")

	pins, holes = flat(100, 100, 10.02, 9.98, 0)
	holes[0].D = 10.00
	r, err = TwoPins(pins, holes)
	require.NoError(t, err)
	assert.Equal(t, LimitPin1, r.Limit)
	assert.Equal(t, []Contact{{1, RoundFace}}, r.Binds)

	pins[1].D = 10.10 // larger than its hole
	r, err = TwoPins(pins, holes)
	require.NoError(t, err)
	assert.False(t, r.GoesOn)
	assert.Equal(t, LimitPin2, r.Limit)
	assert.InDelta(t, -0.04, r.Margin, 1e-12)
	assert.Zero(t, r.Allowance)
}

func TestZeroClearance(t *testing.T) {
	// Pin 1 without clearance is a pivot: the part turns about it as far as
	// pin 2 lets it, asin-like 2·asin(c2/(2L)), and goes nowhere else.
	pins, holes := flat(80, 80, 10, 10, 0)
	holes[1].D = 10.02
	r, err := TwoPins(pins, holes)
	require.NoError(t, err)
	assert.True(t, r.GoesOn)
	least, most, err := AngleRange(pins, holes)
	require.NoError(t, err)
	assert.InDelta(t, 2*math.Asin(0.01/160), most, 1e-12)
	assert.InDelta(t, -most, least, 1e-12)
	plus, minus, err := Play(pins, holes, [2]float64{0, 0}, [2]float64{1, 1})
	require.NoError(t, err)
	assert.InDelta(t, 0, plus, 1e-12)
	assert.InDelta(t, 0, minus, 1e-12)
	plus, _, err = Play(pins, holes, [2]float64{0, 80}, [2]float64{-1, 0})
	require.NoError(t, err)
	assert.InDelta(t, 80*math.Sin(most), plus, 1e-9)

	// All the pitch allowance used up: one pose is left.
	pins, holes = flat(80, 80.02, 10.02, 10, 0)
	plus, minus, err = Play(pins, holes, [2]float64{40, 30}, [2]float64{1, 0})
	require.NoError(t, err)
	assert.InDelta(t, -0.01, plus, 1e-6)
	assert.InDelta(t, 0.01, minus, 1e-6)
}

func TestErrors(t *testing.T) {
	good := func() ([2]Pin, [2]Hole) { return flat(100, 100, 10.02, 9.98, 3) }
	for _, c := range []struct {
		name  string
		spoil func(*[2]Pin, *[2]Hole)
		says  string
	}{
		{"pin size", func(p *[2]Pin, _ *[2]Hole) { p[0].D = 0 }, "pin 1: the diameter"},
		{"pin size not a number", func(p *[2]Pin, _ *[2]Hole) { p[1].D = math.NaN() }, "pin 2: the diameter"},
		{"pin place", func(p *[2]Pin, _ *[2]Hole) { p[1].X = math.Inf(1) }, "pin 2: the position"},
		{"land zero", func(p *[2]Pin, _ *[2]Hole) { p[1].Land = 0 }, "pin 2: the land"},
		{"land wider than pin", func(p *[2]Pin, _ *[2]Hole) { p[1].Land = 9.99 }, "not wider than the pin"},
		{"relief axis", func(p *[2]Pin, _ *[2]Hole) { p[1].ReliefAxis = math.NaN() }, "relief axis"},
		{"kind", func(p *[2]Pin, _ *[2]Hole) { p[1].Kind = 7 }, "a pin is round or relieved"},
		{"hole size", func(_ *[2]Pin, h *[2]Hole) { h[1].D = -1 }, "hole 2: the diameter"},
		{"hole place", func(_ *[2]Pin, h *[2]Hole) { h[0].Y = math.NaN() }, "hole 1: the position"},
		{"pins overlap", func(p *[2]Pin, _ *[2]Hole) { p[1].X = 9 }, "the pins overlap"},
		{"pins too far", func(p *[2]Pin, _ *[2]Hole) { p[0].X, p[1].X = -1.7e308, 1.7e308 }, "too large"},
		{"holes coincide", func(_ *[2]Pin, h *[2]Hole) { h[1].X = 0 }, "same place"},
	} {
		t.Run(c.name, func(t *testing.T) {
			pins, holes := good()
			c.spoil(&pins, &holes)
			_, err := TwoPins(pins, holes)
			assert.ErrorContains(t, err, c.says)
			_, _, err = AngleRange(pins, holes)
			assert.ErrorContains(t, err, c.says)
		})
	}
	pins, holes := good()
	_, _, err := Play(pins, holes, [2]float64{}, [2]float64{})
	assert.ErrorContains(t, err, "no length")
	_, _, err = Play(pins, holes, [2]float64{math.NaN()}, [2]float64{1, 0})
	assert.ErrorContains(t, err, "the point")
	holes[1].X = 101
	_, _, err = Play(pins, holes, [2]float64{}, [2]float64{1, 0})
	assert.ErrorIs(t, err, ErrDoesNotGoOn)
}

func TestNames(t *testing.T) {
	for _, s := range []string{Round.String(), Relieved.String(), LimitPitch.String(), LimitPin1.String(),
		LimitPin2.String(), LimitBoth.String(), RoundFace.String(), LandFace.String(), LandEdge.String(), LandEdges.String()} {
		assert.False(t, strings.HasPrefix(s, "unknown"), s)
	}
	assert.Contains(t, Kind(9).String(), "unknown")
	assert.Contains(t, Limit(9).String(), "unknown")
	assert.Contains(t, Face(9).String(), "unknown")
}
