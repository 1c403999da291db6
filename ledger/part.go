package ledger

// Part is an item being made, or an assembly of such items.
type Part struct {
	Common
	State          Text             `key:"state" words:"draft|planned|in use|superseded|withdrawn" means:"draft and planned records are left in peace" eg:"\"in use\""`
	Material       Text             `key:"material" means:"what it is made of" eg:"\"6061-T6\""`
	Thickness      Size             `key:"thickness" means:"thickness at the locating holes, length" eg:"\"0.250\""`
	Coating        Text             `key:"coating" means:"coating and what is masked" eg:"\"clear anodize, holes masked\""`
	Film           Size             `key:"film" means:"thickness of the coating on one surface, length" eg:"\"0.0004\""`
	Masked         []Text           `key:"masked" means:"features that the coating is kept off, or that are finished after it" eg:"[\"H1\", \"H2\"]"`
	MadeOf         []Ref            `key:"made_of" to:"part" means:"the parts of an assembly" eg:"[\"P-10\", \"P-20\"]"`
	UsedOn         []Text           `key:"used_on" means:"products and spares that use the part" eg:"[\"focuser since serial 61\"]"`
	Features       []Feature        `key:"feature" means:"a hole, face, slot or edge that can be named and measured" eg:"see feature"`
	Characteristic []Characteristic `key:"characteristic" means:"a property that is specified and measured" eg:"see characteristic"`
}

// Feature is a hole, face, slot or edge of a part that can be named and measured.
type Feature struct {
	Span
	ID       Text         `key:"id" need:"yes" means:"short name, unique in the part" eg:"\"H1\""`
	Title    Text         `key:"title" means:"what a person calls it" eg:"\"locating hole\""`
	Type     Text         `key:"type" words:"hole|bore|shaft|slot|face|edge|outline|flat|thread" means:"what it is" eg:"\"hole\""`
	At       Pair         `key:"at" means:"position in the part's axes, lengths, with tolerance" eg:"[\"2.4000 ±0.0005\", 0.0]"`
	Size     Size         `key:"size" means:"size with its tolerance, length" eg:"\"0.1875 +0.0005/-0\""`
	AsMade   Size         `key:"as_made" means:"the range of sizes that the process really makes, measured; used before the limits where there is a choice" eg:"\"0.1876..0.1878\""`
	Nominal  Size         `key:"nominal" means:"trade size it was bought or drawn as, in its own unit" eg:"\"3/16 in\""`
	Position Size         `key:"position" means:"position tolerance, diameter of the zone, length" eg:"\"0.0020\""`
	Datum    []Text       `key:"datum" means:"features that the position is taken from" eg:"[\"H1\", \"H2\"]"`
	MadeBy   Text         `key:"made_by" means:"how it is made: drilled, reamed, bored, helical bore, milled ..." eg:"\"drilled and reamed\""`
	Tool     Ref          `key:"tool" to:"tool" means:"tool that finishes it" eg:"\"T11\""`
	Was      []FeatureWas `key:"was" means:"what held before a day" eg:"see feature.was"`
}

// FeatureWas is what held for a feature up to a day.
type FeatureWas struct {
	Span
	Until  Date `key:"until" need:"yes" means:"first day on which this no longer held" eg:"2024-05-20"`
	Size   Size `key:"size" means:"size with its tolerance until then, length" eg:"\"0.1875 +0.0010/-0\""`
	AsMade Size `key:"as_made" means:"the range of sizes really made until then, length" eg:"\"0.1878..0.1884\""`
	MadeBy Text `key:"made_by" means:"how it was made until then" eg:"\"circle-milled\""`
}

// Characteristic is a property of a part that is specified and measured.
type Characteristic struct {
	Span
	ID       Text                `key:"id" need:"yes" means:"short name, unique in the part" eg:"\"KC-1\""`
	Title    Text                `key:"title" means:"what is measured, in words" eg:"\"Step at the seam\""`
	Limits   Size                `key:"limits" dim:"any" means:"limits; without a unit, in the record's" eg:"\"0 ±0.0010\""`
	Goal     Size                `key:"goal" dim:"any" means:"what the shop wants to reach, inside the limits" eg:"\"0 ±0.0005\""`
	Better   Text                `key:"better" words:"nearer|smaller|larger" means:"what counts as better: nearer to the middle of the limits (usual), smaller, or larger" eg:"\"nearer\""`
	Judge    Text                `key:"judge" words:"each|largest|spread" means:"what of a piece's readings is judged: each (usual), the largest of its points without sign, or the spread over pieces" eg:"\"largest\""`
	Type     Text                `key:"type" words:"size|position|step|runout|flatness|profile|taper|tilt|roughness|force|count|touch|other" means:"what kind of property it is; sizes and forms need no datum" eg:"\"step\""`
	Datum    []Text              `key:"datum" means:"features of the part that it is measured from" eg:"[\"H1\", \"H2\"]"`
	Feature  []Text              `key:"features" means:"features of the part that it belongs to" eg:"[\"H1\"]"`
	Critical Flag                `key:"critical" means:"true if it decides whether the part can be used, so that a plan checks it as soon as it is made and not only at the end" eg:"true"`
	Gauge    Ref                 `key:"gauge" to:"gauge" means:"gauge that decides it" eg:"\"G4\""`
	Method   Text                `key:"method" means:"how it is measured; + means which way" eg:"\"indicator across the seam, + = cap proud\""`
	Proud    Ref                 `key:"proud" to:"part" means:"of a step at a seam: the part that stands out where a reading is above zero" eg:"\"P-20\""`
	Against  Ref                 `key:"against" to:"part" means:"of a step at a seam: the part that it stands out over" eg:"\"P-10\""`
	CutOn    []Ref               `key:"cut_on" to:"station" means:"of a step at a seam: the stations on which the outlines of the two parts are finished, the proud part's first; only where plans and fixtures leave that open" eg:"[\"FX1/B\", \"FX1/A\"]"`
	Points   []Point             `key:"point" means:"a place where it is measured" eg:"see characteristic.point"`
	Was      []CharacteristicWas `key:"was" means:"what held before a day" eg:"see characteristic.was"`
}

// CharacteristicWas is what held for a characteristic up to a day.
type CharacteristicWas struct {
	Span
	Until  Date `key:"until" need:"yes" means:"first day on which this no longer held" eg:"2024-05-20"`
	Limits Size `key:"limits" dim:"any" means:"limits until then" eg:"\"0.1875 +0.0010/-0\""`
	Goal   Size `key:"goal" dim:"any" means:"goal until then" eg:"\"0 ±0.0010\""`
}

// Point is a place where a characteristic is measured.
type Point struct {
	Span
	ID     Text `key:"id" need:"yes" means:"short name, unique in the characteristic" eg:"\"K1\""`
	At     Pair `key:"at" means:"position in the part's axes, lengths" eg:"[-0.400, 0.0]"`
	Normal Pair `key:"normal" dim:"number" means:"direction that points out of the material, plain numbers" eg:"[-1, 0]"`
}
