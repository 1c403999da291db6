package study_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// stackLedger has a part with two holes on a station of two pins, and derived values
// in the part.
func stackLedger(t *testing.T, keys string) map[string]*study.Derived {
	t.Helper()
	l, err := ledger.Load(source.Map(map[string]string{
		ledger.ConfigName: "units = \"mm\"\n",
		"p.md": "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"plate\"\nunits = \"mm\"\n" +
			"[[feature]]\nid = \"H1\"\ntype = \"hole\"\nat = [0, 0]\nsize = \"4.00..4.02\"\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\nat = [60, 0]\nsize = \"4.00..4.02\"\n" +
			"[[feature]]\nid = \"W\"\nsize = \"10 ±0.03\"\n[[feature]]\nid = \"V\"\nsize = \"8 ±0.04\"\n" + keys + "+++\n",
		"f.md": "+++\nkind = \"fixture\"\nid = \"FX\"\ntitle = \"plate\"\nunits = \"mm\"\nstate = \"in use\"\n[[station]]\nid = \"A\"\npart = \"P\"\nface = \"up\"\n" +
			"[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nat = [0, 0]\nsize = \"3.99\"\n" +
			"[[station.locator.survey]]\non = 2023-01-01\noff = [0.010, 0.020]\nuncertainty = \"3 um\"\n[[station.locator.survey]]\non = 2024-01-01\noff = [0.001, 0.002]\n" +
			"[[station.locator]]\nid = \"P2\"\ntype = \"round pin\"\nengages = \"H2\"\nat = [60, 0]\nsize = \"3.99\"\n" +
			"[[station]]\nid = \"B\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nat = [0, 0]\nsize = \"3.99\"\n+++\n",
	}))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	out := map[string]*study.Derived{}
	for _, d := range study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)).Derived() {
		out[d.D.Name.S] = d
	}
	return out
}

const widths = `w = "P/W/size", v = "P/V/size"`

// What a record says of spreads, common sources and costs, with the arithmetic by
// hand: ±0.03 and ±0.04.
func TestDerivedSpreadsAndSources(t *testing.T) {
	got := stackLedger(t, derived("apart", "w - v", widths, "limits = \"1.95..2.05\"\nvalue = \"2 mm\"")+
		derived("together", "w - v", widths, `common = { w = "cutter", v = "cutter" }`)+
		derived("half", "w - v", widths, `common = { w = "cutter 50 %", v = "cutter 50 %" }`+"\ncost = { w = 2, v = 3, cutter = 0.5 }\nlimits = \"1.97..2.03\"")+
		derived("of both", "2*x + w - w", `x = "P/together", w = "P/W/size"`, "")+
		derived("uniform", "w - v", widths, `spread = { w = "uniform", v = "0.01 mm" }`))
	for name, d := range got {
		require.NoError(t, d.Err, name)
	}
	d := got["apart"]
	assert.Equal(t, "1.93 mm", d.Lower.String())
	require.NotNil(t, d.Standing)
	assert.Equal(t, "-0.02 mm", d.Standing.BelowRoom.String())
	assert.Equal(t, "P/V/size", d.Standing.First[0].Name)
	assert.InDelta(t, 0.05/3, d.SD.Float(), 1e-12)
	a, err := d.Allot()
	require.NoError(t, err)
	assert.InDelta(t, 0.03*5/7, a.Items[0].Half.Float(), 1e-4)
	sim, err := d.Simulate()
	require.NoError(t, err)
	assert.InDelta(t, d.Standing.Below+d.Standing.Above, sim.Below+sim.Above, 0.002, "the simulation cuts the spreads off at their limits")
	d = got["together"]
	assert.Equal(t, "1.99 mm", d.Lower.String())
	require.Len(t, d.Shares, 1)
	assert.Equal(t, "cutter", d.Shares[0].Path)
	assert.Equal(t, []string{"P/W/size", "P/V/size"}, d.Shares[0].Members)
	// What is said where the part of a chain is computed holds for the whole.
	assert.Equal(t, "3.98 mm", got["of both"].Lower.String())
	d = got["half"]
	assert.Equal(t, "1.96 mm", d.Lower.String(), "0.015 + 0.02 + 0.005")
	assert.Equal(t, "cutter", d.Standing.First[0].Name, "0.005/0.5 is more than 0.015/2 and 0.02/3")
	d = got["uniform"]
	assert.InDelta(t, (0.03*0.03/3 + 0.0001), d.SD.Float()*d.SD.Float(), 1e-12)
}

// A survey comes in with its uncertainty, or that of common practice, and the looseness
// on a pin with the radial clearance.
func TestDerivedFromStation(t *testing.T) {
	where := `off = "FX/A/P1/off/y", play = "FX/A/P1/looseness"`
	got := stackLedger(t, derived("now", "off + play", where, "")+derived("then", "off + play", where, "on = 2023-06-01"))
	d := got["now"]
	require.NoError(t, d.Err)
	assert.Equal(t, "0.002 mm", d.Value.String())
	half := map[string]string{}
	for _, s := range d.Shares {
		half[s.Path] = s.HalfWidth.Format(quantity.Millimetre, 4)
	}
	assert.Equal(t, map[string]string{"FX/A/P1/off/y": "0.0020 mm", "FX/A/P1/looseness": "0.0100 mm"}, half, "±2 um of common practice; (4.01 - 3.99)/2")
	assert.InDelta(t, (4+100)*1e-6/3, d.SD.Float()*d.SD.Float(), 1e-12, "uniform")
	d = got["then"]
	require.NoError(t, d.Err)
	assert.Equal(t, "0.02 mm", d.Value.String())
	assert.Equal(t, "0.003 mm", d.Shares[0].HalfWidth.Format(quantity.Millimetre, 3))
}

func TestDerivedStackRefused(t *testing.T) {
	for says, keys := range map[string]string{
		"no name of the formula":                     derived("x", "w", `w = "P/W/size"`, `spread = { z = "uniform" }`),
		"is no spread":                               derived("x", "w", `w = "P/W/size"`, `spread = { w = "even" }`),
		"names no common source":                     derived("x", "w", `w = "P/W/size"`, `common = { w = "50 %" }`),
		"dear is no cost":                            derived("x", "w", `w = "P/W/size"`, `cost = { w = "dear" }`),
		"P/V/size has no cost and others have":       derived("x", "w - v", widths, "cost = { w = 1 }\nlimits = \"0..9\""),
		"is computed itself":                         derived("x", "2*y", `y = "P/z"`, `common = { y = "cutter" }`) + derived("z", "w", `w = "P/W/size"`, ""),
		"P/W/size moves with cutter and with reamer": derived("x", "y - w", `y = "P/z", w = "P/W/size"`, `common = { w = "reamer" }`) + derived("z", "w", `w = "P/W/size"`, `common = { w = "cutter" }`),
		"was not surveyed as it stood on 2022-01-01": derived("x", "w", `w = "FX/A/P1/off/x"`, "on = 2022-01-01"),
		"nothing is named FX9 there":                 derived("x", "w", `w = "FX9/A/P1/off/x"`, ""),
		"nothing is named off there":                 derived("x", "w", `w = "FX/A/P2/off/x"`, ""),
		"the station has 1":                          derived("x", "w", `w = "FX/B/P1/looseness"`, ""),
		"are spread differently":                     derived("x", "w - v", widths, `common = { w = "cutter", v = "cutter" }`+"\n"+`spread = { w = "uniform" }`),
	} {
		d := stackLedger(t, keys)["x"]
		assert.ErrorContains(t, d.Err, says, fmt.Sprint(keys))
	}
}
