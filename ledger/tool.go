package ledger

// Tool is one cutting tool, this very one and not its catalogue entry.
type Tool struct {
	Common
	Type     Text      `key:"type" means:"what it is: reamer, end mill, drill, spot drill ..." eg:"\"reamer\""`
	Role     Text      `key:"role" words:"new|finishing|roughing|withdrawn|worn out|broken" means:"what it may do today" eg:"\"finishing\""`
	State    Text      `key:"state" words:"draft|planned|in use|withdrawn" means:"draft and planned records are left in peace" eg:"\"in use\""`
	Diameter Size      `key:"diameter" means:"cutting diameter as measured, length" eg:"\"0.1250\""`
	Material Text      `key:"material" means:"what it is made of" eg:"\"carbide\""`
	Offset   Text      `key:"offset" means:"its length and radius offsets in the control (private)" eg:"\"H12 D12\""`
	StickOut Size      `key:"stick_out" means:"how far it stands out of its holder, length" eg:"\"0.900\""`
	Flutes   Int       `key:"flutes" means:"number of cutting edges" eg:"3"`
	Life     Size      `key:"life" dim:"number" means:"how many parts it may finish" eg:"\"40 parts\""`
	Count    Size      `key:"count" dim:"number" means:"parts it has cut so far" eg:"\"12 parts\""`
	Wear     Size      `key:"wear_per_part" means:"how much one side of an outline grows from one part to the next as the tool wears, length" eg:"\"0.04 tenths\""`
	Cuts     []ToolCut `key:"cuts" means:"the sizes it really cuts in a material" eg:"see cuts"`
	Gain     Size      `key:"learned_gain" dim:"number" means:"growth of a bore over what was commanded, plain number" eg:"0.92"`
	From     Ref       `key:"demoted_from" to:"tool" means:"tool it was before" eg:"\"T12\""`
	Was      []ToolWas `key:"was" means:"what held before a day" eg:"see was"`
}

// ToolCut is the range of sizes that a tool cuts in a material.
type ToolCut struct {
	Span
	Material Text `key:"material" need:"yes" means:"workpiece material" eg:"\"6061-T6\""`
	Size     Size `key:"size" need:"yes" means:"sizes found in test holes, length" eg:"\"0.1876..0.1878\""`
	On       Date `key:"on" means:"day of the trial" eg:"2024-05-18"`
}

// ToolWas is what held for a tool up to a day.
type ToolWas struct {
	Span
	Until Date `key:"until" need:"yes" means:"first day on which this no longer held" eg:"2024-11-02"`
	Role  Text `key:"role" words:"new|finishing|roughing|withdrawn|worn out|broken" means:"what it could do until then" eg:"\"finishing\""`
	Life  Size `key:"life" dim:"number" means:"how many parts it could finish until then" eg:"\"90 parts\""`
}

// Gauge is a device used to measure, or a limit gauge.
type Gauge struct {
	Common
	State       Text          `key:"state" words:"draft|planned|in service|reference only|failed|out of service|consumed" means:"standing today" eg:"\"in service\""`
	Type        Text          `key:"type" need:"yes" means:"what it is: micrometer, caliper, indicator, bore gauge, limit plug, pin set, gauge blocks, roughness tester ..." eg:"\"micrometer\""`
	Range       Size          `key:"range" dim:"any" means:"what it can measure" eg:"\"1..2 in\""`
	Resolution  Size          `key:"resolution" dim:"any" means:"smallest change that shows" eg:"\"0.0001 in\""`
	Reads       Size          `key:"reads_to" dim:"any" means:"smallest fraction that is estimated between its marks" eg:"\"0.00005 in\""`
	U           Size          `key:"uncertainty" dim:"any" means:"expanded uncertainty in use, k = 2" eg:"\"0.00015 in\""`
	Class       Text          `key:"class" means:"class of a plug or pin: XX, X, Y, Z, ZZ, or of blocks" eg:"\"X\""`
	Sign        Text          `key:"sign" words:"plus|minus|master" means:"which way pins of the set may deviate from what they are called" eg:"\"minus\""`
	Go          Size          `key:"go" means:"GO member: size with what it may deviate, or as measured, length" eg:"\"0.1875 +0.00004/-0 in\""`
	NotGo       Size          `key:"not_go" means:"NOT GO member: size with what it may deviate, or as measured, length" eg:"\"0.1880 +0/-0.00004 in\""`
	For         Ref           `key:"checks" to:"value" means:"the size that a GO / NOT GO pair is for" eg:"\"P-10/H1/size\""`
	Inside      Flag          `key:"inside_limits" means:"true if the pair is inside the limits on purpose, to steer the process" eg:"true"`
	Since       Date          `key:"since" means:"first day in service" eg:"2023-11-06"`
	Until       Date          `key:"until" means:"last day in service" eg:"2025-03-10"`
	Interval    Period        `key:"interval" means:"time between calibrations" eg:"\"12 months\""`
	Serial      Text          `key:"serial" means:"serial number (private)" eg:"\"invented-1\""`
	Calibration []Calibration `key:"calibration" means:"comparison with a standard on a day" eg:"see calibration"`
	Consumed    []Consumed    `key:"consumed" means:"a pin of a set that was used up" eg:"see consumed"`
}

// Calibration is a comparison of a gauge with a standard.
type Calibration struct {
	Span
	On          Date `key:"on" need:"yes" means:"day of the comparison" eg:"2024-06-03"`
	Due         Date `key:"due" means:"day by which the next one is due; without it, on + interval" eg:"2025-06-03"`
	Result      Text `key:"result" need:"yes" words:"conforms|does not conform|doubtful" means:"what was found, before any adjustment" eg:"\"conforms\""`
	AsFound     Size `key:"as_found" dim:"any" means:"error found before adjustment" eg:"\"-0.0003 in\""`
	At          Size `key:"at" dim:"any" means:"size at which it was found" eg:"\"1.5000 in\""`
	AsLeft      Size `key:"as_left" dim:"any" means:"error left after adjustment" eg:"\"0 in\""`
	Against     Ref  `key:"against" to:"gauge" means:"standard it was compared with" eg:"\"G7\""`
	Certificate Text `key:"certificate" means:"certificate and laboratory (private)" eg:"\"invented\""`
	LookBack    Text `key:"look_back" means:"what was found about the readings since the last good check" eg:"\"7 readings: 5 cleared, 2 doubtful\""`
}

// Consumed is a member of a gauge set that was used up.
type Consumed struct {
	Span
	On       Date `key:"on" need:"yes" means:"day it left the set" eg:"2024-03-11"`
	Size     Size `key:"size" need:"yes" means:"which one, length" eg:"\"0.1873 in\""`
	UsedAs   Text `key:"used_as" means:"what became of it" eg:"\"FX1/A/P1\""`
	Replaced Text `key:"replaced_by" means:"what fills its place" eg:"\"X pin, 2024-04\""`
	Class    Text `key:"replaced_class" means:"class of what fills its place" eg:"\"X\""`
	From     Date `key:"replaced_on" means:"day on which its place was filled" eg:"2024-04-15"`
}
