package bench

import (
	"fmt"
	"math/big"

	"tenths/calc/clamp"
	"tenths/calc/quantity"
)

// Clamp asks how hard clamps must press, and what a strap clamp presses with.
type Clamp struct {
	Force        string `placeholder:"FORCE" help:"Force of the cut along the seat: 1000N, 200lbf."`
	Depth        string `placeholder:"LENGTH" help:"... or the depth of cut of a single edge, with --feed and --specific."`
	Drill        string `placeholder:"SIZE" help:"Diameter of a drill, for its torque, with --feed, --specific and --radius."`
	Feed         string `placeholder:"LENGTH" help:"Feed of one revolution: 0.003in."`
	Specific     string `placeholder:"STRESS" help:"Specific cutting force of the material: '800 N/mm²', 120000lbf/in²."`
	Torque       string `placeholder:"TORQUE" help:"... or the torque of the cut: 12N*m, 100lbf*in."`
	Radius       string `placeholder:"LENGTH" help:"Radius at which the seat carries the torque."`
	Up           string `placeholder:"FORCE" help:"Force that pulls the part off the seat, as a drill that breaks through."`
	Friction     string `placeholder:"RANGE" help:"Coefficient of friction at the seat: 0.15, 0.10..0.15; the low end counts."`
	OnClamp      string `placeholder:"RANGE" help:"Coefficient of friction under the clamp, if the clamp cannot slide along with the part."`
	Safety       string `placeholder:"NUMBER" help:"Safety factor on the cut: 2.5."`
	Clamps       int    `placeholder:"N" help:"How many clamps share it evenly; 1 if not given."`
	BoltTorque   string `placeholder:"TORQUE" help:"For a strap clamp: the torque that its nut is tightened with."`
	BoltDiameter string `placeholder:"SIZE" help:"Nominal diameter of that bolt."`
	NutFactor    string `placeholder:"RANGE" help:"Nut factor K in torque = K·force·diameter: about 0.2 dry, 0.15 oiled (common practice)."`
	ToWork       string `placeholder:"LENGTH" help:"From the bolt to where the strap presses on the work."`
	ToHeel       string `placeholder:"LENGTH" help:"From the bolt to the heel of the strap."`
}

// About implements Question.
func (Clamp) About() string {
	return "The force with which clamps must press straight down so that friction holds the part against the cut, and the force with which a strap clamp presses on the work. Each can be asked alone. Tipping and the places of clamps and rests are not looked at: a station with its rests, clamps and loads in a ledger says more (tenths show)."
}

// Examples implements Question.
func (Clamp) Examples() []string {
	return []string{
		"--force 1000N --friction 0.20 --on-clamp 0.15 --safety 2.5 --clamps 2",
		"--bolt-torque 457.2lbf*in --bolt-diameter 0.5in --nut-factor 0.15..0.20 --to-work 2in --to-heel 2in",
	}
}

// ClampAnswer is the answer to Clamp; what was not asked is null.
type ClampAnswer struct {
	Cut     Rough `json:"cutting_force"`
	Torque  Rough `json:"cutting_torque"`
	Slide   Rough `json:"force_against_sliding"`
	Lift    Rough `json:"force_against_lifting"`
	Turn    Rough `json:"force_against_turning"`
	Total   Rough `json:"force_of_all_clamps"`
	Each    Rough `json:"force_of_each_clamp"`
	MinBolt Rough `json:"min_bolt_force"`
	MaxBolt Rough `json:"max_bolt_force"`
	MinWork Rough `json:"min_strap_force"`
	MaxWork Rough `json:"max_strap_force"`
	Times   Rough `json:"times_held"` // of the force asked for without safety, by the least strap force
	Sheet
}

// Ask implements Question (package clamp).
func (q Clamp) Ask(o Options) (Answer, error) {
	w := start(o, quantity.Length)
	a := &ClampAnswer{Sheet: newSheet()}
	pull, asked := q.pull(w, a)
	strap := q.BoltTorque != "" || q.BoltDiameter != "" || q.ToWork != "" || q.ToHeel != "" || q.NutFactor != ""
	if w.err == nil && !asked && !strap {
		w.fail("force: no value; type the force of the cut, such as 1000N, or a bolt torque for a strap clamp, such as 50N*m")
	}
	if w.err != nil {
		return nil, w.err
	}
	n := max(q.Clamps, 1)
	var needs clamp.Needs
	if asked {
		var err error
		if needs, err = pull.Needed(); err != nil {
			return nil, err
		}
		a.needed(w, pull, needs, n)
	}
	if strap {
		least := q.strap(w, a)
		if w.err == nil && asked {
			a.compare(w, pull, needs, least, n)
		}
	}
	a.cautions(asked, strap)
	return done(a, w)
}

