package ledger

import "time"

// Fixture is a device that locates and holds the work.
type Fixture struct {
	Common
	State        Text         `key:"state" words:"draft|planned|in use|under rework|unverified|superseded|withdrawn" means:"standing today" eg:"\"in use\""`
	Since        Date         `key:"since" means:"day from which that standing holds" eg:"2021-05-03"`
	SupersededBy Ref          `key:"superseded_by" to:"fixture" means:"fixture that took its place" eg:"\"FX1\""`
	Material     Text         `key:"material" means:"what the plate is made of" eg:"\"4140 pre-hard\""`
	Machine      Ref          `key:"machine" to:"machine" means:"machine that it belongs on" eg:"\"M1\""`
	Survey       Period       `key:"survey_interval" means:"time between surveys of its pins" eg:"\"3 months\""`
	Refits       []Refit      `key:"refit" means:"a day on which it went back on the machine after it had been off" eg:"see refit"`
	Seat         []Seat       `key:"seat" means:"height of the seat above the table, as found on a day" eg:"see seat"`
	Stations     []Station    `key:"station" means:"one place on the fixture with its own locators" eg:"see station"`
	Was          []FixtureWas `key:"was" means:"standing before a day" eg:"see was"`
}

// FixtureWas is the standing of a fixture up to a day.
type FixtureWas struct {
	Span
	Until Date `key:"until" need:"yes" means:"first day on which this no longer held" eg:"2021-05-03"`
	State Text `key:"state" words:"draft|planned|in use|under rework|unverified|superseded|withdrawn" means:"standing until then" eg:"\"in use\""`
	Rev   Text `key:"rev" means:"revision until then" eg:"\"r2\""`
	Path  Flag `key:"path_kept" means:"true if the change that ended it leaves programs and offsets as they are: paint, a label" eg:"true"`
}

// Refit is a day on which a fixture went back on the machine, and the check that
// it stands where it stood.
type Refit struct {
	Span
	On      Date `key:"on" need:"yes" means:"day on which it was put back" eg:"2025-10-06"`
	Checked Date `key:"checked" means:"day on which that was checked" eg:"2025-10-06"`
	How     Text `key:"how" means:"how it was checked" eg:"\"P1 of A indicated, as before within half a tenth\""`
	Spread  Size `key:"spread" means:"spread of one edge over three refits with the same part, length" eg:"\"0.0002\""`
	By      Text `key:"by" means:"who did it (private)" eg:"\"owner\""`
}

// Seat is the height of a fixture's seat as found on a day.
type Seat struct {
	Span
	On     Date `key:"on" need:"yes" means:"day of the measurement" eg:"2025-07-14"`
	Height Size `key:"height" need:"yes" means:"height above the table, length" eg:"\"1.4940\""`
	Note   Text `key:"note" means:"what happened to it" eg:"\"skimmed after welding\""`
}

// MeasuredBy reports whether the height is given and was found on the day or before.
func (s *Seat) MeasuredBy(day time.Time) bool { return s.On.By(day) && s.Height.Set() }

// Station is one place on a fixture with its own locators.
type Station struct {
	Span
	ID       Text          `key:"id" need:"yes" means:"short name, unique in the fixture" eg:"\"A\""`
	Title    Text          `key:"title" means:"what is done there" eg:"\"plate profile\""`
	Part     Ref           `key:"part" to:"part" means:"part that is loaded there" eg:"\"P-10\""`
	Face     Text          `key:"face" means:"which face is up" eg:"\"outside up\""`
	Offset   Text          `key:"offset" means:"work offset (private)" eg:"\"G54\""`
	Seating  []Text        `key:"seating" means:"how a part is seated and clamped there, in order" eg:"[\"wipe the seat and both pins\", \"round pin first\"]"`
	Found    []Zero        `key:"offset_set" means:"a day on which its work offset was found anew" eg:"see station.offset_set"`
	LineBore Flag          `key:"bored_here" means:"true if the part's holes are made on this very station, so that its pitch cannot differ" eg:"true"`
	Rest     Text          `key:"turn_held_by" means:"what holds the part against turning if a relieved pin does not, such as an edge rest" eg:"\"edge rest at K4\""`
	Shifts   []Shift       `key:"shift" means:"a move of its work offset away from the designed zero, to take out errors of its pins" eg:"see station.shift"`
	Friction Size          `key:"friction" dim:"number" means:"coefficient of friction between the part and its rests, stops and clamps, for the study of clamping" eg:"0.15"`
	Safety   Size          `key:"safety" dim:"number" means:"how many times the cutting loads the clamps are to hold" eg:"2.5"`
	Locators []Locator     `key:"locator" means:"a pin, rest or stop that takes away freedom" eg:"see station.locator"`
	Clamps   []Clamp       `key:"clamp" means:"what presses the part on its locators" eg:"see station.clamp"`
	Loads    []CuttingLoad `key:"load" means:"a force of the cut on the part" eg:"see station.load"`
}

// Shift is where the work offset of a station stands since a day.
type Shift struct {
	Span
	On   Date `key:"on" need:"yes" means:"day from which it holds" eg:"2024-04-02"`
	By   Pair `key:"by" need:"yes" means:"how far the offset stands from the designed zero, all moves together, lengths" eg:"[\"-3 tenths\", \"0 tenths\"]"`
	Turn Size `key:"turn" dim:"angle" means:"how far it is turned about the first pin, counter-clockwise, where the control can do that; angle" eg:"\"0.01 deg\""`
	Note Text `key:"note" means:"why" eg:"\"takes out the x error of P1\""`
}

