package ledger

// Plan is an ordered list of operations that make a part.
type Plan struct {
	Common
	State      Text        `key:"state" words:"draft|planned|released|superseded|obsolete" means:"standing today" eg:"\"released\""`
	Part       Ref         `key:"part" need:"yes" to:"part" means:"part that it makes" eg:"\"P-10\""`
	PartRev    Text        `key:"part_rev" means:"revision of the part that it was written for" eg:"\"C\""`
	From       Date        `key:"from" means:"day from which the plan holds" eg:"2024-05-20"`
	Until      Date        `key:"until" means:"last day on which it holds" eg:"2025-12-31"`
	Lot        Text        `key:"lot" means:"lot, if the plan is for one lot only" eg:"\"L-38\""`
	Operations []Operation `key:"operation" means:"one set-up's work" eg:"see operation"`
}

// Operation is one set-up's work.
type Operation struct {
	Span
	ID       Text     `key:"id" need:"yes" means:"short name; operations run in the order in which they are written" eg:"\"OP50\""`
	Title    Text     `key:"title" means:"what is done" eg:"\"finish profile\""`
	Fixture  Ref      `key:"fixture" to:"fixture|station" means:"fixture or station that holds the part" eg:"\"FX1/A\""`
	FixRev   Text     `key:"fixture_rev" means:"revision of the fixture that program and offset were made for" eg:"\"r3\""`
	Machine  Ref      `key:"machine" to:"machine" means:"machine it runs on" eg:"\"M1\""`
	Tools    []Ref    `key:"tools" to:"tool" means:"tools that cut in it" eg:"[\"T12\"]"`
	Gauges   []Ref    `key:"gauges" to:"gauge" means:"gauges that check it" eg:"[\"G2\"]"`
	Makes    []Text   `key:"makes" means:"features of the part that it makes" eg:"[\"H1\", \"H2\"]"`
	Locates  []Text   `key:"locates_on" means:"features of the part that locate it here; without the key, those that the station's locators engage" eg:"[\"H1\", \"H2\"]"`
	Alters   []Text   `key:"alters" means:"features that it changes" eg:"[\"H1\"]"`
	Clear    Flag     `key:"clear_of_locators" means:"true if what it alters stays clear of where locators touch, such as a chamfer at a mouth that no pin reaches" eg:"true"`
	Checks   []Text   `key:"checks" means:"features or characteristics that are checked here" eg:"[\"H1\"]"`
	Cut      Text     `key:"cut" words:"rough|finish|relieve stress|none" means:"roughing, finishing, or neither" eg:"\"finish\""`
	Surface  Text     `key:"surface" means:"feature that is roughed or finished" eg:"\"outline\""`
	Pieces   Size     `key:"pieces" dim:"number" means:"how many parts are run" eg:"\"24 parts\""`
	WearComp Text     `key:"wear_offset" means:"wear offset set and how it was checked on the last part" eg:"\"-0.0001, last part 1.5002\""`
	Does     Text     `key:"does" means:"for hot, grinding, wet or pressing work: weld, grind, solvent, adhesive, press ..." eg:"\"press\""`
	Where    Text     `key:"where" means:"where it is done" eg:"\"on the bench\""`
	Cautions []Text   `key:"cautions" means:"cautions that stand before the step" eg:"[\"impact eyes\", \"hand clear\"]"`
	WorkLead Text     `key:"work_lead" means:"where the welder's work lead is clamped" eg:"\"on the fixture, next to the weld\""`
	Program  Text     `key:"program" means:"program and its revision (private)" eg:"\"4012 rev C\""`
	Steps    []OpStep `key:"step" means:"one step of the operation; steps are done in the order in which they are written" eg:"see operation.step"`
	Covers   []Text   `key:"covers" means:"features that no gauge reaches from here on: covered, filled or built over" eg:"[\"H1\"]"`
	IfBad    []Text   `key:"if_bad" means:"what to do on a bad reading, in order" eg:"[\"set the part aside\", \"move the wear offset by half the error\"]"`
	Note     Text     `key:"note" means:"anything to know at the machine" eg:"\"do not break the edge of H1, H2\""`
}

// OpStep is one step of an operation.
type OpStep struct {
	Span
	Title    Text   `key:"title" need:"yes" means:"the step in words" eg:"\"ream both holes, one pass in and one out\""`
	Tool     Ref    `key:"tool" to:"tool" means:"tool that it takes" eg:"\"T11\""`
	Does     Text   `key:"does" means:"for hot, grinding, wet or pressing work: weld, grind, solvent, adhesive, press ..." eg:"\"press\""`
	Where    Text   `key:"where" means:"where it is done" eg:"\"on the bench\""`
	Cautions []Text `key:"cautions" means:"cautions that stand before the step" eg:"[\"impact eyes\", \"hand clear\"]"`
	WorkLead Text   `key:"work_lead" means:"where the welder's work lead is clamped" eg:"\"on the fixture, next to the weld\""`
}
