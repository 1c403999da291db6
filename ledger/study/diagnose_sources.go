package study

import (
	"fmt"
	"math"
	"strings"
	"time"

	"tenths/calc/cause"
	"tenths/calc/seam"
)

// sources turns what can make a step into sources to be weighed. What lies evenly
// in a band has the standard deviation band/√3.
func (d *Diagnosis) sources() error {
	o := d.Seam
	list, err := o.influences(d.at(), d.Points)
	if err != nil {
		return err
	}
	moved := practisedMM(o.Unit, movedBand) / math.Sqrt(3)
	d.problem.Noise = d.Noise
	for _, in := range list {
		src := cause.Source{Name: in.Name, Effects: in.Effects, Known: in.Known, SD: make([]float64, len(in.Known))}
		sd := make([]float64, len(in.Known))
		for j, b := range in.Band {
			sd[j] = b / math.Sqrt(3)
		}
		if in.Varies {
			src.Varies = sd
		} else {
			src.SD = sd
		}
		named := o.source(in.Name)
		switch named.Kind {
		case FromPin:
			if p := named.Pin; p.Known {
				src.Other, src.Odds = widened(sd, moved), oddsPinMoved
				named.Changed = "has moved since its survey of " + p.Survey.On.T.Format(time.DateOnly)
			}
		case FromLoose:
			// Pushed to one side it stands at the rim of its clearance, in a
			// direction that nobody knows.
			src.Other, src.Odds = make([]float64, len(sd)), oddsPushed
			for j, b := range in.Band {
				src.Other[j] = b / math.Sqrt2
			}
			named.Changed = named.Side.Part.ID() + " is always pushed to the same side on " + named.Side.Path()
		case FromSize:
			src.Other, src.Odds = widened(sd, moved), oddsResized
			named.Changed = "is out by more than wear explains"
		}
		d.Sources = append(d.Sources, named)
		d.problem.Sources = append(d.problem.Sources, src)
	}
	d.sameSize()
	for i, side := range []*SeamSide{&o.Proud, &o.Other} {
		if side.Wear > 0 {
			d.Sources = append(d.Sources, SeamSource{Name: side.wearName(), Side: side, Kind: FromSize})
			d.problem.Sources = append(d.problem.Sources, cause.Source{
				Name: side.wearName(), Effects: [][]float64{constant(len(d.Points), float64(1-2*i))}, Known: []float64{0}, SD: []float64{0}, Varies: []float64{side.Wear / math.Sqrt(3)},
			})
		}
	}
	if !d.In.Compare.B {
		// Out by the same everywhere, a gauge looks like a part of another size.
		d.Sources = append(d.Sources, SeamSource{Name: "gauge", Kind: FromGauge})
		d.problem.Sources = append(d.problem.Sources, cause.Source{
			Name: "gauge", Effects: [][]float64{constant(len(d.Points), 1)}, Known: []float64{0}, SD: []float64{2 * d.Noise / math.Sqrt(3)},
		})
	}
	if d.SizeVaries > 0 {
		d.Sources = append(d.Sources, SeamSource{Name: "size from assembly to assembly", Kind: FromSize})
		d.problem.Sources = append(d.problem.Sources, cause.Source{
			Name: "size", Effects: [][]float64{constant(len(d.Points), 1)}, Known: []float64{0}, SD: []float64{0}, Varies: []float64{d.SizeVaries},
		})
	}
	if d.Form > 0 {
		src := cause.Source{Name: "form"}
		for i := range d.Points {
			e := make([]float64, len(d.Points))
			e[i] = 1
			src.Effects, src.Known, src.SD = append(src.Effects, e), append(src.Known, 0), append(src.SD, d.Form)
		}
		d.Sources = append(d.Sources, SeamSource{Name: "form, burrs or clamps, near " + d.FormAt, Kind: FromForm})
		d.problem.Sources = append(d.problem.Sources, src)
	}
	d.assume("before any reading: 1 in %.0f that a surveyed pin has moved, by up to ±%s, or that an outline is out by so much; 1 in %.0f that a part is always pushed to the same side (our choice)",
		1/oddsPinMoved, Show(d.MM(practisedMM(o.Unit, movedBand))), 1/oddsPushed)
	return nil
}

// sameSize takes out by how much both outlines are known to be out alike: only
// the difference shows, and neither part is to blame for what they share.
func (d *Diagnosis) sameSize() {
	var both []*float64
	for k, s := range d.Sources {
		if s.Kind == FromSize {
			both = append(both, &d.problem.Sources[k].Known[0])
		}
	}
	if len(both) == 2 {
		mean := (*both[0] + *both[1]) / 2
		*both[0], *both[1] = *both[0]-mean, *both[1]-mean
	}
}

func widened(sd []float64, by float64) []float64 {
	out := make([]float64, len(sd))
	for j := range sd {
		out[j] = math.Hypot(sd[j], by)
	}
	return out
}

func constant(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// influences lists the sources of the seam at some of its points, called as in
// its shares. Sources of one name, as the axes of a pin that both parts share,
// are one.
func (o *Seam) influences(at []seam.Point, points []SeamPoint) ([]seam.Influence, error) {
	p := o.Problem
	p.Extra = nil
	column := map[string]int{}
	for i, pt := range o.Points {
		column[pt.ID] = i
	}
	for _, e := range o.Problem.Extra {
		some := e
		some.Effect = nil
		for _, pt := range points {
			some.Effect = append(some.Effect, e.Effect[column[pt.ID]])
		}
		p.Extra = append(p.Extra, some)
	}
	list, err := p.Influences(at)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.Char.ID.S, err)
	}
	names := o.shareNames()
	var out []seam.Influence
	for _, in := range list {
		called := in.Name
		if name := names[in.Name]; name != "" {
			in.Name = name
		}
		if o.OneStation() && o.pin(in.Name) != nil && strings.HasSuffix(called, " pin") {
			continue // both parts' pins, which stand among the extra sources
		}
		if n := len(out); n > 0 && out[n-1].Name == in.Name && out[n-1].Varies == in.Varies {
			last := &out[n-1]
			last.Effects, last.Known, last.Band = append(last.Effects, in.Effects...), append(last.Known, in.Known...), append(last.Band, in.Band...)
			continue
		}
		out = append(out, in)
	}
	return out, nil
}

// pin is the pin of that path.
func (o *Seam) pin(path string) *SeamPin {
	for _, side := range []*SeamSide{&o.Proud, &o.Other} {
		for i := range side.Pins {
			if side.Pins[i].Path == path {
				return &side.Pins[i]
			}
		}
	}
	return nil
}

// source says what a source of that name is.
func (o *Seam) source(name string) SeamSource {
	out := SeamSource{Name: name, Kind: FromHeat}
	for _, side := range []*SeamSide{&o.Proud, &o.Other} {
		for i := range side.Pins {
			if side.Pins[i].Path == name {
				out.Side, out.Pin, out.Kind = side, &side.Pins[i], FromPin
				return out
			}
		}
		switch name {
		case side.looseName():
			out.Side, out.Kind = side, FromLoose
			return out
		case side.sizeName():
			out.Side, out.Kind = side, FromSize
			return out
		}
	}
	return out
}
