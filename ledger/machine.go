package ledger

import (
	"slices"
	"time"
)

// Machine is a machine tool of the shop.
type Machine struct {
	Common
	State    Text      `key:"state" words:"draft|planned|in use|out of service" means:"standing today" eg:"\"in use\""`
	Type     Text      `key:"type" means:"what it is" eg:"\"vertical mill\""`
	Travel   Text      `key:"travel" means:"travels of its axes" eg:"\"16 x 12 x 10 in\""`
	Serial   Text      `key:"serial" means:"serial number (private)" eg:"\"invented-1\""`
	WarmUp   Text      `key:"warm_up" means:"how it is brought to its usual warmth before a part is finished" eg:"\"20 min at half speed\""`
	Coolant  Text      `key:"coolant" means:"what its coolant is kept at; what it was on a day stands in runs_with" eg:"\"7 to 9 % by refractometer\""`
	Rotation Flag      `key:"can_rotate" means:"true if the control can turn a work offset" eg:"false"`
	Runs     []Running `key:"runs_with" means:"what it runs with since a day: coolant, warm-up, a setting" eg:"see runs_with"`
}

// Running is what a machine runs with since a day.
type Running struct {
	Span
	On   Date `key:"on" need:"yes" means:"day from which it holds" eg:"2025-09-01"`
	What Text `key:"what" need:"yes" means:"what it is about, in the same words each time" eg:"\"coolant\""`
	Is   Text `key:"is" need:"yes" means:"how it is since then" eg:"\"9 %\""`
	Note Text `key:"note" means:"why, or how it was measured" eg:"\"by refractometer\""`
}

// RunsOn lists what a machine runs with on a day: of each thing what was set
// last, in the order of the record.
func (m *Machine) RunsOn(day time.Time) []Running {
	var out []Running
	for _, r := range m.Runs {
		if !r.On.By(day) {
			continue
		}
		k := slices.IndexFunc(out, func(o Running) bool { return o.What.S == r.What.S })
		switch {
		case k < 0:
			out = append(out, r)
		case !r.On.T.Before(out[k].On.T):
			out[k] = r
		}
	}
	return out
}
