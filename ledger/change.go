package ledger

// Change is a controlled alteration of the process.
type Change struct {
	Common
	State          Text       `key:"state" need:"yes" words:"draft|planned|proposed|agreed|in progress|done|verified effective|not effective|inconclusive|harmful|rolled back|cancelled" means:"how far it is and what came out" eg:"\"verified effective\""`
	Opened         Date       `key:"opened" means:"day it was proposed" eg:"2024-10-07"`
	Done           Date       `key:"done" means:"day it was carried out" eg:"2024-10-14"`
	RolledBack     Date       `key:"rolled_back" means:"day it was undone" eg:"2024-08-12"`
	Complaint      Text       `key:"complaint" means:"what was wrong (private)" eg:"\"the seam can be felt\""`
	Characteristic Ref        `key:"characteristic" to:"value" means:"what it is meant to improve" eg:"\"A-01/KC-1\""`
	Points         []Text     `key:"points" means:"points that are judged; all if not said" eg:"[\"K4\"]"`
	Claim          Text       `key:"claim" words:"level|spread" means:"what should improve: the level of the readings (usual) or their spread" eg:"\"level\""`
	Touches        []Ref      `key:"touches" to:"any" means:"what is altered" eg:"[\"FX1/B/P2\"]"`
	Factor         Text       `key:"factor" means:"the one thing that was changed, in kind" eg:"\"second locating pin round -> relieved\""`
	Several        Text       `key:"several" means:"why more than one thing was changed at once" eg:"\"one set-up, verdict as a whole\""`
	Cause          Cause      `key:"cause" means:"what is thought to be the cause" eg:"{ text = \"pins and holes nearly equal, pitch differs\", standing = \"confirmed\" }"`
	Goal           Text       `key:"goal" means:"what is to be reached, fixed before the readings" eg:"\"mean 0 ±0.0002\""`
	Criterion      Text       `key:"criterion" means:"how it is judged if not by before and after readings" eg:"\"pins surveyed within 0.0001 in of design\""`
	Before         Ref        `key:"before" to:"inspection" means:"readings before" eg:"\"IN-2024-10-05\""`
	After          Ref        `key:"after" to:"inspection" means:"readings after" eg:"\"IN-2024-10-16\""`
	Paired         Flag       `key:"paired" means:"true if the same pieces were measured before and after; they are matched by their marks, or by their order where none has a mark" eg:"true"`
	Restored       Ref        `key:"after_roll_back" to:"inspection" means:"readings after it was undone" eg:"\"IN-2024-08-14\""`
	Also           []Evidence `key:"also" means:"a further characteristic with its readings" eg:"see also"`
	Planned        []Planned  `key:"planned" means:"what one thing is meant to be like afterwards, for tenths predict" eg:"see planned"`
	Predicted      Size       `key:"predicted" dim:"any" means:"change that was predicted, with its interval" eg:"\"-6.2 +2.8/-3.0 tenths\""`
	PredictedOn    Date       `key:"predicted_on" means:"day of the prediction" eg:"2024-03-01"`
	Recomputed     Text       `key:"recomputed" means:"why the prediction was computed again when the readings after were known; it then no longer counts as foretold" eg:"\"with the pins as surveyed on 2024-10-14\""`
	AlsoChanged    []Text     `key:"also_changed" means:"what else changed between the readings, harmless or not" eg:"[\"coolant 6 to 9 %\"]"`
	Neighbours     []Recheck  `key:"neighbour" means:"a station or feature beside it that was re-checked" eg:"see neighbour"`
	RollBack       Text       `key:"roll_back" means:"how to go back" eg:"\"old round pin kept in drawer 3\""`
	Due            Date       `key:"recheck" means:"day on which the gain is checked again" eg:"2025-01-15"`
	Rechecked      Ref        `key:"rechecked_by" to:"inspection" means:"readings of the later check" eg:"\"IN-2025-01-15\""`
	Lesson         Text       `key:"lesson" means:"what was learned and where it holds" eg:"\"holds for 3/16 pins in reamed aluminium\""`
	Side           Text       `key:"side_effects" means:"what else it did" eg:"\"cycle 95 s shorter\""`
	Hours          Size       `key:"hours" dim:"time" means:"time it took (private)" eg:"\"6 h\""`
	Cost           Text       `key:"cost" means:"what it cost (private)" eg:"\"two reamers\""`
	Scrapped       Size       `key:"scrapped" dim:"number" means:"how many parts were scrapped over it (private)" eg:"\"2 parts\""`
	Cycle          Size       `key:"cycle_time" dim:"time" means:"by how much it changed the time that one part takes; minus is shorter (private)" eg:"\"-95 s\""`
	Notice         Text       `key:"notice" means:"what the owner of the product would notice, in words for the public list" eg:"\"the seam can no longer be felt\""`
	OlderUnits     Text       `key:"older_units" means:"what owners of older units can do, in words for the list for customers" eg:"\"a new cap fits every body\""`
	AppliesFrom    Text       `key:"applies_from" means:"serial from which it holds (private unless the record is public)" eg:"\"serial 61\""`
	Public         Flag       `key:"public" means:"true if it may stand in the public list" eg:"true"`
	Corrections    []Correct  `key:"correction" means:"what was published about it and proved wrong; stands in every list from then on" eg:"see correction"`
	Steps          []Step     `key:"step" means:"one step of the work, with its cautions" eg:"see step"`
}

