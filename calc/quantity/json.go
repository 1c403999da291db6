package quantity

import (
	"encoding/json"
	"strconv"
)

// MarshalJSON gives the number in the quantity's own unit, the unit, and the
// text as people read it:
//
//	{"value": 25.021, "unit": "mm", "text": "25.021 mm"}
//
// An exact value keeps all its digits, a computed one seven, so that the same
// answer reads the same on every machine. The zero Quantity is null.
func (q Quantity) MarshalJSON() ([]byte, error) {
	if q.IsZeroValue() {
		return []byte("null"), nil
	}
	value := q.Plain()
	if !q.Exact() {
		rounded, err := strconv.ParseFloat(strconv.FormatFloat(q.FloatIn(q.Unit()), 'g', 7, 64), 64)
		if err != nil {
			return nil, err
		}
		value = strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return json.Marshal(struct {
		Value json.Number `json:"value"`
		Unit  string      `json:"unit"`
		Text  string      `json:"text"`
	}{json.Number(value), q.Unit().Name(), q.String()})
}
