package study

import (
	"math"

	"tenths/calc/clamp"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// Clamping is how the clamps of a station press its part on the locators, and
// whether they hold it against the cut.
type Clamping struct {
	Freedom *Freedom
	Unit    quantity.Unit // of forces
	// Skip says why nothing could be computed.
	Skip string

	// Seat are the forces with which rests and stops push under the clamps alone,
	// without friction, pins pushing either way. SeatSkip says why there are none.
	// SeatFree are the motions that then only friction stops.
	Seat     []SeatForce
	Seated   bool // every rest and stop pushes
	SeatFree []string
	SeatSkip string

	// The rest is with friction. Rests, stops and clamps carry it; pins are left
	// out, since with clearance they bear only after the part has slid.
	// Reserves are how many times each load is held by the clamps as they are
	// set, ReserveSkip says why there are none.
	Reserves    []LoadReserve
	ReserveSkip string
	// Least are the forces of the clamps that hold all loads times Safety, the
	// largest of them as small as it can be.
	Least     []ClampForce
	LeastSkip string
	Safety    float64
	Cautions  []string
}

// SeatForce is the force of a locator, N.
type SeatForce struct {
	Name  string
	Force float64
	Lifts bool // it would have to pull: the part lifts off there
}

// LoadReserve is how many times a load is held.
type LoadReserve struct {
	Load  *ledger.CuttingLoad
	Times float64
	More  bool // or more: the locators take it
	// Direction is the worst one in words, if the record names none.
	Direction string
}

// Shown is Times rounded down to what it deserves.
func (r LoadReserve) Shown() quantity.Quantity {
	return Rounded(quantity.FromFloat(math.Floor(r.Times*10+1e-6)/10, quantity.One), 1)
}

// ClampForce is a force of a clamp, N.
type ClampForce struct {
	Clamp *ledger.Clamp
	Force float64
}

// directions is in how many directions along the seat a load is tried.
const directions = 16

// Clamping computes how the clamps of a station hold its part. It is nil for a
// station without clamps.
func (s *Set) Clamping(rec *ledger.Record, st *ledger.Station) *Clamping {
	if len(st.Clamps) == 0 {
		return nil
	}
	return s.clamping.get(st, func() *Clamping { return s.computeClamping(rec, st) })
}

func (s *Set) computeClamping(rec *ledger.Record, st *ledger.Station) *Clamping {
	f := s.Freedom(rec, st)
	out := &Clamping{Freedom: f, Unit: forceUnit(st, f.Unit)}
	switch {
	case f.Skip != "":
		out.Skip = f.Skip
		return out
	case !f.InSpace:
		out.Skip = "the station does not say where the part is held up; name the places as rests"
		return out
	}
	clamps, forces, why := readClamps(st)
	if why != "" {
		out.Skip = why
		return out
	}
	out.seat(clamps, forces)
	out.hold(clamps, forces)
	return out
}

// forceUnit is the unit of the first force that is written, or that of lengths.
func forceUnit(st *ledger.Station, u quantity.Unit) quantity.Unit {
	for _, c := range st.Clamps {
		if c.Force.Set() {
			return c.Force.Nominal().Unit()
		}
	}
	for _, l := range st.Loads {
		if l.Force.Set() {
			return l.Force.Nominal().Unit()
		}
	}
	name := "N"
	if u.Name() == "in" {
		name = "lbf"
	}
	out, _ := quantity.LookupUnit(name)
	return out
}

// Force is a computed force, N, in the unit of the record and with the digits
// that it deserves.
func (c *Clamping) Force(n float64) quantity.Quantity {
	newton, _ := quantity.LookupUnit("N")
	q := quantity.FromFloat(n, newton)
	if out, err := q.As(c.Unit); err == nil {
		q = out
	}
	decimals := 0
	if math.Abs(q.FloatIn(q.Unit())) < 10 {
		decimals = 1
	}
	return Rounded(q, decimals)
}

// seat computes what the clamps alone press on, without friction.
func (c *Clamping) seat(clamps []clamp.Contact, forces []float64) {
	if forces == nil {
		c.SeatSkip = "not every clamp has a force"
		return
	}
	var contacts []clamp.Contact
	var rows []int
	for i, r := range c.Freedom.Rows {
		contacts, rows = append(contacts, clamp.Contact{At: r.at.At, Normal: r.at.Normal}), append(rows, i)
		if !r.OneWay {
			n := r.at.Normal
			contacts, rows = append(contacts, clamp.Contact{At: r.at.At, Normal: [3]float64{-n[0], -n[1], -n[2]}}), append(rows, i)
		}
	}
	var loads []clamp.Load
	for i, k := range clamps {
		l := clamp.Load{At: k.At}
		for a := range 3 {
			l.Force[a] = k.Normal[a] * forces[i]
		}
		loads = append(loads, l)
	}
	got, err := clamp.Seat(contacts, loads...)
	if err != nil {
		c.SeatSkip = err.Error()
		return
	}
	lifts := map[int]bool{}
	for _, i := range got.Lifts {
		lifts[rows[i]] = true
	}
	c.Seated = true
	for i, r := range c.Freedom.Rows {
		if r.OneWay {
			var force float64
			for k, row := range rows {
				if row == i {
					force += got.Forces[k]
				}
			}
			c.Seat = append(c.Seat, SeatForce{r.Name, force, lifts[i]})
			c.Seated = c.Seated && !lifts[i]
		}
	}
	for _, m := range got.Motions {
		c.SeatFree = append(c.SeatFree, c.Freedom.motion(m))
	}
}

// hold computes what the clamps hold against the cut, with friction.
func (c *Clamping) hold(clamps []clamp.Contact, forces []float64) {
	st := c.Freedom.Station
	switch {
	case len(st.Loads) == 0:
		c.ReserveSkip = "the station names no cutting load"
	case !st.Friction.Set():
		c.ReserveSkip = "the station states no friction"
	}
	if c.ReserveSkip != "" {
		c.LeastSkip = c.ReserveSkip
		return
	}
	var locs []clamp.Contact
	for _, r := range c.Freedom.Rows {
		if r.OneWay {
			locs = append(locs, clamp.Contact{At: r.at.At, Normal: r.at.Normal, Mu: st.Friction.Nominal().Float()})
		}
	}
	loads, of, why := readLoads(st)
	if why != "" {
		c.ReserveSkip, c.LeastSkip = why, why
		return
	}
	if forces == nil {
		c.ReserveSkip = "not every clamp has a force"
	} else if r, err := clamp.Reserves(locs, clamps, forces, loads, 0); err != nil {
		c.ReserveSkip = err.Error()
	} else {
		c.reserves(r, of)
		c.caution(r.Cautions)
	}
	if !st.Safety.Set() {
		c.LeastSkip = "the station states no safety factor"
		return
	}
	c.Safety = st.Safety.Nominal().Float()
	h, err := clamp.Hold(locs, clamps, loads, clamp.Options{Safety: c.Safety, Goal: clamp.LeastLargest})
	if err != nil {
		c.LeastSkip = err.Error()
		return
	}
	for i, n := range h.Clamps {
		c.Least = append(c.Least, ClampForce{&st.Clamps[i], n})
	}
	c.caution(h.Cautions)
}

// reserves keeps the worst direction of each load.
func (c *Clamping) reserves(r clamp.Reserve, of []int) {
	for i, times := range r.Times {
		load := &c.Freedom.Station.Loads[of[i]]
		one := LoadReserve{Load: load, Times: times, More: r.More[i]}
		if n := len(c.Reserves); n > 0 && c.Reserves[n-1].Load == load {
			if times >= c.Reserves[n-1].Times {
				continue
			}
			c.Reserves = c.Reserves[:n-1]
		}
		if !load.Pushes.Set() {
			k := 0
			for k < i && of[i-k-1] == of[i] {
				k++
			}
			one.Direction = Degrees(360 * float64(k) / directions)
		}
		c.Reserves = append(c.Reserves, one)
	}
}

func (c *Clamping) caution(list []clamp.Caution) {
	c.Cautions = nil
	for _, k := range list {
		c.Cautions = append(c.Cautions, k.Text)
	}
}
