package cause

import (
	"errors"
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// draws is how many times the amounts are drawn to count which source is the
// main one: probabilities are good to 0.008 (1 s at one half).
const draws = 4000

// model is a Problem as matrices: amounts of all sources in one row.
type model struct {
	p       Problem
	effect  *mat.Dense // point by amount
	of      []int      // source of each amount
	at      []int      // place of the amount in its source
	points  int
	amounts int
}

func newModel(p Problem, points int) *model {
	m := &model{p: p, points: points}
	for k, s := range p.Sources {
		for j := range s.Effects {
			m.of, m.at = append(m.of, k), append(m.at, j)
		}
	}
	m.amounts = len(m.of)
	if m.amounts > 0 {
		m.effect = mat.NewDense(points, m.amounts, nil)
		for a := range m.of {
			m.effect.SetCol(a, p.Sources[m.of[a]].Effects[m.at[a]])
		}
	}
	return m
}

// state is one way in which things may stand: changed is the source that is in
// its second state, or -1.
type state struct {
	changed  int
	prior    float64
	logLike  float64
	mean     []float64     // of the amounts, after the readings
	cov      *mat.SymDense // of the amounts, after the readings
	variance *mat.SymDense // of one piece
}

// sd is the standard deviation of amount a in a state: what is the same for all
// pieces, and what varies.
func (m *model) sd(a, changed int) (same, varies float64) {
	s := m.p.Sources[m.of[a]]
	j := m.at[a]
	if m.of[a] == changed {
		return s.Other[j], 0
	}
	if s.Varies != nil {
		varies = s.Varies[j]
	}
	return s.SD[j], varies
}

// variance is the covariance of the readings of one piece about the mean of all.
func (m *model) variance(changed int, scale float64) *mat.SymDense {
	out := mat.NewSymDense(m.points, nil)
	for i := range m.points {
		for j := i; j < m.points; j++ {
			sum := 0.0
			if i == j {
				sum = m.p.Noise * m.p.Noise
			}
			for a := range m.amounts {
				if _, v := m.sd(a, changed); v > 0 {
					sum += m.effect.At(i, a) * m.effect.At(j, a) * v * v
				}
			}
			out.SetSym(i, j, sum*scale*scale)
		}
	}
	return out
}

// Weigh finds what readings, one row a piece with a number for each point, say of
// the sources. Each trait is a number for each point; its value is the sum of
// the products with the mean readings.
//
// Errors: readings or traits that do not fit the effects, no noise, standard
// deviations below zero, odds that add up to more than one. With errors of
// readings comes ErrReadings.
func Weigh(p Problem, readings, traits [][]float64) (*Answer, error) {
	if err := p.check(readings, traits); err != nil {
		return nil, err
	}
	n, points := len(readings), len(readings[0])
	m := newModel(p, points)
	mean := make([]float64, points)
	for _, r := range readings {
		for i, v := range r {
			mean[i] += v / float64(n)
		}
	}
	within := mat.NewSymDense(points, nil)
	for _, r := range readings {
		for i := range points {
			for j := i; j < points; j++ {
				within.SetSym(i, j, within.At(i, j)+(r[i]-mean[i])*(r[j]-mean[j]))
			}
		}
	}
	out := &Answer{Scale: 1, Changed: make([]float64, len(p.Sources)), m: m, traits: traits}
	first, err := m.scatter(m.variance(-1, 1), within, n)
	if err != nil {
		return nil, err
	}
	if df := float64((n - 1) * points); df > 0 && first.square > (distuv.ChiSquared{K: df}).Quantile(0.99) {
		out.Scale = math.Sqrt(first.square / df)
	}
	states := []state{{changed: -1, prior: 1}}
	for k, s := range p.Sources {
		if s.Other != nil && s.Odds > 0 {
			states = append(states, state{changed: k, prior: s.Odds})
			states[0].prior -= s.Odds
		}
	}
	best := math.Inf(-1)
	for i := range states {
		st := &states[i]
		if err := m.solve(st, mean, within, n, out.Scale); err != nil {
			return nil, err
		}
		if st.prior > 0 {
			best = max(best, math.Log(st.prior)+st.logLike)
		}
	}
	weights := make([]float64, len(states))
	var sum float64
	for i, st := range states {
		if st.prior > 0 {
			weights[i] = math.Exp(math.Log(st.prior) + st.logLike - best)
		}
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
		if states[i].changed < 0 {
			out.AsRecorded = weights[i]
		} else {
			out.Changed[states[i].changed] = weights[i]
		}
	}
	out.mix(states, weights)
	out.findTraits(states, weights, mean, n)
	return out, nil
}

// scattered is how the pieces differ among each other, under a covariance.
type scattered struct{ logLike, square float64 }

func (m *model) scatter(v, within *mat.SymDense, n int) (scattered, error) {
	var chol mat.Cholesky
	if !chol.Factorize(v) {
		return scattered{}, errors.New("what varies has no covariance that can be inverted")
	}
	var s scattered
	if n > 1 {
		var inv mat.Dense
		if err := chol.SolveTo(&inv, within); err != nil {
			return s, errors.New("what varies has no covariance that can be inverted")
		}
		s.square = mat.Trace(&inv)
		s.logLike = -0.5 * (float64(n-1)*chol.LogDet() + s.square)
	}
	return s, nil
}

// solve finds what the readings make of the amounts in a state, and how probable
// the state makes the readings.
func (m *model) solve(st *state, mean []float64, within *mat.SymDense, n int, scale float64) error {
	st.variance = m.variance(st.changed, scale)
	sc, err := m.scatter(st.variance, within, n)
	if err != nil {
		return err
	}
	// Covariance of the mean readings before them: effects of what is the same
	// for all pieces, and what varies over the number of pieces.
	total := mat.NewSymDense(m.points, nil)
	gain := mat.NewDense(max(m.amounts, 1), m.points, nil) // prior covariance times effects, transposed
	rest := make([]float64, m.points)
	copy(rest, mean)
	for a := range m.amounts {
		same, _ := m.sd(a, st.changed)
		known := m.p.Sources[m.of[a]].Known[m.at[a]]
		for i := range m.points {
			rest[i] -= known * m.effect.At(i, a)
			gain.Set(a, i, same*same*m.effect.At(i, a))
		}
	}
	for i := range m.points {
		for j := i; j < m.points; j++ {
			sum := st.variance.At(i, j) / float64(n)
			for a := range m.amounts {
				sum += m.effect.At(i, a) * gain.At(a, j)
			}
			total.SetSym(i, j, sum)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(total) {
		return errors.New("the readings have no covariance that can be inverted")
	}
	d := mat.NewVecDense(m.points, rest)
	var x mat.VecDense
	if err := chol.SolveVecTo(&x, d); err != nil {
		return errors.New("the readings have no covariance that can be inverted")
	}
	st.logLike = sc.logLike - 0.5*(chol.LogDet()+mat.Dot(d, &x))
	if m.amounts == 0 {
		return nil
	}
	var shift mat.VecDense
	shift.MulVec(gain, &x)
	st.mean = make([]float64, m.amounts)
	for a := range st.mean {
		st.mean[a] = m.p.Sources[m.of[a]].Known[m.at[a]] + shift.AtVec(a)
	}
	var back mat.Dense
	if err := chol.SolveTo(&back, gain.T()); err != nil {
		return errors.New("the readings have no covariance that can be inverted")
	}
	var less mat.Dense
	less.Mul(gain, &back)
	st.cov = mat.NewSymDense(m.amounts, nil)
	for a := range m.amounts {
		same, _ := m.sd(a, st.changed)
		for b := a; b < m.amounts; b++ {
			v := -(less.At(a, b) + less.At(b, a)) / 2
			if a == b {
				v = max(0, v+same*same)
			}
			st.cov.SetSym(a, b, v)
		}
	}
	return nil
}

// mix puts the states together into one mean and covariance of the amounts.
func (out *Answer) mix(states []state, weights []float64) {
	m := out.m
	out.mean = make([]float64, m.amounts)
	out.cov = square(m.amounts)
	out.variation = square(m.points)
	for i, st := range states {
		w := weights[i]
		for a := range m.amounts {
			out.mean[a] += w * st.mean[a]
			for b := range m.amounts {
				out.cov[a][b] += w * (st.cov.At(a, b) + st.mean[a]*st.mean[b])
			}
		}
		for r := range m.points {
			for c := range m.points {
				out.variation[r][c] += w * st.variance.At(r, c)
			}
		}
	}
	for a := range m.amounts {
		for b := range m.amounts {
			out.cov[a][b] -= out.mean[a] * out.mean[b]
		}
	}
	out.Mean = make([]float64, m.points)
	for a := range m.amounts {
		for i := range out.Mean {
			out.Mean[i] += m.effect.At(i, a) * out.mean[a]
		}
	}
	for _, s := range m.p.Sources {
		out.Amounts = append(out.Amounts, make([]float64, len(s.Effects)))
		out.AmountSD = append(out.AmountSD, make([]float64, len(s.Effects)))
	}
	for a, k := range m.of {
		out.Amounts[k][m.at[a]] = out.mean[a]
		out.AmountSD[k][m.at[a]] = math.Sqrt(max(0, out.cov[a][a]))
	}
}

func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

// findTraits gives each trait its value, error and suspects.
func (out *Answer) findTraits(states []state, weights []float64, mean []float64, n int) {
	m := out.m
	wins := make([][]float64, len(out.traits))
	for t, row := range out.traits {
		var tr Trait
		for i := range row {
			tr.Value += row[i] * mean[i]
			for j := range row {
				tr.Error += row[i] * row[j] * out.variation[i][j]
			}
		}
		tr.Error = math.Sqrt(max(0, tr.Error) / float64(n))
		whole := make([]float64, m.amounts)
		for k := range m.p.Sources {
			g := out.adds(t, k)
			for a := range g {
				whole[a] += g[a]
			}
			mu, sd := out.moments(g)
			tr.Suspects = append(tr.Suspects, Suspect{Source: k, Adds: mu, SD: sd})
		}
		tr.True, tr.TrueSD = out.moments(whole)
		out.Traits = append(out.Traits, tr)
		wins[t] = make([]float64, len(m.p.Sources))
	}
	out.count(states, weights, wins)
	for t := range out.Traits {
		s := out.Traits[t].Suspects
		for k := range s {
			s[k].Probability = wins[t][k]
		}
		// Probabilities that were counted equal, within 0.05, keep the order of the
		// sources.
		sort.SliceStable(s, func(i, j int) bool { return math.Round(s[i].Probability*20) > math.Round(s[j].Probability*20) })
	}
}

// adds is what each amount of source k adds to trait t.
func (out *Answer) adds(t, k int) []float64 {
	m := out.m
	g := make([]float64, m.amounts)
	for a := range g {
		if m.of[a] != k {
			continue
		}
		for i, l := range out.traits[t] {
			g[a] += l * m.effect.At(i, a)
		}
	}
	return g
}

// moments are mean and standard deviation of a sum of amounts.
func (out *Answer) moments(g []float64) (mean, sd float64) {
	for a, x := range g {
		if x == 0 {
			continue
		}
		mean += x * out.mean[a]
		for b, y := range g {
			sd += x * y * out.cov[a][b]
		}
	}
	return mean, math.Sqrt(max(0, sd))
}

// count draws amounts from every state, as often as it is probable, and counts
// which source adds most to each trait. The draws are seeded: the same readings
// give the same answer.
func (out *Answer) count(states []state, weights []float64, wins [][]float64) {
	m := out.m
	if m.amounts == 0 {
		return
	}
	rng := rand.New(rand.NewPCG(1, 0x6361_7573))
	add := make([][][]float64, len(out.traits)) // trait, source, amount
	for t := range out.traits {
		for k := range m.p.Sources {
			add[t] = append(add[t], out.adds(t, k))
		}
	}
	z, v, each := make([]float64, m.amounts), make([]float64, m.amounts), make([]float64, len(m.p.Sources))
	for i, st := range states {
		times := int(math.Round(weights[i] * draws))
		if times == 0 {
			continue
		}
		root := rootOf(st.cov)
		for range times {
			for a := range z {
				z[a] = rng.NormFloat64()
			}
			for a := range v {
				v[a] = st.mean[a]
				for b, r := range root.RawRowView(a) {
					v[a] += r * z[b]
				}
			}
			for t := range out.traits {
				wins[t][largest(add[t], m.of, v, each)]++
			}
		}
	}
	for t := range wins {
		sum := 0.0
		for _, w := range wins[t] {
			sum += w
		}
		for k := range wins[t] {
			wins[t][k] /= sum
		}
	}
}

// largest is the source that adds most to a trait, in the direction of the whole.
// each is room for what every source adds.
func largest(add [][]float64, of []int, v, each []float64) int {
	clear(each)
	whole := 0.0
	for a, k := range of {
		x := add[k][a] * v[a]
		each[k] += x
		whole += x
	}
	best := 0
	for k := range each {
		if whole < 0 {
			each[k] = -each[k]
		}
		if each[k] > each[best] {
			best = k
		}
	}
	return best
}

// rootOf is a matrix that turns independent standard normal numbers into ones of
// the given covariance, which may have no inverse.
func rootOf(cov *mat.SymDense) *mat.Dense {
	var eig mat.EigenSym
	n := cov.SymmetricDim()
	out := mat.NewDense(n, n, nil)
	if !eig.Factorize(cov, true) {
		return out
	}
	var vectors mat.Dense
	eig.VectorsTo(&vectors)
	for j, l := range eig.Values(nil) {
		for i := range n {
			out.Set(i, j, vectors.At(i, j)*math.Sqrt(max(0, l)))
		}
	}
	return out
}
