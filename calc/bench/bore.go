package bench

import (
	"strconv"
	"strings"

	"tenths/calc/boring"
	"tenths/calc/quantity"
)

// Bore asks for the path of a helical bore, or for the next pass to size.
type Bore struct {
	Hole   string `placeholder:"SIZE" help:"Diameter of the hole to be cut."`
	Cutter string `placeholder:"SIZE" help:"Diameter of the cutter."`
	Before string `placeholder:"SIZE" help:"Diameter of the hole before; solid metal if not given."`
	Pitch  string `placeholder:"LENGTH" help:"Depth for each turn."`
	Ramp   string `placeholder:"ANGLE" help:"... or the ramp angle of the centre's path."`
	Depth  string `placeholder:"LENGTH" help:"Depth of the hole, for the time."`
	Flat   int    `placeholder:"TURNS" help:"Full turns at the bottom without descent, for the time."`

	WallFeed   string `placeholder:"FEED" help:"Feed at the wall: 800mm/min."`
	CentreFeed string `placeholder:"FEED" help:"... or the feed of the cutter's centre, as programmed."`
	Surface    string `placeholder:"SPEED" help:"... or the surface speed, 100m/min, with --teeth and --tooth."`
	Teeth      int    `placeholder:"N" help:"Number of teeth."`
	Tooth      string `placeholder:"LENGTH" help:"Feed for each tooth: 0.02mm."`
	Core       string `placeholder:"SIZE" help:"Diameter in the middle of the cutter's end that does not cut; 0 if not given."`
	Corner     string `placeholder:"RADIUS" help:"Corner radius of the cutter; 0 if not given."`

	Limits    string   `placeholder:"SIZE" help:"For the next pass: the limits of the hole, '0.1875 +0.0005/-0 in'."`
	Entered   []string `sep:"none" placeholder:"GAUGE" help:"A plug that entered before the first pass: '0.1870 in X plus'. May be repeated."`
	Refused   []string `sep:"none" placeholder:"GAUGE" help:"A plug that refused before the first pass. May be repeated."`
	Pass      []string `sep:"none" placeholder:"PASS" help:"A pass that is done: change of radius, then what the plugs said, '0.0003in; entered 0.1876 in X plus; refused 0.1878 in X minus'. May be repeated, in order."`
	Target    string   `placeholder:"SIZE" help:"Diameter to aim at; the middle of the limits if not given."`
	Gain      string   `placeholder:"RANGE" help:"What a pass can gain of the commanded change: 0.8..1 if not given."`
	Spread    string   `placeholder:"NUMBER" help:"How far one pass may stray from the cutter's mean gain: 0.1 if not given."`
	Spring    string   `placeholder:"LENGTH" help:"What a pass may take besides, left standing by earlier ones; 0 if not given."`
	Entry     string   `placeholder:"LENGTH" help:"Clearance that a plug may still want before it enters; 0 if not given."`
	Increment string   `placeholder:"LENGTH" help:"Smallest change that the control takes: 0.00001 in or 0.0001 mm, by the unit of the answer, if not given."`
}

// About implements Question.
func (Bore) About() string {
	return "With --hole and --cutter: the path of the cutter's centre, feeds at centre and wall, ramp angle, time, engagement. With --limits and what plug gauges said: the interval that the hole lies in, and the next change of radius that cannot pass the upper limit; the gain of the cutter is learned from the passes."
}

// Examples implements Question.
func (Bore) Examples() []string {
	return []string{
		"--hole 16mm --cutter 10mm --pitch 0.5mm --wall-feed 800mm/min --depth 12mm",
		"--limits '0.1875 +0.0005/-0 in' --entered '0.1870 in X plus' --refused '0.1873 in X minus'",
		"--limits '0.1875 +0.0005/-0 in' --entered '0.1870 in X plus' --refused '0.1873 in X minus' --pass '0.0002in; entered 0.1873 in X plus; refused 0.1875 in X minus'",
	}
}