// Planned is what a change means to make of one thing: a pin, a station, a
// feature, a part or a tool. What is not said stays as it is.
type Planned struct {
	Span
	What   Ref  `key:"what" need:"yes" to:"any" means:"the pin, station, feature, part or tool that is altered" eg:"\"FX1/A/P1\""`
	Off    Pair `key:"off" means:"where a pin is to stand, less its designed position, with the tolerance that it is set to, lengths" eg:"[\"0 ±1 tenths\", \"0 ±1 tenths\"]"`
	Type   Text `key:"type" words:"round pin|relieved pin|rest|stop|slot|nest" means:"what a locator becomes" eg:"\"relieved pin\""`
	Size   Size `key:"size" means:"diameter of a pin, or size of a feature with its tolerance, length" eg:"\"0.1873\""`
	Land   Size `key:"land" means:"width of the land of a relieved pin, length" eg:"\"0.045\""`
	Relief Text `key:"relieved_along" means:"direction of the relief: line to another locator, across it, or an angle from the part's x axis" eg:"\"line to P1\""`
	AsMade Size `key:"as_made" means:"the range of sizes that a feature is to come out with, length" eg:"\"0.1876..0.1878\""`
	Shift  Pair `key:"shift" means:"where the work offset of a station is to stand, from the designed zero, all moves together, lengths" eg:"[\"-3 tenths\", \"0 tenths\"]"`
	Turn   Size `key:"turn" dim:"angle" means:"how far that offset is to be turned about the first pin, counter-clockwise, angle" eg:"\"0.01 deg\""`
	CutOn  Ref  `key:"cut_on" to:"station" means:"the station on which the outline of a part is to be finished" eg:"\"FX1/A\""`
	Life   Size `key:"life" dim:"number" means:"how many parts a tool is to finish" eg:"\"40 parts\""`
	Wear   Size `key:"wear_offset" means:"how far the wear offset of a tool's radius is moved; minus brings the cutter closer to the part, length" eg:"\"-0.5 tenths\""`
}

// Cause is what is thought to be behind a defect.
type Cause struct {
	Span
	Text     Text `key:"text" need:"yes" means:"the cause in words" eg:"\"pins and holes nearly equal\""`
	Standing Text `key:"standing" words:"suspected|excluded|confirmed" means:"how sure it is" eg:"\"confirmed\""`
}

// Evidence is a further characteristic that a change acted on.
type Evidence struct {
	Span
	Characteristic Ref    `key:"characteristic" need:"yes" to:"value" means:"what was measured" eg:"\"P-10/KC-2\""`
	Points         []Text `key:"points" means:"points that are judged; all if not said" eg:"[\"K3\"]"`
	Claim          Text   `key:"claim" words:"level|spread" means:"what should improve" eg:"\"spread\""`
	Before         Ref    `key:"before" to:"inspection" means:"readings before" eg:"\"IN-2024-05-15\""`
	After          Ref    `key:"after" to:"inspection" means:"readings after" eg:"\"IN-2024-05-24\""`
	Paired         Flag   `key:"paired" means:"true if the same pieces were measured before and after; they are matched by their marks, or by their order where none has a mark" eg:"true"`
	Predicted      Text   `key:"predicted" means:"what was predicted, in words" eg:"\"s 3.6 -> 1.8 tenths\""`
	Note           Text   `key:"note" means:"what to know about it" eg:"\"finish not attributable: coolant changed too\""`
}

// Recheck is a neighbour that was looked at again.
type Recheck struct {
	Span
	What   Ref  `key:"what" need:"yes" to:"any" means:"station, locator or feature" eg:"\"FX1/D\""`
	On     Date `key:"on" means:"day of the check" eg:"2025-07-14"`
	Result Text `key:"result" means:"what was found" eg:"\"moved up to 3 tenths\""`
}

// Correct puts right what was published about a change.
type Correct struct {
	Span
	On   Date `key:"on" need:"yes" means:"day of the correction" eg:"2025-03-10"`
	Text Text `key:"text" need:"yes" means:"what was wrong and what holds, in words for the public lists" eg:"\"the gauge was off; what was said of the first part does not hold\""`
}

// Step is one step of the work of a change.
type Step struct {
	Span
	Title    Text   `key:"title" means:"the step in words" eg:"\"fill the four holes\""`
	Does     Text   `key:"does" need:"yes" means:"what is done: weld, torch, grind, solvent, adhesive, press, slide hammer, bore, skim, deburr by hand, survey, measure ..." eg:"\"weld\""`
	On       Ref    `key:"on" to:"any" means:"what it is done to" eg:"\"FX1\""`
	TakenOff []Ref  `key:"taken_off" to:"station" means:"stations, each a block of its own, that were off the fixture during the step" eg:"[\"FX1/D\"]"`
	Day      Date   `key:"day" means:"day it was done" eg:"2025-07-14"`
	Where    Text   `key:"where" means:"where it is done: on the machine, on the bench ..." eg:"\"on the machine\""`
	Cautions []Text `key:"cautions" means:"cautions that stand before the step; tenths explain caution-missing lists them by kind of work" eg:"[\"eyes and skin\", \"fume\", \"fire watch\", \"work lead\", \"no chlorinated solvent\"]"`
	WorkLead Text   `key:"work_lead" means:"where the welder's work lead is clamped" eg:"\"on the fixture, next to the weld\""`
}
