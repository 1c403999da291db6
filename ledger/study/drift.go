package study

import (
	"math"

	"tenths/calc/chart"
	"tenths/calc/quantity"
	"tenths/ledger"
)

// ToolDrift is how a characteristic moves with the parts that a tool has cut.
type ToolDrift struct {
	Tool   *ledger.Record
	Series *Following
	Lives  []ToolLife // by day; the last one is what is counted on
	// Bounds are the goal and the limit that the last life runs towards.
	Bounds []DriftBound
}

// ToolLife is the line through the readings of one inspection, which is one cutter
// from its first part on.
type ToolLife struct {
	Rec   *ledger.Record
	In    *ledger.Inspection
	Drift chart.Drift
	// Half is the count at which half the way from the middle of the limits to the
	// one that it runs towards is gone; 0 where there is none, or it never gets there.
	Half float64
}

// DriftBound is a limit or a goal that a drift runs towards, and when it gets there.
type DriftBound struct {
	Name  string  // upper or lower, limit or goal
	At    float64 // in the unit of the series
	Size  quantity.Quantity
	Reach chart.Reach
}

// ToolDrifts finds the characteristics that a tool finishes, whose readings say how
// many parts the tool had cut (at_count), and how they drift. A line is put through
// every inspection with three such readings or more.
func (s *Set) ToolDrifts(rec *ledger.Record) []*ToolDrift {
	if _, ok := rec.Data.(*ledger.Tool); !ok {
		return nil
	}
	var out []*ToolDrift
	for _, part := range s.L.Records {
		p, ok := part.Data.(*ledger.Part)
		if !ok || part.Quiet() {
			continue
		}
		mine := map[string]bool{}
		for _, f := range p.Features {
			mine[f.ID.S] = f.Tool.S == rec.ID()
		}
		for _, f := range p.Features {
			if mine[f.ID.S] && f.Size.Set() {
				out = append(out, s.driftsOf(rec, part.ID()+"/"+f.ID.S)...)
			}
		}
		for _, c := range p.Characteristic {
			for _, f := range c.Feature {
				if mine[f.S] {
					out = append(out, s.driftsOf(rec, part.ID()+"/"+c.ID.S)...)
					break
				}
			}
		}
	}
	return out
}

func (s *Set) driftsOf(tool *ledger.Record, path string) []*ToolDrift {
	var out []*ToolDrift
	for _, f := range s.Follow(path) {
		d := &ToolDrift{Tool: tool, Series: f}
		for i := 0; i < len(f.Readings); {
			from := i
			var counts, values []float64
			for ; i < len(f.Readings) && f.Readings[i].Rec == f.Readings[from].Rec; i++ {
				if r := f.Readings[i]; r.HasCut {
					counts, values = append(counts, r.Cut), append(values, r.Value)
				}
			}
			in := f.Readings[from].In
			if line, err := chart.NewDrift(counts, values, f.Readings[from].Step, Confidence); err == nil {
				d.Lives = append(d.Lives, ToolLife{f.Readings[from].Rec, in, line, f.halfWay(line)})
			}
		}
		if d.Lives != nil {
			d.bounds()
			out = append(out, d)
		}
	}
	return out
}

// Last is the line of the last life.
func (d *ToolDrift) Last() chart.Drift { return d.Lives[len(d.Lives)-1].Drift }

// halfWay is the count at which half the way to the limit is gone.
func (f *Following) halfWay(line chart.Drift) float64 {
	up := line.Slope > 0
	end := f.Limits[0]
	if up {
		end = f.Limits[1]
	}
	middle := (f.Limits[0] + f.Limits[1]) / 2
	if r := line.Reach((middle+end)/2, up, line.First); !math.IsNaN(middle) && line.Shown && r.Ever {
		return r.Count
	}
	return 0
}

// bounds finds what the last life runs towards. A drift that is not shown runs
// nowhere, and of a characteristic of which less is always better the lower limit is
// no end.
func (d *ToolDrift) bounds() {
	line, f := d.Last(), d.Series
	up := line.Slope > 0
	if !line.Shown || up && f.Char.Better.S == "larger" || !up && f.Char.Better.S == "smaller" {
		return
	}
	side, name := 0, "lower "
	if up {
		side, name = 1, "upper "
	}
	for _, b := range []struct {
		word string
		ends [2]float64
		size ledger.Size
	}{{"goal", f.Goal, f.Char.Goal}, {"limit", f.Limits, f.Char.Limits}} {
		at := b.ends[side]
		if math.IsNaN(at) {
			continue
		}
		bound := DriftBound{Name: name + b.word, At: at, Size: b.size.Tol.Lower, Reach: line.Reach(at, up, line.First)}
		if up {
			bound.Size = b.size.Tol.Upper
		}
		d.Bounds = append(d.Bounds, bound)
	}
}

// SafeParts is the number of parts up to which a single part still keeps the limits
// (not the goal) with the confidence of all intervals; false if no limit is run
// towards, the line is bent, it would have to be believed too far out, or parts leave
// the limits from the first on, which is not for the tool to cure.
func (d *ToolDrift) SafeParts() (parts int, bound DriftBound, ok bool) {
	for _, b := range d.Bounds {
		if r := b.Reach; (b.Name == "upper limit" || b.Name == "lower limit") && !d.Last().Bent && r.Ever && !r.Far && !r.Passed {
			return int(r.Safe + 1e-9), b, true
		}
	}
	return 0, DriftBound{}, false
}