// pull reads what is to be held. asked is false if nothing is.
func (q Clamp) pull(w *work, a *ClampAnswer) (p clamp.Pull, asked bool) {
	const eg = "1000N or 200lbf"
	byCut, byDrill := q.Depth != "", q.Drill != ""
	asked = q.Force != "" || q.Torque != "" || q.Up != "" || byCut || byDrill || q.Feed != "" || q.Specific != "" || q.Safety != "" || q.Friction != ""
	if !asked {
		return p, false
	}
	p.Force, p.Torque, p.Up = w.above("force", q.Force, quantity.Force, eg), w.above("torque", q.Torque, torqueDim, "12N*m or 100lbf*in"), w.above("up", q.Up, quantity.Force, eg)
	if byCut && q.Force != "" || byDrill && q.Torque != "" {
		w.fail("force: it is given in two ways; type the force or torque, or the cut that makes it")
	}
	if byCut || byDrill {
		feed, kc := w.needed("feed", q.Feed, quantity.Length, "0.003in"), w.needed("specific", q.Specific, stressDim, "'800 N/mm²' or 120000lbf/in²")
		depth, drill := w.above("depth", q.Depth, quantity.Length, "0.060in"), w.above("drill", q.Drill, quantity.Length, "0.75in")
		if w.err == nil && byCut {
			p.Force = clamp.CutForce(depth, feed, kc)
			a.Cut = w.rough(p.Force, 2)
			a.step("cut = depth·feed·specific cutting force = %s·%s·%s = %s", depth, feed, w.rough(kc, 3), a.Cut)
		}
		if w.err == nil && byDrill {
			p.Torque = clamp.DrillTorque(drill, feed, kc)
			a.Torque = w.rough(p.Torque, 2)
			a.step("torque = feed·d²·specific cutting force/8 = %s·(%s)²·%s/8 = %s", feed, drill, w.rough(kc, 3), a.Torque)
		}
	} else if q.Feed != "" || q.Specific != "" {
		w.fail("depth: no value; type the depth of cut, such as 0.060in, or the drill, such as 0.75in, with feed and specific")
	}
	if w.err == nil && p.Force.IsZeroValue() && p.Torque.IsZeroValue() && p.Up.IsZeroValue() {
		w.missing("force", quantity.Force, eg)
	}
	p.Radius = w.above("radius", q.Radius, quantity.Length, "50mm")
	if w.err == nil && !p.Torque.IsZeroValue() && p.Radius.IsZeroValue() {
		w.missing("radius", quantity.Length, "50mm")
	}
	p.Seat, _ = w.friction(q.Friction)
	if w.err == nil && p.Seat.IsZeroValue() {
		w.fail("friction: no value; type the coefficient at the seat, such as 0.15 or 0.10..0.15")
	}
	p.Clamp, _ = w.ratio("on-clamp", q.OnClamp, "0.12 or 0.10..0.15")
	p.Safety = w.above("safety", q.Safety, quantity.Number, "2.5")
	if w.err == nil && (p.Safety.IsZeroValue() || p.Safety.Rat().Cmp(big.NewRat(1, 1)) < 0) {
		w.fail("safety: no factor of 1 or more; type one, such as 2.5, or 1 for none")
	}
	if w.err == nil && q.Clamps < 0 {
		w.fail("clamps: %d; type how many there are, such as 2", q.Clamps)
	}
	return p, true
}

// needed puts the forces of the clamps together.
func (a *ClampAnswer) needed(w *work, p clamp.Pull, n clamp.Needs, clamps int) {
	const digits = 3
	a.Slide, a.Lift, a.Turn, a.Total = w.rough(n.Slide, digits), w.rough(n.Lift, digits), w.rough(n.Turn, digits), w.rough(n.Total, digits)
	a.Each = w.rough(n.Total.Scale(big.NewRat(1, int64(clamps))), digits)
	a.say("the clamps must press with %s at the least", a.Total)
	if clamps > 1 {
		a.say("%s on each of %d clamps", a.Each, clamps)
	}
	mu2 := "0"
	if !p.Clamp.IsZeroValue() {
		mu2 = p.Clamp.String()
	}
	if !n.Slide.IsZeroValue() {
		up := "0"
		if !p.Up.IsZeroValue() {
			up = w.rough(p.Up, digits).String()
		}
		a.step("against sliding: k·(F + mu1·U)/(mu1 + mu2) = %s·(%s + %s·%s)/(%s + %s) = %s", p.Safety, w.rough(p.Force, digits), p.Seat, up, p.Seat, mu2, a.Slide)
	}
	if !n.Turn.IsZeroValue() {
		a.step("against turning: k·M/(mu1·r) = %s·%s/(%s·%s), and k·U more without a force = %s", p.Safety, w.rough(p.Torque, digits), p.Seat, p.Radius, a.Turn)
	}
	if !n.Lift.IsZeroValue() {
		a.step("against lifting: k·U = %s·%s = %s", p.Safety, w.rough(p.Up, digits), a.Lift)
	}
	a.cite("friction of flat faces, formulas of fixture handbooks: common practice")
	if !a.Cut.IsZeroValue() || !a.Torque.IsZeroValue() {
		a.cite("cutting force and torque from the specific cutting force: common practice; the figure as typed")
	}
	a.cite("friction: as typed; published values differ by a factor of two and more")
}

