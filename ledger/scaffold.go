package ledger

import (
	"fmt"
	"path"
	"strings"
	"time"
)

// Folder is the folder in which a new record of the kind is put.
func Folder(k Kind) string {
	if k == KindInspection {
		return "inspections"
	}
	return string(k) + "s"
}

// Scaffold gives the text of a new record of the kind and the path for it,
// with what a person is likely to fill in. It is a draft until its state says
// otherwise, so a half-filled record is left in peace.
func Scaffold(k Kind, id, title, units string, day time.Time) (name, text string, err error) {
	if kindType(k) == nil {
		return "", "", fmt.Errorf("%q is no kind of record; one of: %s", Printable(string(k)), joinKinds())
	}
	if !validID(id) {
		return "", "", fmt.Errorf("%q cannot be an id: use letters, digits, - . _ and no more than 40 of them", Printable(id))
	}
	if notesName(id) {
		return "", "", fmt.Errorf("%s cannot be an id: a file of that name holds notes and is not read as a record", id)
	}
	if err := oneLine("title", title); err != nil {
		return "", "", err
	}
	if title == "" {
		title = id
	}
	if units == "" {
		units = "in"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "+++\nkind = %q\nid = %q\ntitle = %s\nunits = %q\n", k, id, tomlString(title), units)
	b.WriteString(strings.NewReplacer("DAY", day.Format(time.DateOnly)).Replace(scaffolds(k, units)))
	b.WriteString("+++\n\n")
	b.WriteString(scaffoldNotes(k))
	return path.Join(Folder(k), id+".md"), b.String(), nil
}

func joinKinds() string {
	var s []string
	for _, k := range Kinds() {
		s = append(s, string(k))
	}
	return strings.Join(s, ", ")
}

// scaffolds holds the keys that a new record of a kind begins with. Sizes are
// left as comments, so that no invented number is ever taken for a real one.
func scaffolds(k Kind, units string) string {
	eg := func(inch, metric string) string {
		if units == "mm" {
			return metric
		}
		return inch
	}
	switch k {
	case KindPart:
		return `state = "draft"            # then "in use"
material = ""

[[feature]]
id = "H1"
type = "hole"
at = [0.0, 0.0]
# size = ` + eg(`"0.1875 +0.0005/-0"`, `"4 mm H7"`) + `

[[feature]]
id = "H2"
type = "hole"
# at = ` + eg(`["2.4000 ±0.0005", 0.0]`, `["90.000 ±0.010", 0.0]`) + `
# size = ` + eg(`"0.1875 +0.0005/-0"`, `"4 mm H7"`) + `

# [[characteristic]]
# id = "KC-1"
# title = "Step at the seam"
# type = "step"
# limits = ` + eg(`"0 ±0.0010"`, `"0 ±0.010"`) + `
# datum = ["H1", "H2"]
# proud = "P-20"             # of a step: the part that stands out where + is read,
# against = "P-10"           # and the one that it stands out over
`
	case KindFixture:
		return `state = "draft"            # then "in use"
material = ""

[[station]]
id = "A"
# part = "P-10"
face = "outside up"

[[station.locator]]
id = "P1"
type = "round pin"
# engages = "H1"
# size = ` + eg(`"0.1873"`, `"3.994"`) + `
# made_by = "bored"

[[station.locator]]
id = "P2"
type = "relieved pin"
# engages = "H2"
# size = ` + eg(`"0.1873"`, `"3.994"`) + `
# land = ` + eg(`"0.045"`, `"1.2"`) + `
relieved_along = "line to P1"
# made_by = "bored"
`
	case KindTool:
		return `type = ""                  # end mill, reamer, drill ...
role = "new"
state = "draft"            # then "in use"
# diameter = ` + eg(`"0.3750"`, `"6.000"`) + `
# life = "40 parts"
`
	case KindGauge:
		return `type = ""                  # micrometer, indicator, limit plug ...
state = "draft"            # then "in service" or "reference only"
# resolution = ` + eg(`"0.0001"`, `"0.001"`) + `
# uncertainty = ` + eg(`"0.00015"`, `"0.002"`) + `
# interval = "12 months"

# [[calibration]]
# on = DAY
# result = "conforms"
# as_found = "0"
`
	case KindMachine:
		return `type = ""                  # vertical mill, lathe ...
state = "draft"            # then "in use"
`
	case KindPlan:
		return `state = "draft"            # then "released"
part = ""                  # id of the part
from = DAY

[[operation]]
id = "OP10"
title = ""
# makes = ["H1", "H2"]

[[operation]]
id = "OP20"
title = ""
# fixture = "FX1/A"
# tools = ["T1"]
# cut = "finish"
`
	case KindInspection:
		return `state = "draft"            # then "valid"
on = DAY
purpose = "acceptance"
# characteristic = "P-10/KC-1"
# gauge = "G1"
by = ""
picked = "consecutive"
# deviation_in = ` + eg(`"tenths"`, `"um"`) + `
# readings = "+3 -1 +2"
`
	case KindChange:
		return `state = "proposed"
opened = DAY
# characteristic = "P-10/KC-1"
# touches = ["FX1/A/P2"]
factor = ""                # the one thing that is changed
cause = { text = "", standing = "suspected" }
goal = ""
# before = "IN-1"
# after = "IN-2"
roll_back = ""

# [[step]]
# does = "bore"
# on = "FX1"
# where = "on the machine"
# cautions = []
`
	}
	return ""
}

