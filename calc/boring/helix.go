package boring

import (
	"math"
	"math/big"

	"tenths/calc/check"
	"tenths/calc/quantity"
)

// Cut is one helical cut along the wall of a hole. A value that is left out
// leaves out the results that need it.
type Cut struct {
	Hole   quantity.Quantity // diameter after the cut
	Cutter quantity.Quantity // diameter of the cutter
	Before quantity.Quantity // diameter before the cut; left out: solid metal

	// One of the two, or neither for a flat circle.
	Pitch quantity.Quantity // depth per turn
	Ramp  quantity.Quantity // ramp angle of the path of the cutter's centre

	// One of the two.
	WallFeed   quantity.Quantity // feed at the wall: teeth × feed per tooth × speed
	CentreFeed quantity.Quantity // feed of the cutter's centre, as programmed

	Depth      quantity.Quantity // depth of the hole, for the time
	FlatRounds int               // full turns at the bottom without descent
}

// Path is what a Cut means for the machine. Lengths are in the unit of the hole.
type Path struct {
	Diameter quantity.Quantity // of the circle of the cutter's centre, D - d
	Radius   quantity.Quantity // half of it

	CentreFeed quantity.Quantity // WallFeed·(D-d)/D
	WallFeed   quantity.Quantity

	Pitch      quantity.Quantity
	Ramp       quantity.Quantity // atan(p/(π(D-d))), path of the centre
	WallRamp   quantity.Quantity // atan(p/(πD)), at the wall
	TurnLength quantity.Quantity // √((π(D-d))² + p²), one turn of the centre
	Time       quantity.Quantity // of the helix and the flat rounds

	// Post is D - 2d where metal stays standing inside that diameter, because
	// the cutter does not reach what the hole before has left; absent otherwise.
	Post        quantity.Quantity
	RadialDepth quantity.Quantity // (D - before)/2; absent in solid metal
	// Straight is the radial depth of a straight cut that touches the cutter
	// along the same arc, (D²-Dw²)/(4(D-d)), and never above the cutter.
	// Opening a hole wraps the metal round the cutter, so it acts deeper than
	// RadialDepth.
	Straight quantity.Quantity
	Contact  quantity.Quantity // angle of that arc
}

// Helix computes the path, feeds, ramp angles, time and engagement of a cut.
// The formulas are plane geometry: the centre runs on a circle of D - d while
// the wall is cut at D, so that feeds and lengths are in the ratio (D-d)/D
// (printed so by several makers of cutters).
//
// It is an error when the cutter does not fit the hole, when there is nothing to
// cut, when an input is not a positive value of its dimension, or when both of
// two alternatives are given.
func Helix(c Cut) (Path, error) {
	var s sums
	s.Positive(c.Hole, "hole diameter", quantity.Length, "0.1880 in")
	s.Positive(c.Cutter, "cutter diameter", quantity.Length, "0.1250 in")
	s.Optional(c.Before, "hole before the cut", quantity.Length, "0.1840 in")
	s.Optional(c.Pitch, "pitch", quantity.Length, "0.5 mm")
	s.Optional(c.Ramp, "ramp angle", quantity.Angle, "1.5 deg")
	s.Optional(c.WallFeed, "feed at the wall", check.Speed, "800 mm/min")
	s.Optional(c.CentreFeed, "feed of the centre", check.Speed, "300 mm/min")
	s.Optional(c.Depth, "depth", quantity.Length, "0.5 in")
	switch {
	case s.Err != nil:
	case !c.Pitch.IsZeroValue() && !c.Ramp.IsZeroValue():
		s.Fail("pitch and ramp angle are both given and each decides the other; leave one out")
	case !c.WallFeed.IsZeroValue() && !c.CentreFeed.IsZeroValue():
		s.Fail("feed at the wall and feed of the centre are both given and each decides the other; leave one out")
	case !c.Ramp.IsZeroValue() && c.Ramp.Float() > 45:
		s.Fail("ramp angle: %s is too steep for a cutter; type an angle up to 45 deg, such as 1.5 deg", c.Ramp)
	case c.FlatRounds < 0 || c.FlatRounds > 1000:
		s.Fail("flat rounds: %d; type a whole number from 0 to 1000", c.FlatRounds)
	case atLeast(c.Cutter, c.Hole):
		s.Fail("the %s cutter does not go into the %s hole; type a cutter smaller than the hole", c.Cutter, c.Hole)
	}
	if s.Err != nil {
		return Path{}, s.Err
	}
	var p Path
	p.Diameter = s.Sub(c.Hole, c.Cutter)
	p.Radius = p.Diameter.Scale(big.NewRat(1, 2))
	p.engage(&s, c)
	p.feeds(&s, c)
	p.ramp(&s, c)
	if s.Err != nil {
		return Path{}, s.Err
	}
	return p, nil
}