// Zero is a day on which the work offset of a station was found.
type Zero struct {
	Span
	On  Date `key:"on" need:"yes" means:"day on which it was found and entered" eg:"2025-07-16"`
	How Text `key:"how" means:"how it was found" eg:"\"P1 and the seat indicated\""`
	By  Text `key:"by" means:"who did it (private)" eg:"\"owner\""`
}

// Locator is an element of a station that takes away freedom.
type Locator struct {
	Span
	ID       Text         `key:"id" need:"yes" means:"short name, unique in the station" eg:"\"P1\""`
	Type     Text         `key:"type" need:"yes" words:"round pin|relieved pin|rest|stop|slot|nest" means:"what it is" eg:"\"round pin\""`
	Engages  Text         `key:"engages" means:"feature of the station's part that it goes into or touches" eg:"\"H1\""`
	At       Pair         `key:"at" space:"yes" means:"designed position in the part's axes, lengths, the third the height above the seat; without it, that of the feature" eg:"[0.0, 0.0]"`
	Pushes   Pair         `key:"pushes" dim:"number" space:"yes" means:"direction in which a rest, stop, slot or wall of a nest pushes on the part, plain numbers; three rests without it hold the part up" eg:"[0, 1]"`
	Size     Size         `key:"size" means:"pin diameter as measured, or with its tolerance, length" eg:"\"0.1873\""`
	Nominal  Size         `key:"nominal" means:"trade size it was bought as, in its own unit" eg:"\"3/16 in\""`
	Land     Size         `key:"land" means:"width of the land of a relieved pin, along the relief, length" eg:"\"0.045\""`
	Relief   Text         `key:"relieved_along" means:"direction in which the pin is relieved: line to another locator, across it, or an angle from the part's x axis" eg:"\"line to P1\""`
	Height   Size         `key:"height" means:"how far it stands above the seat, length" eg:"\"0.200\""`
	MadeBy   Text         `key:"made_by" means:"how the hole under it was made: drilled, reamed, bored, helical bore, set by indicator ..." eg:"\"helical bore\""`
	HeldBy   Text         `key:"held_by" means:"what keeps it there: press, adhesive, screw, shrink, sleeve" eg:"\"press\""`
	Material Text         `key:"material" means:"what it is made of" eg:"\"hardened steel\""`
	Bought   Text         `key:"bought_as" words:"standard dowel|oversize dowel|gauge pin|ground pin|shop made" means:"what it was before it became a locator" eg:"\"standard dowel\""`
	Duty     Text         `key:"duty" words:"retained|removable" means:"whether it must stay in the fixture or come out by hand; retained if not said" eg:"\"retained\""`
	SeatHole Size         `key:"seat_hole" means:"diameter of the hole in the fixture that holds it, length" eg:"\"0.1870 +0.0002/-0\""`
	SeatEnd  Text         `key:"seat_end" words:"blind|through" means:"whether that hole has a bottom" eg:"\"blind\""`
	Vent     Text         `key:"vent" means:"how air and liquid get out of a blind hole: flat, groove, vent hole" eg:"\"flat on the pin\""`
	Pull     Flag         `key:"pull_thread" means:"true if it has a thread to pull it by" eg:"true"`
	Adhesive Text         `key:"adhesive" means:"kind of adhesive: instant, anaerobic, epoxy" eg:"\"anaerobic\""`
	CureDays Size         `key:"cure" dim:"time" means:"time that the adhesive needs before it may be loaded, by its data sheet" eg:"\"24 h\""`
	Exposed  []Text       `key:"exposed_to" means:"what the joint meets: heat, coolant, solvent" eg:"[\"coolant\"]"`
	Surveys  []Survey     `key:"survey" means:"where it was found to stand on a day" eg:"see station.locator.survey"`
	Was      []LocatorWas `key:"was" means:"what held before a day" eg:"see station.locator.was"`
}

// Survey is where a locator was found to stand.
type Survey struct {
	Span
	On    Date `key:"on" need:"yes" means:"day of the survey" eg:"2024-03-11"`
	Off   Pair `key:"off" means:"found position minus designed position, lengths" eg:"[\"0.5 tenths\", \"1.0 tenths\"]"`
	Size  Size `key:"size" means:"pin diameter found, length" eg:"\"0.1873\""`
	Gauge Ref  `key:"gauge" to:"gauge" means:"gauge used" eg:"\"G4\""`
	By    Text `key:"by" means:"who did it (private)" eg:"\"owner\""`
	U     Size `key:"uncertainty" means:"expanded uncertainty of the position, k = 2, length" eg:"\"1 tenth\""`
}

// LocatorWas is what held for a locator up to a day.
type LocatorWas struct {
	Span
	Until  Date `key:"until" need:"yes" means:"first day on which this no longer held" eg:"2024-03-11"`
	Type   Text `key:"type" words:"round pin|relieved pin|rest|stop|slot|nest" means:"what it was until then" eg:"\"round pin\""`
	Size   Size `key:"size" means:"pin diameter until then, length" eg:"\"0.1875\""`
	Land   Size `key:"land" means:"width of the land until then, length" eg:"\"0.060\""`
	Relief Text `key:"relieved_along" means:"direction of the relief until then" eg:"\"line to P1\""`
	MadeBy Text `key:"made_by" means:"how the hole under it was made" eg:"\"drilled\""`
	HeldBy Text `key:"held_by" means:"what kept it there until then" eg:"\"press\""`
}
