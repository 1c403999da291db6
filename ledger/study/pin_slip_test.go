package study_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/quantity"
	"tenths/ledger/study"
)

// TestPinSlips: a pin far smaller than its hole is a slip: by more than
// 0.010 in, 0.25 mm or a tenth of the hole (common practice). A pin of
// 0.18730 in that lost a place is 0.01873 in, a tenth of the hole.
func TestPinSlips(t *testing.T) {
	for _, c := range []struct {
		units, pin1, hole1, pin2, hole2, survey string
		want                                    []string // pin, whether the hole is the odd one, clearance, times
	}{
		{"in", "0.1873", "0.1875 +0.0005/-0", "0.1873", "0.1875 +0.0005/-0", "", nil},
		{"in", "0.01873", "0.1875 +0.0005/-0", "0.1873", "0.1875 +0.0005/-0", "", []string{"P1 false 0.16877 in 10"}},
		{"in", "0.1873", "1.875", "0.1873", "0.1875 +0.0005/-0", "", []string{"P1 true 1.68770 in 10"}},
		{"in", "0.1873", "0.1875", "0.1873", "0.1875", "0.0187", []string{"P1 false 0.16880 in 10"}},
		{"in", "0.4900", "0.5000", "0.4899", "0.5000", "", []string{"P2 false 0.01010 in 0"}},
		{"in", "0.0451", "0.0500", "0.0449", "0.0500", "", []string{"P2 false 0.00510 in 0"}},
		{"mm", "5.75", "6.00", "5.74", "6.00", "", []string{"P2 false 0.2600 mm 0"}},
		{"mm", "2.00", "2.00", "1.79", "2.00", "", []string{"P2 false 0.2100 mm 0"}},
		{"in", "0.1880", "0.1875", "0.1873", "0.1875", "", nil}, // too big: locators-bind
	} {
		survey := ""
		if c.survey != "" {
			survey = fmt.Sprintf("[[station.locator.survey]]\non = 2025-01-02\noff = [\"0\", \"0\"]\nsize = %q\n", c.survey)
		}
		l := loadTexts(t, map[string]string{
			"p.md": fmt.Sprintf("kind = \"part\"\nid = \"P\"\ntitle = \"p\"\nunits = %q\n[[feature]]\nid = \"H1\"\ntype = \"hole\"\nsize = %q\nat = [0, 0]\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\nsize = %q\nat = [2, 0]\n", c.units, c.hole1, c.hole2),
			"f.md": fmt.Sprintf("kind = \"fixture\"\nid = \"F\"\ntitle = \"f\"\nstate = \"in use\"\nunits = %q\n[[station]]\nid = \"A\"\npart = \"P\"\n[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nsize = %q\n%s[[station.locator]]\nid = \"P2\"\ntype = \"round pin\"\nengages = \"H2\"\nsize = %q\n", c.units, c.pin1, survey, c.pin2),
		})
		var got []string
		for _, s := range study.New(l, on(t, "2025-11-25")).PinSlips(l.Record("F")) {
			got = append(got, fmt.Sprintf("%s %v %s %d", s.Pin.ID.S, s.Hole, study.Show(s.Clearance), s.Times))
		}
		assert.Equal(t, c.want, got, "%+v", c)
	}
}

// TestShowInIsNotNothing: what is something is not shown as nothing, and a
// number keeps the zeros that it deserves.
func TestShowInIsNotNothing(t *testing.T) {
	tenths, ok := quantity.LookupUnit("tenths")
	require.True(t, ok)
	q := quantity.New(big.NewRat(1, 4000), tenths) // 0.00025 tenths
	inch, err := q.As(quantity.Inch)
	require.NoError(t, err)
	assert.Equal(t, "0.000000025 in", study.ShowIn(q, quantity.Inch))
	assert.Equal(t, "0.000000025 in", study.ShowIn(inch, quantity.Inch))
	assert.Equal(t, "0 in", study.ShowIn(quantity.New(new(big.Rat), tenths), quantity.Inch))
	assert.Equal(t, "-0.000000025 in", study.ShowIn(q.Neg(), quantity.Inch))
}

// TestRounded rounds half to even, as IEEE 754 does by default; the number for
// machines is the one that people read.
func TestRounded(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{{-12.992636537716864, 1, "-13.0"}, {0.25, 1, "0.2"}, {0.75, 1, "0.8"}, {-0.25, 1, "-0.2"}, {-0.04, 1, "0.0"}, {1499.96, 1, "1500.0"}, {7, 0, "7"}} {
		q := study.Rounded(quantity.FromFloat(c.v, quantity.Inch), c.n)
		assert.Equal(t, c.want+" in", q.String())
		assert.Equal(t, c.want, q.Plain())
	}
	assert.Equal(t, "0.00023", study.Shown(quantity.FromFloat(0.00022512, quantity.Inch)).Plain())
	assert.Equal(t, "0.0698 in", study.ShowDown(quantity.FromFloat(0.069894, quantity.Inch), 4))
	assert.Equal(t, "0.0698", study.RoundedDown(quantity.FromFloat(0.069894, quantity.Inch), 4).Plain())
}

// TestDeviationsKeepTheirZeros: 30 tenths from 0 are 0.0030 in, and 20 tenths
// beyond the limit.
func TestDeviationsKeepTheirZeros(t *testing.T) {
	l := loadTexts(t, map[string]string{"p.md": evidenceParts["parts/A-01.md"], "i.md": "kind = \"inspection\"\ntitle = \"r\"\nid = \"I\"\n" +
		"on = 2025-01-01\ncharacteristic = \"A-01/KC-4\"\ndeviation_in = \"tenths\"\nreadings = \"30 2.5\"\n"})
	r := study.New(l, on(t, "2025-11-25")).Readings(l.Record("I"))
	require.Len(t, r.Live, 2)
	assert.Equal(t, []string{"0.0030 in", "0.00025 in"}, []string{r.Live[0].Full.String(), r.Live[1].Full.String()})
	_, beyond := r.Live[0].Limit()
	assert.Equal(t, "0.0020 in", beyond.String())
}
