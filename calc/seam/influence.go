package seam

// Influence is what one source of a Seam does to the steps: the first pin of a
// station by two amounts, in the axes of the machine, the second by one, across
// the line of the pins, looseness by three, along and across at the first pin
// and across at the second.
type Influence struct {
	Name string
	// Effects holds, for each amount, the step in mm at each point that one mm of
	// it makes.
	Effects [][]float64
	Known   []float64 // what is known of each amount, mm
	Band    []float64 // ± what is not known of it
	// Varies is set for what differs from assembly to assembly, Disc if its first
	// two amounts lie in a circle.
	Varies, Disc bool
}

// Influences lists the sources of a seam one by one, in the order of Shares: the
// proud part's station, the other's, the assembly, extra sources. The gauge is
// none of them.
//
// Errors: those of Forward.
func (s Seam) Influences(points []Point) ([]Influence, error) {
	effects, sources, err := s.check(points)
	if err != nil {
		return nil, err
	}
	var out []Influence
	for _, f := range sources {
		in := Influence{Name: f.name, Known: f.value, Band: f.band, Varies: f.varies, Disc: f.disc}
		for k := range f.value {
			steps := make([]float64, len(points))
			for i := range points {
				steps[i] = f.effect(k, i, effects[i])
			}
			in.Effects = append(in.Effects, steps)
		}
		out = append(out, in)
	}
	return out, nil
}
