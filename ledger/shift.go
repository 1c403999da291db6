package ledger

import "time"

// ShiftOn is where the work offset of a station stands on a day: the latest move
// up to it. Without one it stands at the designed zero.
func (st Station) ShiftOn(day time.Time) (Shift, bool) {
	var best Shift
	found := false
	for _, s := range st.Shifts {
		if s.On.By(day) && s.By.Set() && (!found || !s.On.T.Before(best.On.T)) {
			best, found = s, true
		}
	}
	return best, found
}