func scaffoldNotes(k Kind) string {
	switch k {
	case KindChange:
		return "## What was wrong\n\n## What was done\n\n## What was learned\n"
	case KindFixture:
		return "## How it is loaded\n\n## History\n"
	case KindInspection:
		return "## What was odd\n"
	}
	return "## Notes\n"
}

// ConfigScaffold gives the text of a new tenths.toml; an error if the name of
// the shop is not one line of plain text.
func ConfigScaffold(shop, units string) (string, error) {
	if err := oneLine("name of the shop", shop); err != nil {
		return "", err
	}
	cold, hot := `"55 F"`, `"88 F"`
	if units == "mm" {
		cold, hot = `"13 C"`, `"31 C"`
	}
	if shop == "" {
		shop = "My shop"
	}
	return fmt.Sprintf(`# This file marks the folder as a ledger. tenths explain tenths.toml lists its keys.
shop = %s
units = %q                   # unit of lengths that are written without one
# coldest = %s            # of the shop over the year
# hottest = %s
calibration_interval = "12 months"
plain = ["notes/*.md"]         # Markdown files that are notes and no records
private = []                   # words that must not leave the shop

[rules]
# photo-orphan = "off"         # error, warning, note or off
`, tomlString(shop), units, cold, hot), nil
}

// ReadmeScaffold gives the text of a new ledger's README.
func ReadmeScaffold(shop string) string {
	if shop == "" {
		shop = "My shop"
	}
	return "# " + shop + `

The process of this shop as a ledger of plain text. One record a file: keys
between two lines +++, notes below them. Records may stand in any folder;
` + "`tenths new KIND ID`" + ` puts them here:

| folder | holds |
|---|---|
| parts | what is made: features, limits, characteristics |
| fixtures | stations and their locators, surveys |
| tools, gauges, machines | what cuts, what measures, what it runs on |
| plans | the order of operations |
| inspections | readings that are written up |
| readings | readings as they were typed: one file a person and day, by ` + "`tenths record`" + ` |
| changes | what was altered, why, and what came out |

    tenths explain part      the keys of a record
    tenths lint              check everything
    tenths report CH-01      before and after of a change
`
}

// tomlString writes text as a basic string of TOML (TOML 1.0, String).
func tomlString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, "\\u%04X", r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// oneLine says why text cannot be a title or a name; nil if it can.
func oneLine(what, s string) error {
	switch {
	case Printable(s) != s:
		return fmt.Errorf("the %s %q holds a line end or an invisible character; write it on one line of plain text", what, s)
	case strings.TrimSpace(s) == "" && s != "":
		return fmt.Errorf("the %s holds nothing but spaces", what)
	}
	return nil
}