// BoreAnswer is the answer to Bore; what was not asked is null.
type BoreAnswer struct {
	Path *BorePath `json:"path"`
	Next *BoreNext `json:"next_pass"`
	Sheet
}

// BorePath is a helical cut for the machine.
type BorePath struct {
	Diameter    quantity.Quantity `json:"path_diameter"` // of the circle of the cutter's centre
	Radius      quantity.Quantity `json:"path_radius"`
	CentreFeed  Rough             `json:"centre_feed"`
	WallFeed    Rough             `json:"wall_feed"`
	Speed       Rough             `json:"spindle_speed"`
	Pitch       quantity.Quantity `json:"pitch"`
	Ramp        quantity.Quantity `json:"ramp"`
	WallRamp    quantity.Quantity `json:"ramp_at_wall"`
	TurnLength  Rough             `json:"turn_length"`
	Time        Rough             `json:"time"`
	RadialDepth quantity.Quantity `json:"radial_depth"`
	Straight    quantity.Quantity `json:"acts_like_straight_cut_of"`
	Contact     Rough             `json:"contact_angle"`
	Post        quantity.Quantity `json:"post"` // null: none is left standing
	MinHole     quantity.Quantity `json:"smallest_hole_in_solid"`
	MaxHole     quantity.Quantity `json:"largest_hole_in_solid"`
	FlatHole    quantity.Quantity `json:"largest_flat_floor"`
}

// BoreNext is the next pass to size.
type BoreNext struct {
	Decision boring.Decision   `json:"decision"`
	Change   Rough             `json:"change_of_radius"` // null unless it goes on; its text is not above it
	Why      string            `json:"why"`
	HoleMin  quantity.Quantity `json:"hole_min"`
	HoleMax  quantity.Quantity `json:"hole_max"`
	AfterMin Rough             `json:"after_min"`
	AfterMax Rough             `json:"after_max"`
	Most     quantity.Quantity `json:"most_change_of_radius"`
	Aim      quantity.Quantity `json:"aimed_change_of_radius"`
	GainLow  Rough             `json:"gain_low"`
	GainHigh Rough             `json:"gain_high"`
	GainMean Rough             `json:"learned_gain"` // null until two states are bracketed
	GainHalf Rough             `json:"learned_gain_half_width"`
	Passes   int               `json:"passes_learned_from"`
}

// Ask implements Question (package boring).
func (q Bore) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	path := q.Hole != "" || q.Cutter != ""
	next := q.Limits != "" || len(q.Entered)+len(q.Refused)+len(q.Pass) > 0
	if !path && !next {
		w.fail("hole: no value; type the hole and the cutter, such as --hole 16mm --cutter 10mm, or the limits and what the plugs said, such as --limits '0.1875 +0.0005/-0 in' --entered '0.1870 in X plus' --refused '0.1873 in X minus'")
	}
	if w.err != nil {
		return nil, w.err
	}
	a := &BoreAnswer{Sheet: newSheet()}
	if path {
		if err := a.path(w, q); err != nil {
			return nil, err
		}
	}
	if next {
		if err := a.next(w, q); err != nil {
			return nil, err
		}
	} else {
		a.mind("spindle stopped before hands or gauges go near the cutter, no gloves near a spindle that can turn (common practice)")
	}
	a.mind("local codes and licensed practice decide; these cautions are a reminder and not complete")
	return done(a, w)
}

