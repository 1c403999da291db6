package study

import (
	"fmt"
	"math"
	"sort"

	"tenths/calc/cause"
	"tenths/calc/quantity"
)

// SeamLook is a further measurement or trial that would tell the two best
// suspects of a trait apart.
type SeamLook struct {
	// Do says in one sentence what to measure.
	Do string
	// Before and After are the standard deviation, now and after it, of by how
	// much the one suspect adds more than the other, mm.
	Before, After float64
	// Tells is set if it would settle the question in most cases.
	Tells bool
	// Pieces is the number of further assemblies, where it is those.
	Pieces int
	Hours  float64
}

// Work of a look in hours (common practice).
const (
	surveyHours  = 0.3
	aloneHours   = 0.5
	trialHours   = 1
	readingHours = 0.1 // an assembly, put together and read at all points
)

// mostAsked bounds the number of assemblies that anyone would be asked to read.
const mostAsked = 50

// rivalFrom is how probable a second suspect must be to be worth telling apart.
const rivalFrom = 0.05

// Rivals are the two best suspects of the trait that makes the largest steps of
// those whose source is open; trait is nil if there is nothing to tell apart.
func (d *Diagnosis) Rivals() (trait *SeamTrait, first, second SeamSuspect) {
	for i := range d.Traits {
		t := &d.Traits[i]
		if !t.Shown || len(t.Suspects) < 2 || t.Suspects[1].Probability < rivalFrom || trait != nil && t.Steps <= trait.Steps {
			continue
		}
		trait, first, second = t, t.Suspects[0], t.Suspects[1]
	}
	return trait, first, second
}

// narrows is what a look must do to be worth it: leave less than this share of
// what is not known.
const narrows = 0.75

// looks lists what would tell the rivals apart: what settles it for the least
// work first, then what narrows it down most.
func (d *Diagnosis) looks() []SeamLook {
	trait, a, b := d.Rivals()
	if trait == nil {
		return nil
	}
	t := d.index(trait)
	mean, before := d.Answer.Gap(t, a.Source, b.Source)
	var out []SeamLook
	try := func(l SeamLook, look cause.Look) SeamLook {
		var err error
		if l.After, err = d.Answer.After(t, a.Source, b.Source, look); err != nil {
			l.After = before
		}
		l.Before, l.Tells = before, tells(mean, before, l.After)
		return l
	}
	add := func(l SeamLook) {
		if l.Tells || l.After < narrows*before {
			out = append(out, l)
		}
	}
	// As few pieces as tell; ten where none do.
	pieces := func(do string, hours, each float64, look func(int) (cause.Look, error)) {
		var ten SeamLook
		for _, n := range []int{3, 5, 10, 20} {
			lk, err := look(n)
			if err != nil {
				return
			}
			l := try(SeamLook{Do: fmt.Sprintf(do, n), Pieces: n, Hours: hours + float64(n)*each}, lk)
			if l.Tells {
				add(l)
				return
			}
			if n == 10 {
				ten = l
			}
		}
		add(ten)
	}
	for _, k := range []int{a.Source, b.Source} {
		if s := d.Sources[k]; s.Kind == FromPin {
			u := practised(d.Seam.Unit, surveyBand[0], surveyBand[1])
			again := ""
			if s.Pin.Known {
				again = " again"
			}
			add(try(SeamLook{Do: fmt.Sprintf("survey %s%s, good to %s (k = 2)", s.Name, again, Show(u)), Hours: surveyHours}, d.surveyOf(k, u.FloatIn(quantity.Millimetre)/2)))
		}
	}
	for _, side := range []*SeamSide{&d.Seam.Proud, &d.Seam.Other} {
		if d.rivalIs(a, b, func(s SeamSource) bool { return s.Side == side }) {
			pieces("measure the outline of %d parts "+side.Part.ID()+" alone, each from its own locating holes, at the same points", 0, aloneHours/3,
				func(n int) (cause.Look, error) {
					return d.seen(n, func(s SeamSource) bool { return s.Side == side }), nil
				})
		}
	}
	if d.rivalIs(a, b, func(s SeamSource) bool { return s.Kind == FromPin }) && !d.Seam.OneStation() && sameHoles(&d.Seam.Proud, &d.Seam.Other) {
		pieces("a trial: finish the outlines of %d pairs all on "+d.Seam.Other.Path()+", the same way up, and read them; what its pins are out by shows no more, the rest stays", trialHours, readingHours,
			func(n int) (cause.Look, error) {
				return d.seen(n, func(s SeamSource) bool { return s.Kind != FromPin }), nil
			})
	}
	if d.Unread != nil {
		pieces(fmt.Sprintf("read %%d assemblies at all %d points of %s", len(d.Seam.Points), d.Seam.Char.ID.S), 0, readingHours, d.everywhere)
	}
	if !d.Answer.Alike(t, a.Source, b.Source) {
		for n := 1; n <= mostAsked; n++ {
			l := try(SeamLook{Do: fmt.Sprintf("read %d more assemblies at the same points", n), Pieces: n, Hours: float64(n) * readingHours}, d.Answer.More(n))
			if l.Tells {
				add(l)
				break
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].Tells != out[j].Tells {
			return out[i].Tells
		}
		if out[i].Tells {
			return out[i].Hours < out[j].Hours
		}
		return out[i].After < out[j].After
	})
	return out
}

