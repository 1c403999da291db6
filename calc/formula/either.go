package formula

// either is the dual of an if: that of one side where the condition holds, or
// fails, over the whole range, and else all that both sides can be.
func (s *study) either(n *node) (dual, *Error) {
	t, used, err := s.decide(n.args[0])
	switch {
	case err != nil:
		return dual{}, err
	case t == yes:
		return s.dual(n.args[1])
	case t == no:
		return s.dual(n.args[2])
	}
	env := s.middles()
	chosen, err := s.choice(n, env)
	if err != nil {
		return dual{}, err
	}
	var sides []dual
	for i, a := range n.args[1:] {
		d, err := s.dual(a)
		if err != nil && i+1 == chosen {
			return dual{}, err
		}
		if err != nil { // it need not hold where this side counts
			d = dual{uses: s.occurring(a), noReach: err}
		}
		sides = append(sides, d)
	}
	v := sides[chosen-1]
	v.affine, v.d = false, nil
	v.noSlope = s.fail(n.args[0].column, "the condition can hold or fail within the tolerances, so there is no one slope", "look at the simulation")
	s.use(&v, append(sides, used))
	v.noReach = used.noReach
	for _, d := range sides {
		if v.noReach == nil {
			v.noReach = d.noReach
		}
	}
	if v.noReach == nil {
		v.reach = join(sides[0].reach, sides[1].reach)
	}
	v.tight = v.tight && v.noReach == nil
	return v, nil
}

// decide says whether a condition holds over the whole range. used is a dual that
// holds the sources in use, tight where a condition that is unsure can really
// hold and fail.
func (s *study) decide(n *node) (t truth, used dual, err *Error) {
	if n.fn.holds != nil {
		d, err := s.dual(n.difference())
		if err != nil {
			return no, d, err
		}
		if d.noReach != nil {
			return unsure, d, nil
		}
		return n.fn.holds(d.reach.below().Sign(), d.reach.above().Sign()), d, nil
	}
	first, used, err := s.decide(n.args[0])
	if err != nil || n.settled(first) {
		return n.fn.joins(first, no), used, err
	}
	second, more, err := s.decide(n.args[1])
	s.use(&used, []dual{used, more})
	used.tight = false
	return n.fn.joins(first, second), used, err
}

// occurring marks the toleranced sources that stand in a node.
func (s *study) occurring(n *node) []bool {
	if n.name != "" {
		return s.leaf(s.of[n.name]).uses
	}
	var uses []bool
	for _, a := range n.args {
		for i, u := range s.occurring(a) {
			if uses == nil {
				uses = make([]bool, len(s.sources))
			}
			uses[i] = uses[i] || u
		}
	}
	return uses
}