// path answers for one helical cut.
func (a *BoreAnswer) path(w *work, q Bore) error {
	const egFeed = "800mm/min or 30in/min"
	c := boring.Cut{
		Hole: w.needed("hole", q.Hole, quantity.Length, "16mm"), Cutter: w.needed("cutter", q.Cutter, quantity.Length, "10mm"),
		Before: w.above("before", q.Before, quantity.Length, "15.5mm"), Pitch: w.above("pitch", q.Pitch, quantity.Length, "0.5mm"),
		Ramp: w.above("ramp", q.Ramp, quantity.Angle, "1.5deg"), Depth: w.above("depth", q.Depth, quantity.Length, "12mm"), FlatRounds: q.Flat,
		WallFeed: w.above("wall-feed", q.WallFeed, feedDim, egFeed), CentreFeed: w.above("centre-feed", q.CentreFeed, feedDim, egFeed),
	}
	var speed quantity.Quantity
	if q.Surface != "" || q.Teeth != 0 || q.Tooth != "" {
		surface, tooth := w.needed("surface", q.Surface, feedDim, "100m/min"), w.needed("tooth", q.Tooth, quantity.Length, "0.02mm")
		switch {
		case w.err != nil:
		case !c.WallFeed.IsZeroValue() || !c.CentreFeed.IsZeroValue():
			w.fail("surface: the feed follows from it and is given too; leave one of the two out")
		case q.Teeth < 1:
			w.fail("teeth: %d; type the number of teeth, such as 4", q.Teeth)
		default:
			var err error
			if speed, c.WallFeed, err = boring.Speeds(surface, c.Cutter, tooth, q.Teeth); err != nil {
				return err
			}
			a.step("spindle speed = surface speed/(pi·cutter) = %s/(pi·%s) = %s", surface, c.Cutter, Rough{Quantity: speed, digits: 3})
			a.step("feed at the wall = speed × teeth × feed per tooth = %s × %d × %s = %s", Rough{Quantity: speed, digits: 3}, q.Teeth, tooth, w.rough(c.WallFeed, 3))
		}
	}
	core, corner := w.zeroOr("core", q.Core, quantity.Length, "5mm"), w.zeroOr("corner", q.Corner, quantity.Length, "0.5mm")
	if w.err != nil {
		return w.err
	}
	p, err := boring.Helix(c)
	if err != nil {
		return err
	}
	r, err := boring.HoleRange(c.Cutter, core, corner)
	if err != nil {
		return err
	}
	b := &BorePath{
		Diameter: w.show(p.Diameter), Radius: w.show(p.Radius), CentreFeed: w.rough(p.CentreFeed, 3), WallFeed: w.rough(p.WallFeed, 3), Speed: Rough{Quantity: speed, digits: 3},
		Pitch: w.show(p.Pitch), Ramp: degrees(p.Ramp), WallRamp: degrees(p.WallRamp), TurnLength: w.rough(p.TurnLength, 4), Time: Rough{Quantity: p.Time, digits: 2},
		RadialDepth: w.show(p.RadialDepth), Straight: w.show(p.Straight), Contact: Rough{Quantity: p.Contact, digits: 2}, Post: w.show(p.Post),
		MinHole: w.show(r.Smallest), MaxHole: w.show(r.Largest), FlatHole: w.show(r.Flat),
	}
	a.Path = b
	hole, cutter := w.show(c.Hole), w.show(c.Cutter)
	a.say("the centre runs on a circle of %s (radius %s)", b.Diameter, b.Radius)
	a.step("path = hole - cutter = %s - %s = %s", hole, cutter, b.Diameter)
	a.feeds(b, hole, c)
	a.engagement(w, b, c, r)
	a.cite("plane geometry; centre feed = wall feed·(D - d)/D as several makers of cutters print it")
	return nil
}

// degrees shows a ramp angle.
func degrees(q quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() || q.Decimals() >= 0 {
		return q
	}
	return shownWith(q, 2)
}

func (a *BoreAnswer) feeds(b *BorePath, hole quantity.Quantity, c boring.Cut) {
	switch {
	case b.CentreFeed.IsZeroValue():
	case c.WallFeed.IsZeroValue():
		a.say("feed of the centre %s, at the wall %s", b.CentreFeed, b.WallFeed)
		a.step("feed at the wall = centre feed·hole/path = %s·%s/%s = %s", b.CentreFeed, hole, b.Diameter, b.WallFeed)
	default:
		a.say("feed of the centre %s for %s at the wall", b.CentreFeed, b.WallFeed)
		a.step("centre feed = wall feed·path/hole = %s·%s/%s = %s", b.WallFeed, b.Diameter, hole, b.CentreFeed)
	}
	if !b.Pitch.IsZeroValue() {
		a.say("ramp %s on the centre's path, %s at the wall, pitch %s", b.Ramp, b.WallRamp, b.Pitch)
		a.step("ramp = atan(pitch/(pi·path)) = atan(%s/(pi·%s)) = %s", b.Pitch, b.Diameter, b.Ramp)
	}
	if !b.Time.IsZeroValue() {
		a.say("time %s in the cut, %s to a turn", b.Time, b.TurnLength)
		a.step("time = (depth/pitch·turn + flat turns)/centre feed, with turn = sqrt((pi·path)² + pitch²) = %s: %s", b.TurnLength, b.Time)
	}
}

