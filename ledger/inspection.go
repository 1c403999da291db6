package ledger

// Inspection is a set of readings taken together.
type Inspection struct {
	Common
	State          Text      `key:"state" words:"draft|planned|valid|doubtful|void|superseded" means:"standing of the readings" eg:"\"valid\""`
	On             Date      `key:"on" means:"day of the readings" eg:"2024-03-09"`
	Made           Date      `key:"made" means:"day on which the pieces were made, where that is not the day of the readings" eg:"2024-03-07"`
	Purpose        Text      `key:"purpose" words:"acceptance|set-up|first-off|before|after|survey|trial" means:"what the readings are for; acceptance if not said" eg:"\"before\""`
	Part           Ref       `key:"part" to:"part" means:"part that was measured" eg:"\"P-10\""`
	Characteristic Ref       `key:"characteristic" to:"value" means:"what was measured" eg:"\"A-01/KC-1\""`
	Points         []Text    `key:"points" means:"points of the characteristic, in the order of each piece's readings; all of them if not said" eg:"[\"K3\"]"`
	Lot            Text      `key:"lot" means:"lot that the pieces come from" eg:"\"L-21\""`
	Gauge          Ref       `key:"gauge" to:"gauge" means:"gauge used" eg:"\"G4\""`
	CheckedOn      Ref       `key:"checked_against" to:"gauge" means:"standard on which the gauge was checked the same day" eg:"\"G7\""`
	By             Text      `key:"by" means:"who measured (private)" eg:"\"partner\""`
	Picked         Text      `key:"picked" words:"consecutive|by lot|all|picked" means:"how the pieces were chosen" eg:"\"consecutive\""`
	Held           Text      `key:"held" words:"free|clamped" means:"state of the part" eg:"\"free\""`
	Temperature    Size      `key:"temperature" dim:"temperature" means:"of the part, temperature" eg:"\"68 F\""`
	DeviationIn    Text      `key:"deviation_in" means:"unit of the readings if they are deviations from the nominal of the limits, or from nominal_is" eg:"\"tenths\""`
	NominalIs      Size      `key:"nominal_is" dim:"any" means:"what the deviations are counted from; the characteristic's nominal if not said" eg:"\"1.5000\""`
	Compare        Flag      `key:"comparison" means:"true if two parts were compared on one gauge, so that its own errors cancel" eg:"true"`
	Readings       []Size    `key:"readings" dim:"any" unit:"readings" means:"one reading a piece, in order; deviations may be one text: \"+3 -1 +2\"" eg:"\"+3 -1 +2\""`
	Pieces         []Reading `key:"reading" means:"the readings of one piece" eg:"see reading"`
	Passes         []Pass    `key:"pass" means:"one pass of boring to size, with what the plugs said after it" eg:"see pass"`
	From           Text      `key:"readings_from" means:"table of readings beside the record: one line a piece, columns named by point, or one column" eg:"\"data/width-L31.csv\""`
	Count          Count     `key:"count" means:"how many of how many" eg:"\"3 of 20\""`
	Counts         Text      `key:"counts" means:"what was counted" eg:"\"needs a mallet\""`
	Touch          []Size    `key:"touch" dim:"number" means:"by finger: 0 not felt, 1 felt, 2 catches a nail" eg:"\"0 1 1 0\""`
	Result         Text      `key:"result" words:"conforms|does not conform|doubtful" means:"what was decided" eg:"\"conforms\""`
	Doubt          Text      `key:"doubt" means:"why the readings are in doubt" eg:"\"gauge found 0.0003 in low on 2025-03-03\""`
	Time           Text      `key:"time" means:"time of day by the clock of the machine it was typed on" eg:"\"14:05\""`
	Note           Text      `key:"note" means:"what was odd, or where the readings were taken down" eg:"\"from paper\""`
	Corrects       Ref       `key:"corrects" to:"inspection" means:"readings that these stand for; those count as superseded" eg:"\"R-2026-11-25-owner.2\""`
	Why            Text      `key:"why" means:"why they were corrected" eg:"\"wrong gauge named\""`
	TakenFrom      Text      `key:"taken_from" means:"line of a note in the inbox that tenths inbox took the readings from, with a mark of its text and when this machine took it" eg:"\"phone.txt:3 1a2b3c4d, 2026-11-26 08:10\""`
	Imported       Text      `key:"imported" means:"file that tenths import took the readings from, with its SHA-256 (FIPS 180-4)" eg:"\"width-L51.csv sha256:2c26b46b\""`
	Entries        []Entry   `key:"entry" means:"in a file of one person and day: a set of readings, with the keys of an inspection; what it leaves out, such as on, by and units, it takes from the head of the file" eg:"see entry"`
	Unsorted       []Line    `key:"unsorted" means:"a line that could not be read as readings, kept as typed until it is sorted" eg:"see unsorted"`
	table          []Reading // from the table beside the record
}