// engage works out how much metal the cutter meets.
func (p *Path) engage(s *sums, c Cut) {
	before := c.Before
	if before.IsZeroValue() {
		before = quantity.New(new(big.Rat), c.Hole.Unit())
	}
	if atLeast(before, c.Hole) {
		s.Fail("hole before the cut: %s leaves nothing to cut in the %s hole; type the smaller diameter before, or leave it out for solid metal", before, c.Hole)
		return
	}
	stock := s.Sub(c.Hole, before)
	inside := s.Sub(c.Hole, c.Cutter.Scale(big.NewRat(2, 1)))
	if s.Err != nil {
		return
	}
	if !atLeast(before, inside) {
		p.Post = inside
	}
	if !c.Before.IsZeroValue() {
		p.RadialDepth = stock.Scale(big.NewRat(1, 2))
	}
	area := s.Sub(c.Hole.Mul(c.Hole), before.Mul(before))
	p.Straight = s.Keep(s.Div(area, p.Diameter.Scale(big.NewRat(4, 1))).As(c.Hole.Unit()))
	if s.Err != nil {
		return
	}
	rest := s.Sub(c.Cutter, p.Straight)
	if check.Low(rest).Sign() <= 0 { // the old hole lies wholly under the cutter: a full slot
		p.Straight = s.Keep(c.Cutter.As(c.Hole.Unit()))
		p.Contact = quantity.New(big.NewRat(180, 1), quantity.Degree)
		return
	}
	// acos(1 - 2·Straight/d), written so that no digits cancel.
	half := math.Atan2(math.Sqrt(p.Straight.Float()), math.Sqrt(rest.Float()))
	p.Contact = s.Keep(computed(2*half*180/math.Pi, quantity.Degree, p.Straight, rest))
}

// feeds works out the feed that was not given.
func (p *Path) feeds(s *sums, c Cut) {
	p.WallFeed, p.CentreFeed = c.WallFeed, c.CentreFeed
	switch {
	case !c.WallFeed.IsZeroValue():
		p.CentreFeed = c.WallFeed.Mul(s.Div(p.Diameter, c.Hole))
	case !c.CentreFeed.IsZeroValue():
		p.WallFeed = c.CentreFeed.Mul(s.Div(c.Hole, p.Diameter))
	}
}

// ramp works out pitch, angles, the length of a turn and the time.
func (p *Path) ramp(s *sums, c Cut) {
	circle := math.Pi * p.Diameter.Float() // mm
	p.Pitch = c.Pitch
	if !c.Ramp.IsZeroValue() {
		p.Pitch = s.Keep(computed(circle*math.Tan(c.Ramp.Float()*math.Pi/180), c.Hole.Unit(), p.Diameter, c.Ramp))
	}
	turn := circle
	if !p.Pitch.IsZeroValue() {
		pitch := p.Pitch.Float()
		turn = math.Hypot(circle, pitch)
		p.Ramp = c.Ramp
		if p.Ramp.IsZeroValue() {
			p.Ramp = s.Keep(computed(math.Atan2(pitch, circle)*180/math.Pi, quantity.Degree, p.Pitch, p.Diameter))
		}
		p.WallRamp = s.Keep(computed(math.Atan2(pitch, math.Pi*c.Hole.Float())*180/math.Pi, quantity.Degree, p.Pitch, c.Hole))
	}
	p.TurnLength = s.Keep(computed(turn, c.Hole.Unit(), p.Diameter, p.Pitch))
	if p.CentreFeed.IsZeroValue() || p.Pitch.IsZeroValue() || c.Depth.IsZeroValue() {
		return
	}
	way := c.Depth.Float()/p.Pitch.Float()*turn + float64(c.FlatRounds)*circle
	sec, _ := quantity.LookupUnit("s")
	p.Time = s.Keep(computed(way/p.CentreFeed.Float(), sec, c.Depth, p.Pitch, p.Diameter, p.CentreFeed))
}

