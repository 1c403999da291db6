package seam

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Lots are two lots of assemblies, one measured before a change and one after
// it, whose comparison is to be foretold.
type Lots struct {
	Before, After Seam
	// Anew names the sources, as Share names them, that the change makes anew:
	// what is not known of them before says nothing about them after. Every
	// other source that is the same for all assemblies is the same in both lots,
	// so that what is not known of it cancels in the difference. Looseness and
	// the gauge are drawn anew for every assembly in any case.
	Anew []string
	// NBefore and NAfter are how many assemblies are measured.
	NBefore, NAfter int
	// Offset, mm, is what was found at each point beside the model and is taken
	// to stay; nil for nothing.
	Offset []float64
	// Beside, mm, is the standard deviation of what the change does at each point
	// beside the model.
	Beside float64
}

// Span is a number to expect, with the interval that holds it 95 times in 100.
type Span struct{ Mean, Low, High float64 }

// Lot is what to expect of one number that is read on each assembly, mm.
type Lot struct {
	// Before and After are the mean over the lot, Change the difference after
	// minus before.
	Before, After, Change Span
	// SDBefore and SDAfter are the standard deviation over the lot, and Ratio the
	// latter over the former; NaN for a lot of one. Mean of the first two is the
	// root mean square, Mean of Ratio the ratio of those.
	SDBefore, SDAfter, Ratio Span
	// Worse is the probability that the level which all assemblies share is, by
	// the model, farther from zero after the change than before.
	Worse float64
}

// Outlook is what to expect of a comparison of two lots.
type Outlook struct {
	Points []Lot // at each point
	// Largest is that of the largest step of an assembly, without its sign. Its
	// Worse is not computed and NaN.
	Largest Lot
}

// Look foretells the comparison by simulation: the lots are made up as Draw
// makes them, draws times, always from the same seed. An interval is that
// between the 2.5 and the 97.5 % points of the draws; with the shape of a normal
// distribution their standard error is about 2.7/√draws of the standard
// deviation (order statistics; H. A. David, H. N. Nagaraja, Order Statistics).
//
// Errors: those of Forward; lots of no assembly, fewer than 100 draws, or more
// than 100 million assemblies in all.
func (l Lots) Look(points []Point, draws int, seed uint64) (Outlook, error) {
	before, err := l.Before.plan(points)
	if err != nil {
		return Outlook{}, fmt.Errorf("before: %w", err)
	}
	after, err := l.After.plan(points)
	if err != nil {
		return Outlook{}, fmt.Errorf("after: %w", err)
	}
	if err := l.check(len(points), draws); err != nil {
		return Outlook{}, err
	}
	n, pairs := len(points), l.pairs(before, after)
	rng := rand.New(rand.NewPCG(seed, 0x6c6f_7473))
	tallies := make([]tally, n+1) // the last one is of the largest
	for i := range tallies {
		tallies[i].grow(draws)
	}
	var u0, u1 [3]float64
	b, a := newLot(n), newLot(n)
	for range draws {
		copy(b.fixed, before.known)
		copy(a.fixed, after.known)
		for i := range l.Offset {
			b.fixed[i] += l.Offset[i]
			a.fixed[i] += l.Offset[i]
		}
		for _, p := range pairs {
			if p.before != nil {
				p.before.amounts(rng, &u0)
				p.before.add(&u0, b.fixed)
			}
			if p.after != nil {
				u1 = u0
				if p.before == nil || p.anew {
					p.after.amounts(rng, &u1)
				}
				p.after.add(&u1, a.fixed)
			}
		}
		for i := range tallies[:n] {
			// The slack keeps rounding from making a difference where there is none.
			if math.Abs(a.fixed[i]) > math.Abs(b.fixed[i])+1e-9 {
				tallies[i].worse++
			}
			if l.Beside > 0 {
				a.fixed[i] += l.Beside * rng.NormFloat64()
			}
		}
		b.draw(rng, before, l.NBefore)
		a.draw(rng, after, l.NAfter)
		for i := range tallies {
			tallies[i].add(b, a, i)
		}
	}
	out := Outlook{}
	for i := range n {
		lot := tallies[i].lot()
		// At a point the mean needs no simulation.
		lot.Before.Mean, lot.After.Mean = before.known[i], after.known[i]
		if l.Offset != nil {
			lot.Before.Mean, lot.After.Mean = before.known[i]+l.Offset[i], after.known[i]+l.Offset[i]
		}
		lot.Change.Mean = after.known[i] - before.known[i]
		lot.Worse = float64(tallies[i].worse) / float64(draws)
		out.Points = append(out.Points, lot)
	}
	out.Largest = tallies[n].lot()
	out.Largest.Worse = math.NaN()
	return out, nil
}

// mostLots is more than anyone waits for.
const mostLots = 100_000_000

func (l Lots) check(n, draws int) error {
	switch {
	case l.NBefore < 1 || l.NAfter < 1:
		return fmt.Errorf("%d assemblies before and %d after: there must be one or more", l.NBefore, l.NAfter)
	case draws < 100:
		return fmt.Errorf("%d draws: an interval of 95 %% takes 100 or more", draws)
	case l.NBefore > mostLots || l.NAfter > mostLots || draws > mostLots/(l.NBefore+l.NAfter):
		return fmt.Errorf("%d draws of %d assemblies are more than %d", draws, l.NBefore+l.NAfter, mostLots)
	case l.Offset != nil && len(l.Offset) != n || !finite(l.Offset...):
		return fmt.Errorf("the offsets must be numbers, one for each of the %d points", n)
	case !finite(l.Beside) || l.Beside < 0:
		return fmt.Errorf("the standard deviation beside the model, %g mm, must not be negative", l.Beside)
	}
	return nil
}