// Entry is the place of one set of readings in a file of several. The set is a
// record of its own (see entries).
type Entry struct{ Span }

// Line is what was typed at the machine and could not be read as readings.
type Line struct {
	Span
	ID        Text   `key:"id" need:"yes" means:"short name of the line" eg:"\"R-2026-11-25-owner.u1\""`
	Line      Text   `key:"line" need:"yes" means:"the line as typed" eg:"\"KC-9 +3 -1 +2\""`
	Why       Text   `key:"why" means:"why it could not be read" eg:"\"no characteristic is called KC-9\""`
	Time      Text   `key:"time" means:"time of day by the clock of the machine it was typed on" eg:"\"14:05\""`
	Note      Text   `key:"note" means:"what was odd" eg:"\"burr at K3\""`
	Photos    []Text `key:"photos" means:"pictures taken with the line; paths from the file's folder" eg:"[\"2026-11-25-owner-1405.jpg\"]"`
	TakenFrom Text   `key:"taken_from" means:"line of a note in the inbox that it is, with a mark of its text and when this machine took it" eg:"\"phone.txt:4 5e6f7a8b, 2026-11-26 08:10\""`
	// Sorted is what became of it.
	Sorted Text `key:"sorted" means:"what became of the line: the readings that it turned out to be, or why it is none" eg:"\"R-2026-11-25-owner.3\""`
}

// Pass is one pass of boring to size, with what the plugs said after it.
type Pass struct {
	Span
	Radius Size `key:"radius" means:"how much farther out than before the cutter was sent, length; 0 before the first cut" eg:"\"0.0003\""`
	Tool   Ref  `key:"tool" to:"tool" means:"cutter" eg:"\"T14\""`
	Go     Size `key:"go" means:"largest plug that entered, with what it may deviate, length" eg:"\"0.1875 +0.00004/-0\""`
	NotGo  Size `key:"not_go" means:"smallest plug that did not enter, with what it may deviate, length" eg:"\"0.1876 +0.00004/-0\""`
	Note   Text `key:"note" means:"what was odd" eg:"\"tight at the mouth\""`
}

// Reading is what was read on one piece.
type Reading struct {
	Span
	Piece     Text   `key:"piece" means:"number or mark of the piece" eg:"\"3\""`
	Lot       Text   `key:"lot" means:"lot of the piece, if it differs" eg:"\"L-36\""`
	Values    []Size `key:"values" dim:"any" unit:"readings" means:"readings in the order of the points; may be one text" eg:"\"-4.5 -10.5 +6.0\""`
	At        Size   `key:"at_count" dim:"number" means:"how many parts the tool had cut" eg:"\"17 parts\""`
	State     Text   `key:"state" words:"valid|doubtful|void|superseded" means:"standing of the reading" eg:"\"void\""`
	Why       Text   `key:"why" means:"why it is void or doubtful, or why it corrects another" eg:"\"chip under the anvil\""`
	Corrects  Text   `key:"corrects" means:"piece whose reading above this one stands for; that one counts as superseded" eg:"\"3\""`
	Time      Text   `key:"time" means:"time of day by the clock of the machine it was typed on" eg:"\"14:05\""`
	Note      Text   `key:"note" means:"what was odd" eg:"\"burr at K3\""`
	Photos    []Text `key:"photos" means:"pictures taken with the reading; paths from the file's folder" eg:"[\"2026-11-25-owner-1405.jpg\"]"`
	TakenFrom Text   `key:"taken_from" means:"line of a note in the inbox that it was taken from, with a mark of its text and when this machine took it" eg:"\"phone.txt:3 1a2b3c4d, 2026-11-26 08:10\""`
}