// BossCentreFeed is the feed of the cutter's centre that gives the feed wall at
// the surface of a round boss cut from outside: wall·(D+d)/D, exact, in the unit
// of wall.
func BossCentreFeed(wall, boss, cutter quantity.Quantity) (quantity.Quantity, error) {
	var s sums
	s.Positive(wall, "feed at the wall", check.Speed, "800 mm/min")
	s.Positive(boss, "boss diameter", quantity.Length, "20 mm")
	s.Positive(cutter, "cutter diameter", quantity.Length, "10 mm")
	if s.Err != nil {
		return quantity.Quantity{}, s.Err
	}
	ratio := s.Div(s.Add(boss, cutter), boss)
	return wall.Mul(ratio), s.Err
}

// Speeds is the spindle speed for a surface speed, v/(πd) in 1/min, and the feed
// at the wall, speed × perTooth × teeth, in mm/min or in/min as the cutter is
// given.
func Speeds(surface, cutter, perTooth quantity.Quantity, teeth int) (speed, wall quantity.Quantity, err error) {
	var s sums
	s.Positive(surface, "surface speed", check.Speed, "100 m/min")
	s.Positive(cutter, "cutter diameter", quantity.Length, "10 mm")
	s.Positive(perTooth, "feed per tooth", quantity.Length, "0.05 mm")
	if teeth < 1 || teeth > 1000 {
		s.Fail("teeth: %d; type the number of teeth, such as 4", teeth)
	}
	perMin, _ := quantity.LookupUnit("1/min")
	out, _ := quantity.LookupUnit("mm/min")
	if cutter.Unit().System() == quantity.Inch.System() {
		out, _ = quantity.LookupUnit("in/min")
	}
	if s.Err != nil {
		return quantity.Quantity{}, quantity.Quantity{}, s.Err
	}
	n := surface.Float() / (math.Pi * cutter.Float())
	speed = s.Keep(computed(n, perMin, surface, cutter))
	wall = s.Keep(speed.Mul(perTooth).Scale(big.NewRat(int64(teeth), 1)).As(out))
	return speed, wall, s.Err
}

// Range is the hole diameters that a cutter can make from solid metal.
type Range struct {
	// Smallest is d + core: below it a pip of metal meets the part of the end
	// that does not cut. For a centre-cutting tool it is d, and the hole must be
	// above it.
	Smallest quantity.Quantity
	Largest  quantity.Quantity // 2d: above it a post stays in the middle
	Flat     quantity.Quantity // 2(d - corner radius): above it the floor keeps a ridge
}

// HoleRange says which holes a cutter of diameter cutter can make from solid
// metal, when the middle of its end does not cut over the diameter core and its
// corners are rounded by the radius corner. Left out, core means a centre-cutting
// tool and corner a sharp one. Exact, by plane geometry.
func HoleRange(cutter, core, corner quantity.Quantity) (Range, error) {
	var s sums
	s.Positive(cutter, "cutter diameter", quantity.Length, "32 mm")
	s.ZeroOr(core, "core that does not cut", quantity.Length, "16 mm, or leave it out for a centre-cutting tool")
	s.ZeroOr(corner, "corner radius", quantity.Length, "0.8 mm, or leave it out for a sharp corner")
	if s.Err != nil {
		return Range{}, s.Err
	}
	two := big.NewRat(2, 1)
	r := Range{Smallest: cutter, Largest: cutter.Scale(two)}
	r.Flat = r.Largest
	if !core.IsZeroValue() {
		if !atLeast(cutter, core) {
			s.Fail("core that does not cut: %s is more than the %s cutter; type the diameter inside the cutting edges", core, cutter)
		}
		r.Smallest = s.Add(cutter, core)
	}
	if !corner.IsZeroValue() {
		if !atLeast(cutter, corner.Scale(two)) {
			s.Fail("corner radius: %s is more than half of the %s cutter; type the radius, not the diameter", corner, cutter)
		}
		r.Flat = s.Sub(cutter, corner).Scale(two)
	}
	return r, s.Err
}