// pair is a source that is the same for all assemblies, before and after the
// change; one of them is nil if it is there on one side only.
type pair struct {
	before, after *prepared
	anew          bool
}

// pairs joins what has the same name; of several, in their order.
func (l Lots) pairs(before, after plan) []pair {
	var out []pair
	free := map[string][]*prepared{}
	for k := range after.sources {
		if f := &after.sources[k]; !f.varies {
			free[f.name] = append(free[f.name], f)
		}
	}
	for k := range before.sources {
		f := &before.sources[k]
		if f.varies {
			continue
		}
		p := pair{before: f, anew: slices.Contains(l.Anew, f.name)}
		if same := free[f.name]; len(same) > 0 && len(same[0].band) == len(f.band) {
			p.after, free[f.name] = same[0], same[1:]
		}
		out = append(out, p)
	}
	for k := range after.sources {
		f := &after.sources[k]
		if left := free[f.name]; len(left) > 0 && left[0] == f {
			out = append(out, pair{after: f})
			free[f.name] = left[1:]
		}
	}
	return out
}

// plan is a seam made ready for many draws.
type plan struct {
	known   []float64 // mean step at each point
	gauge   float64
	sources []prepared
}

// prepared is a source with its steps at all points worked out: what a band's
// full width makes.
type prepared struct {
	name         string
	varies, disc bool
	band         [][]float64 // of each amount, at each point
}

func (s Seam) plan(points []Point) (plan, error) {
	effects, sources, err := s.check(points)
	if err != nil {
		return plan{}, err
	}
	p := plan{known: make([]float64, len(points)), gauge: s.Gauge}
	for _, f := range sources {
		q := prepared{name: f.name, varies: f.varies, disc: f.disc}
		for k := range f.value {
			steps := make([]float64, len(points))
			for i := range points {
				by := f.effect(k, i, effects[i])
				p.known[i] += by * f.value[k]
				steps[i] = by * f.band[k]
			}
			q.band = append(q.band, steps)
		}
		p.sources = append(p.sources, q)
	}
	return p, nil
}

func (f prepared) amounts(rng *rand.Rand, u *[3]float64) { spread(rng, u, len(f.band), f.disc) }

func (f prepared) add(u *[3]float64, steps []float64) {
	for k, band := range f.band {
		for i, by := range band {
			steps[i] += u[k] * by
		}
	}
}

// lotDraw is one draw of a lot: sums over its assemblies, for each point and,
// last, the largest.
type lotDraw struct {
	n           int
	fixed       []float64
	steps       []float64
	sum, square []float64
}

func newLot(points int) *lotDraw {
	return &lotDraw{
		fixed: make([]float64, points), steps: make([]float64, points),
		sum: make([]float64, points+1), square: make([]float64, points+1),
	}
}

func (d *lotDraw) draw(rng *rand.Rand, p plan, n int) {
	d.n = n
	clear(d.sum)
	clear(d.square)
	var u [3]float64
	last := len(d.steps)
	for range n {
		copy(d.steps, d.fixed)
		for _, f := range p.sources {
			if f.varies {
				f.amounts(rng, &u)
				f.add(&u, d.steps)
			}
		}
		most := 0.0
		for i, x := range d.steps {
			x += p.gauge * rng.NormFloat64()
			d.sum[i] += x
			d.square[i] += x * x
			most = max(most, math.Abs(x))
		}
		d.sum[last] += most
		d.square[last] += most * most
	}
}

func (d *lotDraw) mean(i int) float64 { return d.sum[i] / float64(d.n) }

func (d *lotDraw) sd(i int) float64 {
	if d.n < 2 {
		return math.NaN()
	}
	m := d.mean(i)
	return math.Sqrt(max(0, d.square[i]-float64(d.n)*m*m) / float64(d.n-1))
}

// tally gathers the draws of one number.
type tally struct {
	before, after, change, sd0, sd1, ratio []float64
	worse                                  int
}

func (t *tally) grow(n int) {
	for _, s := range []*[]float64{&t.before, &t.after, &t.change, &t.sd0, &t.sd1, &t.ratio} {
		*s = make([]float64, 0, n)
	}
}

func (t *tally) add(b, a *lotDraw, i int) {
	t.before, t.after = append(t.before, b.mean(i)), append(t.after, a.mean(i))
	t.change = append(t.change, a.mean(i)-b.mean(i))
	s0, s1 := b.sd(i), a.sd(i)
	t.sd0, t.sd1 = append(t.sd0, s0), append(t.sd1, s1)
	t.ratio = append(t.ratio, s1/s0)
}

func (t *tally) lot() Lot {
	l := Lot{Before: span(t.before, average), After: span(t.after, average), Change: span(t.change, average)}
	l.SDBefore, l.SDAfter, l.Ratio = span(t.sd0, rootMeanSquare), span(t.sd1, rootMeanSquare), span(t.ratio, average)
	l.Ratio.Mean = l.SDAfter.Mean / l.SDBefore.Mean
	return l
}

// span takes the middle and the 2.5 and 97.5 % points of draws, which it sorts.
func span(v []float64, middle func([]float64) float64) Span {
	m := middle(v)
	if math.IsNaN(m) {
		return Span{m, m, m}
	}
	slices.Sort(v)
	at := func(p float64) float64 {
		x := p * float64(len(v)-1)
		k := min(int(x), len(v)-2)
		return v[k] + (x-float64(k))*(v[k+1]-v[k])
	}
	return Span{m, at(0.025), at(0.975)}
}

func average(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func rootMeanSquare(v []float64) float64 {
	var sum float64
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum / float64(len(v)))
}
