package quantity

// Parse reads one quantity: "0.1875 in", "0.1875in", ".1875", "3/32 in",
// "1 1/2 in", "-0.5 tenths", "68 F", "40 uin", "12 deg", "90 %".
//
// The value is exact and the decimals are kept. A text without a unit takes
// def; when def is the zero Unit, a unit is required. Numbers are decimal
// digits with at most one point, or a fraction; no exponent, comma, underscore
// or hexadecimal digits, at most 40 digits. Every error is a *ParseError.
func Parse(text string, def Unit) (Quantity, error) {
	s, err := newScanner(text)
	if err != nil {
		return Quantity{}, err
	}
	q, err := s.quantity(def)
	if err != nil {
		return Quantity{}, err
	}
	if err := s.finish(); err != nil {
		return Quantity{}, err
	}
	return q, nil
}

// quantity reads a number and its unit.
func (s *scanner) quantity(def Unit) (Quantity, error) {
	n, err := s.number()
	if err != nil {
		return Quantity{}, err
	}
	u, ok, err := s.unit(def, true)
	if err != nil {
		return Quantity{}, err
	}
	if !ok {
		if u = def; u.IsZero() {
			return Quantity{}, s.needUnit(def)
		}
	}
	return s.possible(n, u)
}

func (s *scanner) needUnit(def Unit) error {
	return s.fail(s.pos, "the unit is missing", unitWant(def))
}

// possible refuses a temperature below absolute zero.
func (s *scanner) possible(n number, u Unit) (Quantity, error) {
	q := n.in(u)
	if u.Point() && q.value.Sign() < 0 {
		return Quantity{}, s.fail(n.pos, "the temperature lies below absolute zero", "")
	}
	return q, nil
}

// finish refuses anything that is left.
func (s *scanner) finish() error {
	s.skipSpace()
	if s.end() {
		return nil
	}
	return s.fail(s.pos, quote(s.rest())+" is not expected after the quantity", "")
}
