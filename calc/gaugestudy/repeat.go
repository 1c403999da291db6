package gaugestudy

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"tenths/calc/chart"
)

// Method is how a study is evaluated. The two give different figures for the same
// readings; whoever quotes one says which.
type Method string

// The methods.
const (
	AverageRange Method = "average and range"
	Anova        Method = "analysis of variance"
)

// Result is what a study comes to. All but counts and shares are standard deviations
// in the unit of the readings.
type Result struct {
	Method                Method
	People, Parts, Trials int
	Repeatability         float64 // one person, one part, again
	// Reproducibility is what people differ by, and Interaction what they differ by
	// from part to part; both are 0 where the readings show none. With the method of
	// ranges, Interaction is not known and lies in Reproducibility.
	Reproducibility, Interaction float64
	Gauge                        float64 // all of the measurement: repeatability, reproducibility, interaction
	Part                         float64 // from part to part, as far as the chosen parts show it
	Total                        float64
	// Categories is how many kinds of part the gauge can tell apart, 1.41·Part/Gauge
	// rounded down; CategoriesExact is the figure before that. Categories is 0 where
	// Gauge is 0: nothing was seen of the measurement.
	Categories      int
	CategoriesExact float64
	// PInteraction is the p value of the interaction and Pooled says that it was
	// added to the repeatability; analysis of variance with two people or more only.
	PInteraction float64
	Pooled       bool
	// Odd are person and part of ranges beyond the limit of a range chart: look at
	// those readings before believing the rest. Method of ranges only.
	Odd [][2]int
}

// Share is a standard deviation against the total, 0 to 1. Shares do not add up to
// 1; their squares do.
func (r Result) Share(sd float64) float64 {
	if r.Total == 0 {
		return 0
	}
	return sd / r.Total
}

// OfTolerance is six standard deviations of the gauge against the width of a
// tolerance.
func (r Result) OfTolerance(width float64) float64 { return 6 * r.Gauge / width }

func (r *Result) finish() {
	r.Gauge = math.Sqrt(r.Repeatability*r.Repeatability + r.Reproducibility*r.Reproducibility + r.Interaction*r.Interaction)
	r.Total = math.Hypot(r.Gauge, r.Part)
	if r.Gauge > 0 {
		r.CategoriesExact = 1.41 * r.Part / r.Gauge
		r.Categories = int(math.Min(r.CategoriesExact, 1e6))
	}
}

// ByRanges evaluates a study by averages and ranges: repeatability is the mean
// range over d2, reproducibility and parts are the ranges of their means over d2*
// for one subgroup, reproducibility less what repeatability puts into it (the
// measurement systems analysis manual of the automotive industry, 4th edition; its
// factors K1, K2, K3 are these constants with four decimals).
//
// Errors: fewer than two parts or trials, a study that is not complete, more than
// chart.MaxSubgroup of anything.
func ByRanges(r Readings) (Result, error) {
	people, parts, trials, err := r.size()
	if err != nil {
		return Result{}, err
	}
	out := Result{Method: AverageRange, People: people, Parts: parts, Trials: trials}
	k, err := chart.ConstantsFor(trials)
	if err != nil {
		return Result{}, fmt.Errorf("trials: %w", err)
	}
	partMeans, personMeans := means(r)
	var ranges []float64
	for _, person := range r {
		for _, part := range person {
			ranges = append(ranges, slices.Max(part)-slices.Min(part))
		}
	}
	meanRange := mean(ranges...)
	for i, v := range ranges {
		if v > k.D4()*meanRange*(1+1e-9) {
			out.Odd = append(out.Odd, [2]int{i / parts, i % parts})
		}
	}
	out.Repeatability = meanRange / k.D2
	if people > 1 {
		d, err := ofOneRange(personMeans)
		if err != nil {
			return Result{}, fmt.Errorf("people: %w", err)
		}
		out.Reproducibility = math.Sqrt(max(0, d*d-out.Repeatability*out.Repeatability/float64(parts*trials)))
	}
	if out.Part, err = ofOneRange(partMeans); err != nil {
		return Result{}, fmt.Errorf("parts: %w", err)
	}
	out.finish()
	return out, nil
}