func (a *BoreAnswer) engagement(w *work, b *BorePath, c boring.Cut, r boring.Range) {
	if !b.RadialDepth.IsZeroValue() {
		a.say("radial depth %s, which acts like a straight cut of %s (%s of contact)", b.RadialDepth, b.Straight, b.Contact)
		a.step("acts like (hole² - before²)/(4·path) = ((%s)² - (%s)²)/(4·%s) = %s", w.show(c.Hole), w.show(c.Before), b.Diameter, b.Straight)
	}
	if !b.Post.IsZeroValue() {
		a.mind("metal inside %s stays standing: the cutter does not reach it", b.Post)
	}
	if !c.Before.IsZeroValue() {
		return
	}
	if w.sub(c.Hole, r.Smallest).Sign() < 0 {
		a.mind("from solid metal this cutter makes no hole under %s: a pip would meet the part of its end that does not cut", b.MinHole)
	}
	if w.sub(c.Hole, r.Flat).Sign() > 0 && b.Post.IsZeroValue() {
		a.mind("the floor keeps a ridge: the corner radius leaves it flat only up to %s", b.FlatHole)
	}
	a.mind("in solid metal the cutter must be able to ramp at this angle; its maker says how steeply")
}

// next answers for the next pass to size.
func (a *BoreAnswer) next(w *work, q Bore) error {
	const eg = "'0.1875 +0.0005/-0 in'"
	limits := w.size("limits", q.Limits, eg, true)
	if w.err == nil && limits.Form == quantity.Plain {
		w.fail("limits: %s has no limits; type them, such as %s", limits, eg)
	}
	job := boring.Job{
		Limits: w.inUnit(limits), Target: w.above("target", q.Target, quantity.Length, "0.1877in"), Entry: w.zeroOr("entry", q.Entry, quantity.Length, "0.00005in"),
		Increment: w.above("increment", q.Increment, quantity.Length, "0.0001in"), Start: w.facts(q.Entered, q.Refused),
	}
	if strings.TrimSpace(q.Gain) != "" {
		g := w.limits("gain", plainRange(q.Gain), quantity.Number, "0.8..1")
		job.Gain.Low, job.Gain.High = ends(g)
	}
	job.Gain.Spread = w.zeroOr("spread", q.Spread, quantity.Number, "0.1")
	job.Gain.Spring = w.zeroOr("spring", q.Spring, quantity.Length, "0.00005in")
	for i, text := range q.Pass {
		job.Passes = append(job.Passes, w.pass("pass "+strconv.Itoa(i+1), text))
	}
	if w.err != nil {
		return w.err
	}
	s, err := boring.Next(job)
	if err != nil {
		return err
	}
	n := &BoreNext{
		Decision: s.Decision, Why: s.Why, Change: w.notAbove(s.Change), HoleMin: w.padded(s.Size.Lower), HoleMax: w.padded(s.Size.Upper), AfterMin: w.outward(s.After.Lower, down), AfterMax: w.outward(s.After.Upper, up),
		Most: w.show(s.Most), Aim: w.show(s.Aim), GainLow: hundredths(s.Learned.Low), GainHigh: hundredths(s.Learned.High),
		GainMean: hundredths(s.Learned.Mean), GainHalf: hundredths(s.Learned.Half), Passes: s.Learned.Passes,
	}
	a.Next = n
	if s.Decision == boring.GoOn {
		a.say("next pass: %s on the radius", n.Change)
	} else {
		a.say("%s", s.Decision)
	}
	a.say("%s", s.Why)
	if n.Passes > 0 && !n.GainMean.IsZeroValue() {
		a.say("the cutter gained %s ± %s of what was commanded, over %s; the next is taken to gain %s", n.GainMean, n.GainHalf, counted(n.Passes, "pass", "passes"), span(n.GainLow, n.GainHigh))
	}
	if !n.HoleMin.IsZeroValue() && !n.HoleMax.IsZeroValue() {
		a.step("hole: from the smallest that an entered plug can be, %s, to the largest that a refused plug can be, %s", n.HoleMin, n.HoleMax)
	}
	if !n.Most.IsZeroValue() && !n.GainHigh.IsZeroValue() {
		a.step("largest change = (upper limit - largest hole - 2·spring)/(2·highest gain) = (%s - %s - 2·%s)/(2·%s) = %s", w.show(job.Limits.Upper), n.HoleMax, zeroText(w, job.Gain.Spring, job.Limits.Upper), n.GainHigh, n.Most)
	}
	if middle, _, ok := s.Size.Estimate(); ok && s.Aim.Sign() != 0 {
		target := job.Target
		if target.IsZeroValue() {
			target, _ = job.Limits.Middle()
		}
		gain := w.div(half(w.sub(target, middle)), s.Aim)
		a.step("aimed at: (target - middle of the interval)/(2·gain) = (%s - %s)/(2·%s) = %s; the change is no more than both, rounded down to the control's increment",
			w.padded(target), w.padded(middle), hundredths(gain), n.Aim)
	}
	a.cite("plug-gauge reasoning and (target - estimate)/(2·gain): common practice")
	for _, c := range s.Cautions {
		a.mind("%s", c)
	}
	return nil
}