// tells reports whether a measurement would settle which of two adds more: in
// most cases two standard deviations of what is then left fit into the gap.
func tells(mean, before, after float64) bool {
	return 2*after <= math.Hypot(mean, math.Sqrt(max(0, before*before-after*after)))
}

func (d *Diagnosis) index(trait *SeamTrait) int {
	for t := range d.Traits {
		if &d.Traits[t] == trait {
			return t
		}
	}
	return 0
}

// rivalIs reports whether exactly one of two suspects is of a kind.
func (d *Diagnosis) rivalIs(a, b SeamSuspect, is func(SeamSource) bool) bool {
	return is(d.Sources[a.Source]) != is(d.Sources[b.Source])
}

// surveyOf is a look at the amounts of one source, with the same standard
// uncertainty each.
func (d *Diagnosis) surveyOf(k int, u float64) cause.Look {
	var look cause.Look
	n := len(d.problem.Sources[k].Known)
	for j := range n {
		row := make([][]float64, len(d.Sources))
		row[k] = make([]float64, n)
		row[k][j] = 1
		look.Sees = append(look.Sees, row)
		e := make([]float64, n)
		e[j] = u * u
		look.Error = append(look.Error, e)
	}
	return look
}

// seen is a look at so many pieces of which only some sources show.
func (d *Diagnosis) seen(pieces int, shows func(SeamSource) bool) cause.Look {
	look := d.Answer.More(pieces)
	for i := range look.Sees {
		for k, s := range d.Sources {
			if !shows(s) {
				look.Sees[i][k] = nil
			}
		}
	}
	return look
}

// everywhere is a look at so many assemblies at all points of the characteristic.
func (d *Diagnosis) everywhere(pieces int) (cause.Look, error) {
	list, err := d.Seam.influences(d.Seam.At(), d.Seam.Points)
	if err != nil {
		return cause.Look{}, err
	}
	n := len(d.Seam.Points)
	var look cause.Look
	for i := range n {
		row := make([][]float64, len(d.Sources))
		e := make([]float64, n)
		e[i] = d.Noise * d.Noise / float64(pieces)
		for k, in := range list { // the sources begin with these
			for j, steps := range in.Effects {
				row[k] = append(row[k], steps[i])
				if !in.Varies {
					continue
				}
				for c := range n {
					e[c] += steps[i] * steps[c] * in.Band[j] * in.Band[j] / 3 / float64(pieces)
				}
			}
		}
		for k := len(list); k < len(d.Sources); k++ {
			if d.Sources[k].Kind == FromGauge {
				row[k] = []float64{1}
			}
		}
		look.Sees, look.Error = append(look.Sees, row), append(look.Error, e)
	}
	return look, nil
}