// ofOneRange is the standard deviation behind one range.
func ofOneRange(values []float64) (float64, error) {
	k, err := chart.ConstantsFor(len(values))
	if err != nil {
		return 0, err
	}
	return (slices.Max(values) - slices.Min(values)) / k.D2Star(1), nil
}

// means are those of the parts and of the people.
func means(r Readings) (parts, people []float64) {
	parts = make([]float64, len(r[0]))
	for _, person := range r {
		own := make([]float64, len(person))
		for j, part := range person {
			own[j] = mean(part...)
		}
		people = append(people, mean(own...))
	}
	for j := range parts {
		col := make([]float64, len(r))
		for i := range r {
			col[i] = mean(r[i][j]...)
		}
		parts[j] = mean(col...)
	}
	return parts, people
}

// Pooling says what becomes of the interaction of people and parts.
type Pooling int

// The ways: Pool where its p value is above PoolAbove, always, or never.
const (
	PoolIfUnseen Pooling = iota
	PoolAlways
	PoolNever
)

// PoolAbove is the p value above which an interaction counts as not seen (the
// manual's choice, common practice).
const PoolAbove = 0.25

// ByVariance evaluates a study by the analysis of variance of people and parts,
// both drawn at random, with their interaction (D. C. Montgomery, Design and
// Analysis of Experiments, two-factor random effects, from memory). A component
// that comes out below 0 counts as 0.
//
// Errors: as ByRanges, without the limit on sizes.
func ByVariance(r Readings, pooling Pooling) (Result, error) {
	people, parts, trials, err := r.size()
	if err != nil {
		return Result{}, err
	}
	out := Result{Method: Anova, People: people, Parts: parts, Trials: trials}
	partMeans, personMeans := means(r)
	grand := mean(personMeans...)
	var ssPart, ssPerson, ssCell, ssError float64
	for j := range partMeans {
		ssPart += square(partMeans[j] - grand)
	}
	for i, person := range r {
		ssPerson += square(personMeans[i] - grand)
		for j, part := range person {
			m := mean(part...)
			ssCell += square(m - partMeans[j] - personMeans[i] + grand)
			for _, v := range part {
				ssError += square(v - m)
			}
		}
	}
	a, b, n := float64(people), float64(parts), float64(trials)
	dfError := a * b * (n - 1)
	msPart, msError := a*n*ssPart/(b-1), ssError/dfError
	if people == 1 {
		out.Repeatability = math.Sqrt(msError)
		out.Part = component(msPart-msError, n)
		out.finish()
		return out, nil
	}
	dfCell := (a - 1) * (b - 1)
	msPerson, msCell := b*n*ssPerson/(a-1), n*ssCell/dfCell
	switch {
	case msError > 0:
		out.PInteraction = distuv.F{D1: dfCell, D2: dfError}.Survival(msCell / msError)
	case msCell == 0:
		out.PInteraction = 1
	}
	out.Pooled = pooling == PoolAlways || pooling == PoolIfUnseen && out.PInteraction > PoolAbove
	against := msCell
	if out.Pooled {
		msError = (ssError + n*ssCell) / (dfError + dfCell)
		against = msError
	} else {
		out.Interaction = component(msCell-msError, n)
	}
	out.Repeatability = math.Sqrt(msError)
	out.Reproducibility = component(msPerson-against, b*n)
	out.Part = component(msPart-against, a*n)
	out.finish()
	return out, nil
}

func square(v float64) float64 { return v * v }

// component is the standard deviation behind a difference of mean squares.
func component(difference, n float64) float64 { return math.Sqrt(max(0, difference/n)) }