// hundredths shows a gain.
func hundredths(q quantity.Quantity) Rough {
	if q.IsZeroValue() {
		return Rough{}
	}
	return Rough{Quantity: q, text: q.Format(q.Unit(), 2)}
}

// zeroText shows a length that may be left out as 0 in the unit of another.
func zeroText(w *work, q, like quantity.Quantity) quantity.Quantity {
	if q.IsZeroValue() {
		return w.show(w.sub(like, like)).WithDecimals(0)
	}
	return w.show(q)
}

// plainRange makes a range of one number.
func plainRange(text string) string {
	if strings.Contains(text, "..") {
		return text + " parts"
	}
	return text + ".." + text + " parts"
}

// facts reads what plugs said.
func (w *work) facts(entered, refused []string) []boring.Fact {
	var out []boring.Fact
	for _, g := range entered {
		out = append(out, boring.Fact{Gauge: w.gauge("entered", g), Entered: true})
	}
	for _, g := range refused {
		out = append(out, boring.Fact{Gauge: w.gauge("refused", g)})
	}
	return out
}

// pass reads a pass that is done.
func (w *work) pass(name, text string) boring.Pass {
	const eg = "'0.0003in; entered 0.1876 in X plus; refused 0.1878 in X minus'"
	parts := strings.Split(text, ";")
	var p boring.Pass
	if strings.TrimSpace(parts[0]) == "" {
		w.fail("%s: no change of radius; type the pass such as %s, or 0in for the same pass again", name, eg)
	}
	p.Change = w.zeroOr(name, parts[0], quantity.Length, eg)
	for _, part := range parts[1:] {
		word, g, _ := strings.Cut(strings.TrimSpace(part), " ")
		switch strings.ToLower(word) {
		case "entered":
			p.Facts = append(p.Facts, w.facts([]string{g}, nil)...)
		case "refused":
			p.Facts = append(p.Facts, w.facts(nil, []string{g})...)
		default:
			w.fail("%s: %q is no gauge; type entered or refused and the gauge, such as %s", name, strings.TrimSpace(part), eg)
		}
	}
	return p
}