// strap puts the force of a strap clamp together and gives the least of it.
func (q Clamp) strap(w *work, a *ClampAnswer) quantity.Quantity {
	torque, d := w.needed("bolt-torque", q.BoltTorque, torqueDim, "50N*m or 460lbf*in"), w.needed("bolt-diameter", q.BoltDiameter, quantity.Length, "12mm or 0.5in")
	if w.err == nil && q.NutFactor == "" {
		w.fail("nut-factor: no value; type about 0.2 for a dry thread, 0.15 for an oiled one, or 0.15..0.20 for both ends")
	}
	low, high := w.ratio("nut-factor", q.NutFactor, "0.2 or 0.15..0.20")
	work, heel := w.above("to-work", q.ToWork, quantity.Length, "50mm"), w.above("to-heel", q.ToHeel, quantity.Length, "50mm")
	if w.err == nil && work.IsZeroValue() != heel.IsZeroValue() {
		w.fail("to-work: both distances are needed; type to-work and to-heel, such as 50mm")
	}
	if w.err != nil {
		return quantity.Quantity{}
	}
	const digits = 3
	least, most := w.keep(clamp.BoltForce(torque, d, high)), w.keep(clamp.BoltForce(torque, d, low))
	a.MinBolt, a.MaxBolt = w.rough(least, digits), w.rough(most, digits)
	a.step("bolt = torque/(K·d) = %s/(%s·%s) = %s", torque, span(low, high), d, span(a.MinBolt, a.MaxBolt))
	if !work.IsZeroValue() {
		least, most = w.keep(clamp.StrapForce(least, work, heel)), w.keep(clamp.StrapForce(most, work, heel))
		a.step("on the work = bolt·to-heel/(to-work + to-heel) = bolt·%s/(%s + %s) = %s", heel, work, heel, span(w.rough(least, digits), w.rough(most, digits)))
	}
	a.MinWork, a.MaxWork = w.rough(least, digits), w.rough(most, digits)
	a.say("one clamp presses on the work with %s, its bolt pulls %s", span(a.MinWork, a.MaxWork), span(a.MinBolt, a.MaxBolt))
	a.cite("torque = K·force·diameter and the lever of a strap: machine design and fixture handbooks, common practice; K as typed")
	return least
}

// compare holds the strap clamps against what is needed.
func (a *ClampAnswer) compare(w *work, p clamp.Pull, n clamp.Needs, least quantity.Quantity, clamps int) {
	have := least.Scale(big.NewRat(int64(clamps), 1))
	times := w.div(have.Mul(p.Safety), n.Total)
	if w.err != nil {
		return
	}
	a.Times = w.rough(times, 2)
	asked := fmt.Sprintf("%s times were asked for", p.Safety)
	if have.Rat().Cmp(n.Total.Rat()) < 0 {
		asked = fmt.Sprintf("less than the %s times asked for", p.Safety)
	}
	a.say("by these formulas %d such hold the cut up to %s times; %s", clamps, down(times, 1), asked)
}

func (a *ClampAnswer) cautions(asked, strap bool) {
	if asked {
		a.mind("the least force that could do, not enough by itself: chatter, oil, a springing part take friction away, and tipping is not in it")
		a.mind("a solid stop in the way of the cut is better than friction")
		a.mind("a drill that breaks through pulls the part up and turns it: that case usually sets the clamp, not full thrust")
	}
	if strap {
		a.mind("the same torque on the same bolt gives forces that scatter by a quarter and more; what bolt, strap and part can bear is for their makers' figures")
		a.mind("heel as high as the work or a little higher, bolt nearer to the work than to the heel (common practice)")
	}
	a.mind("local rules and the responsible person decide whether a set-up may run; stand clear of the line of the cut on a first part")
}
