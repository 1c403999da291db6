package ledger

// The structs below are the table of the records' keys: the loader reads by it
// and `tenths explain KIND` prints it. The tags are
//
//	key    the key in the front matter
//	means  what it means, with its unit
//	eg     an example, as TOML
//	dim    for sizes: what it measures (length if there is no tag)
//	words  for text: the words that are allowed, separated by |
//	to     for references: the kinds that it may name, separated by |
//	need   "yes" if the record cannot do without it
//	space  "yes" if a pair may have a third member, the height above the seat

// Common holds the keys of every kind of record.
type Common struct {
	Kind        Text         `key:"kind" need:"yes" words:"part|fixture|tool|gauge|machine|plan|inspection|change" means:"what the record is about" eg:"\"part\""`
	ID          Text         `key:"id" need:"yes" means:"short spoken name, unique in the ledger and never used again" eg:"\"P-10\""`
	Title       Text         `key:"title" need:"yes" means:"what a person calls it" eg:"\"Side plate\""`
	Units       Text         `key:"units" words:"in|mm" means:"unit of every length that is written without one" eg:"\"in\""`
	Rev         Text         `key:"rev" means:"revision; two revisions may share an id" eg:"\"C\""`
	Legacy      Flag         `key:"legacy" means:"true for a record brought in from old notes: its gaps are notes, not warnings" eg:"true"`
	Photos      []Text       `key:"photos" means:"pictures that belong to the record, beside those in its text; paths from the record's folder" eg:"[\"photos/pins-before.jpg\"]"`
	Derived     []Derived    `key:"derived" means:"a value that follows from others by a formula" eg:"see derived"`
	Concessions []Concession `key:"concession" means:"silences one rule in this record, with the reason" eg:"see concession"`
}

// Derived is a value that follows from others by a formula.
type Derived struct {
	Span
	Name    Text      `key:"name" need:"yes" means:"name of the value, unique in the record" eg:"\"bore path diameter\""`
	Formula Text      `key:"formula" need:"yes" means:"formula with + - * / and the functions abs, min, max, sqrt, hypot, sin, cos, tan, asin, acos, atan, atan2, pow, if(a < b, a, b); a unit is a name: 25.4*mm" eg:"\"hole - cutter\""`
	Where   []Binding `key:"where" means:"the path of the value behind each name in the formula" eg:"{ hole = \"P-10/H1/size\", cutter = \"T14/diameter\" }"`
	Value   Size      `key:"value" dim:"any" means:"the result, kept up to date by tenths derive --write" eg:"\"0.0625 in\""`
	Limits  Size      `key:"limits" dim:"any" means:"limits that the result must keep, worst case" eg:"\"0.060..0.065 in\""`
	Spread  []Named   `key:"spread" means:"how a value lies within its tolerance: normal with the limits at 3 s (if nothing is said), uniform, triangular, arcsine, or its standard deviation; surveys and looseness are uniform" eg:"{ hole = \"uniform\", pin = \"0.00003 in\" }"`
	Common  []Named   `key:"common" means:"what a value moves with: values with one common source move together, all of their tolerance or a part of it, or against the others" eg:"{ hole1 = \"T11\", hole2 = \"T11 60 %\", slot = \"against T11\" }"`
	Cost    []Named   `key:"cost" means:"what it costs to hold the tolerance of a value, in minutes or money, the same for all: says what to tighten first" eg:"{ hole = 4, pin = 1.5 }"`
	On      Date      `key:"on" means:"day for which the inputs are taken; without it, the day asked for" eg:"2024-03-11"`
	Keep    Text      `key:"keep" means:"why this result is kept as it was and not recomputed" eg:"\"prediction made on 2024-03-01\""`
}

// Concession silences one rule in one record.
type Concession struct {
	Span
	Rule   Text `key:"rule" need:"yes" means:"name of the rule that is silenced in this record" eg:"\"gauge-overdue\""`
	Reason Text `key:"reason" means:"why that is right; without it the concession does not count" eg:"\"checked against a block the same morning\""`
	Until  Date `key:"until" means:"last day on which the concession counts" eg:"2026-03-31"`
}

// Kind is a kind of record.
type Kind string

// The kinds of record.
const (
	KindPart       Kind = "part"
	KindFixture    Kind = "fixture"
	KindTool       Kind = "tool"
	KindGauge      Kind = "gauge"
	KindMachine    Kind = "machine"
	KindPlan       Kind = "plan"
	KindInspection Kind = "inspection"
	KindChange     Kind = "change"
)

// Kinds lists the kinds in the order in which they are explained.
func Kinds() []Kind {
	return []Kind{KindPart, KindFixture, KindTool, KindGauge, KindMachine, KindPlan, KindInspection, KindChange}
}
