package report

import (
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// TestClampedSheet: a block on four rests against two pins, drilled and milled
// (invented data).
func TestClampedSheet(t *testing.T) {
	l, err := ledger.Load(source.Map(map[string]string{ledger.ConfigName: "units = \"mm\"\n", "f.md": `+++
kind = "fixture"
id = "VX9"
title = "Block"
state = "in use"

[[station]]
id = "A"
friction = 0.15
safety = 2.5

[[station.locator]]
id = "P1"
type = "round pin"
at = [-40, 0]

[[station.locator]]
id = "P2"
type = "relieved pin"
at = [40, 0]
relieved_along = "line to P1"

[[station.locator]]
id = "R1"
type = "rest"
at = [-50, -30]

[[station.locator]]
id = "R2"
type = "rest"
at = [-50, 30]

[[station.locator]]
id = "R3"
type = "rest"
at = [50, -30]

[[station.locator]]
id = "R4"
type = "rest"
at = [50, 30]

[[station.clamp]]
id = "C1"
at = [-30, 0, 20]
force = "900 N"

[[station.clamp]]
id = "C2"
at = [30, 0, 20]
force = "900 N"
friction = 0.1

[[station.load]]
id = "MILL"
title = "profile"
at = [50, 0, 10]
force = "120 N"

[[station.load]]
id = "DRILL"
at = [0, 20, 20]
pushes = [0, 0, -1]
force = "300 N"
torque = "2 N*m"

[[station]]
id = "B"

[[station.locator]]
id = "P1"
type = "round pin"
at = [0, 0]

[[station.clamp]]
id = "C1"
at = [0, 0, 20]

[[station]]
id = "C"

[[station.locator]]
id = "N1"
type = "nest"
+++
`}))
	require.NoError(t, err)
	require.Empty(t, l.Problems)
	sh, err := Record(study.New(l, time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)), "VX9")
	require.NoError(t, err)
	golden(t, "sheet-clamped.txt", printed(t, func(w io.Writer) error { return sh.WriteText(w, false) }))
	golden(t, "sheet-clamped.json", printed(t, func(w io.Writer) error { return WriteJSON(w, sh) }))
}
