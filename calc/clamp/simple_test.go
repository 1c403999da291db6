package clamp

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tenths/calc/quantity"
)

func newtons(f float64) quantity.Quantity {
	u, _ := quantity.LookupUnit("N")
	return quantity.FromFloat(f, u)
}

func plain(f float64) quantity.Quantity { return quantity.FromFloat(f, quantity.One) }

// TestNeededAgreesWithHold: at table height nothing tips, and the short formula
// is the linear program with the force along a corner of its polygon.
func TestNeededAgreesWithHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		force, up, mu, muc, k := f("force", 1, 1000), f("up", 0, 300), f("mu", 0.05, 0.5), f("muc", 0.05, 0.5), f("k", 1, 4)
		n, err := Pull{Force: newtons(force), Up: newtons(up), Seat: plain(mu), Clamp: plain(muc), Safety: plain(k)}.Needed()
		require.NoError(t, err)
		h, err := Hold(table(mu), []Contact{top(0, 0, 0, muc)}, []Load{{Force: [3]float64{force, 0, up}}}, Options{Safety: k, Sides: 8})
		require.NoError(t, err)
		assert.InDelta(t, h.Total, n.Total.Float(), 1e-5*h.Total)
	})
}

func TestNeededErrors(t *testing.T) {
	ok := Pull{Force: newtons(5), Seat: plain(0.2), Safety: plain(2)}
	_, err := ok.Needed()
	require.NoError(t, err)
	for says, change := range map[string]func(*Pull){
		"nothing to hold":  func(p *Pull) { p.Force = quantity.Quantity{} },
		"state a factor":   func(p *Pull) { p.Safety = plain(0.5) },
		"friction at the":  func(p *Pull) { p.Seat = plain(0) },
		"needs the radius": func(p *Pull) { p.Torque = newtons(5).Mul(quantity.New(big.NewRat(1, 1), quantity.Millimetre)) },
	} {
		p := ok
		change(&p)
		_, err := p.Needed()
		assert.ErrorContains(t, err, says)
	}
}
