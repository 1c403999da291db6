package formula

import (
	"container/heap"
	"slices"
)

// maxParts is how finely the box is cut to see whether slopes keep their signs.
const maxParts = 200

// steady reports whether the formula only rises (1) or only falls (-1) with each
// input over the whole box.
func (z *search) steady() (signs []int, ok bool) {
	signs = make([]int, len(z.vars))
	q := &queue{{box: z.all}}
	for cut := 0; q.Len() > 0; cut++ {
		p := heap.Pop(q).(part)
		y, ok := z.jet(z.root, p.box)
		sure := ok
		for i := range z.vars {
			if !ok || y.d == nil {
				break
			}
			d := y.d[i]
			switch {
			case d.lo > 0 && signs[i] < 0 || d.hi < 0 && signs[i] > 0:
				return nil, false
			case d.lo > 0:
				signs[i] = 1
			case d.hi < 0:
				signs[i] = -1
			case d == (ival{}):
			case d.lo >= 0 && signs[i] >= 0:
				signs[i] = 1
			case d.hi <= 0 && signs[i] <= 0:
				signs[i] = -1
			default:
				sure = false
			}
		}
		if !sure && (cut >= maxParts || !z.split(q, p.box, y.d, 0, p.depth)) {
			return nil, false
		}
	}
	return signs, true
}

// ends are the corners with the least and the greatest value.
func (s *study) ends(vars, signs []int) (low, high values) {
	low, high = s.middles(), s.middles()
	for name, source := range s.of {
		i := slices.Index(vars, source)
		if i < 0 {
			continue
		}
		src := s.sources[source]
		if low[name], high[name] = src.low, src.high; signs[i] < 0 {
			low[name], high[name] = src.high, src.low
		}
	}
	return low, high
}

func (s *study) corners(low, high values) (span, *Error) {
	var all span
	var err *Error
	if all.lo, err = s.plain(s.root, low); err != nil {
		return all, err
	}
	all.hi, err = s.plain(s.root, high)
	return all, err
}
