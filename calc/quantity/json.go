package quantity

import "encoding/json"

// MarshalJSON gives the number in the quantity's own unit, the unit, and the
// text as people read it:
//
//	{"value": 25.021, "unit": "mm", "text": "25.021 mm"}
//
// An exact value keeps all its digits. The zero Quantity is null.
func (q Quantity) MarshalJSON() ([]byte, error) {
	if q.IsZeroValue() {
		return []byte("null"), nil
	}
	return json.Marshal(struct {
		Value json.Number `json:"value"`
		Unit  string      `json:"unit"`
		Text  string      `json:"text"`
	}{json.Number(q.Plain()), q.Unit().Name(), q.String()})
}
