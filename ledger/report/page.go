package report

import (
	"time"

	"tenths/calc/quantity"
	"tenths/ledger/history"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// Page is the before and after page of one change. Its fields stand in the
// order in which the page tells them; this order is that of the JSON.
type Page struct {
	AsOf   string `json:"as_of"`
	Shop   string `json:"shop"`
	Change string `json:"change"`
	Title  string `json:"title"`
	Where  string `json:"where"` // what was measured on which part, in words
	// State is how far the change was on the day asked for.
	State string `json:"state"`
	Dates Dates  `json:"dates"`
	Goal  string `json:"goal"` // of the change, in words
	// Private is true if the page names people and money.
	Private   bool   `json:"private"`
	Complaint string `json:"complaint,omitempty"` // only in the private view
	// Verdict is the first sentence, with its numbers; Also adds those of the
	// further characteristics, and what is odd about the verdict.
	Verdict     string      `json:"verdict"`
	Also        []string    `json:"also"`
	Evidence    []Evidence  `json:"evidence"`
	Changed     Changed     `json:"changed"`
	ElseChanged ElseChanged `json:"else_changed"`
	Cost        *Cost       `json:"cost,omitempty"` // only in the private view
	SideEffects string      `json:"side_effects"`
	Neighbours  []Neighbour `json:"neighbours"`
	// Stations are those of the fixtures that the change was made on.
	Stations []Station `json:"stations"`
	RollBack string    `json:"roll_back"`
	Recheck  Recheck   `json:"recheck"`
	Lesson   string    `json:"lesson"`
	Photos   []Photo   `json:"photos"`
}

// Dates are the days of a change, empty where they are not known.
type Dates struct {
	Before     string `json:"before"`
	Opened     string `json:"opened"`
	Done       string `json:"done"`
	After      string `json:"after"`
	RolledBack string `json:"rolled_back"`
}

// Evidence is what the readings of one characteristic say. All quantities are
// in Unit and counted from From, unless they say otherwise.
type Evidence struct {
	Path    string            `json:"path"`
	Title   string            `json:"title"`
	Primary bool              `json:"primary"`
	Claim   string            `json:"claim"`  // level or spread
	Judged  string            `json:"judged"` // what of a piece is judged, in words
	Unit    string            `json:"unit"`
	From    quantity.Quantity `json:"from"`
	Effect  string            `json:"effect"`
	Verdict string            `json:"verdict"`
	Note    string            `json:"note"`
	Limits  Bounds            `json:"limits"`
	Goal    Bounds            `json:"goal"`
	Before  *Group            `json:"before"`
	After   *Group            `json:"after"`
	// Restored holds the readings after the change was undone, if there are any.
	Restored   *Group      `json:"restored,omitempty"`
	Difference *Difference `json:"difference"`
	Back       *Difference `json:"restored_difference,omitempty"`
	Spread     *Spread     `json:"spread,omitempty"`
	Counts     *Counts     `json:"counts,omitempty"`
	Drift      *Drift      `json:"drift,omitempty"`
	Points     []Point     `json:"points"`
	// OutsideLimits and OutsideGoal count what is judged after the change:
	// pieces, or readings where each point is judged by itself; null where there
	// is no limit or goal.
	OutsideLimits *int `json:"outside_limits"`
	OutsideGoal   *int `json:"outside_goal"`
	// Doubt says which readings are in doubt, and why; WithoutDoubt is the
	// effect without them. Both are empty if none are.
	Doubt        string      `json:"doubt,omitempty"`
	WithoutDoubt string      `json:"without_doubt,omitempty"`
	Prediction   *Prediction `json:"prediction"`
	// Foretold holds each point as the planned states and what was known before
	// the work let it expect, beside what was found; empty without a plan.
	Foretold []PointFound `json:"foretold,omitempty"`
	Measured Measured     `json:"measured"`
	// Takes says what it would take to tell, if the readings do not.
	Takes string          `json:"takes"`
	ev    *study.Evidence // for the pictures
	told  *study.Foretold // nil if nothing was foretold
	known string          // day whose knowledge the foretold points rest on
}

// Bounds are two limits; null where there is none.
type Bounds struct {
	Lower quantity.Quantity `json:"lower"`
	Upper quantity.Quantity `json:"upper"`
	Text  string            `json:"text"` // as the record writes them
}

// Group is the readings of one inspection. Mean and SD are null where each of
// several points is judged by itself; they then stand with the points.
type Group struct {
	Inspection string            `json:"inspection"`
	On         string            `json:"on"`
	Points     []string          `json:"points"`
	Pieces     []Piece           `json:"pieces"`
	N          int               `json:"n"`
	Mean       quantity.Quantity `json:"mean"`
	SD         quantity.Quantity `json:"sd"`
	LeftOut    int               `json:"left_out"` // void or superseded pieces
	// OutsideLimits and OutsideGoal count what lies outside the limits and the
	// goal of the day after, of so many as Judged; null where there is none.
	OutsideLimits *int   `json:"outside_limits"`
	OutsideGoal   *int   `json:"outside_goal"`
	Judged        int    `json:"judged"`
	Count         string `json:"count,omitempty"`
	Counted       string `json:"counted,omitempty"`
}

// Piece is the readings of one piece, as they were written, in the order of
// the points; null where there is none.
type Piece struct {
	Piece    string              `json:"piece"`
	Readings []quantity.Quantity `json:"readings"`
	Judged   quantity.Quantity   `json:"judged"`
}

// Difference is mean after minus mean before with its interval. Low and High
// are null if there is no interval.
type Difference struct {
	Value      quantity.Quantity `json:"value"`
	Low        quantity.Quantity `json:"low"`
	High       quantity.Quantity `json:"high"`
	Confidence float64           `json:"confidence"`
	Text       string            `json:"text"`
}

// Spread compares two spreads by the F test.
type Spread struct {
	Before    quantity.Quantity `json:"before"`
	After     quantity.Quantity `json:"after"`
	Ratio     float64           `json:"ratio"` // before over after
	F         float64           `json:"f"`     // larger variance over smaller
	Critical  float64           `json:"critical"`
	ShownFrom float64           `json:"shown_from"` // smallest ratio that as many parts can show
	Text      string            `json:"text"`
}

// Counts compares two counts by Fisher's exact test.
type Counts struct {
	What   string  `json:"what"`
	Before string  `json:"before"`
	After  string  `json:"after"`
	P      float64 `json:"p"` // two-sided
	// Change is the share after less that before, in %, with its interval.
	Change quantity.Quantity `json:"change"`
	Low    quantity.Quantity `json:"change_low"`
	High   quantity.Quantity `json:"change_high"`
	// Touch is set for grades by touch on both sides; it then decides.
	Touch *Touch `json:"touch,omitempty"`
	Text  string `json:"text"`
}

// Touch is how many pieces have each grade by touch: not felt, felt, catches a
// nail.
type Touch struct {
	Before []int   `json:"before"`
	After  []int   `json:"after"`
	P      float64 `json:"p"` // of the exact rank test, two-sided
}

// Drift is how the readings moved with the parts that the tool had cut. Before or
// After is null where fewer than three readings say their count.
type Drift struct {
	Before *DriftLine `json:"before"`
	After  *DriftLine `json:"after"`
	Text   string     `json:"text"`
}

// DriftLine is the slope of a line through readings, a part, with its interval,
// and the counts of parts that it runs over.
type DriftLine struct {
	Slope quantity.Quantity `json:"slope"`
	Low   quantity.Quantity `json:"low"`
	High  quantity.Quantity `json:"high"`
	First int               `json:"first"`
	Last  int               `json:"last"`
}

// Point is the comparison at one point. Verdict and Worse are of the point by
// itself; where each point is judged by itself, Better says that it is shown
// better at the level that all points share.
type Point struct {
	Point   string            `json:"point"`
	Before  quantity.Quantity `json:"before"`
	After   quantity.Quantity `json:"after"`
	Change  Difference        `json:"change"`
	Verdict string            `json:"verdict"`
	Worse   bool              `json:"worse"`
	Better  bool              `json:"better,omitempty"`
	Spread  *Spread           `json:"spread,omitempty"`
}

// Prediction stands beside the result.
type Prediction struct {
	On        string `json:"on"`
	Predicted string `json:"predicted"`
	Found     string `json:"found"`
	Agreement string `json:"agreement"`
	Text      string `json:"text"`
}

// Measured says how the readings were taken.
type Measured struct {
	Characteristic string   `json:"characteristic"`
	Datum          []string `json:"datum"`
	Points         []string `json:"points"`
	Method         string   `json:"method"`
	Before         *Taken   `json:"before"`
	After          *Taken   `json:"after"`
	Undone         *Taken   `json:"undone,omitempty"` // after the change was undone
	// Comparable is "yes", "with care" or "no", with the reasons; empty if one
	// side is missing.
	Comparable string   `json:"comparable"`
	Because    []string `json:"because"`
}

// Taken says how one group of readings was taken.
type Taken struct {
	On          string            `json:"on"`
	Gauge       string            `json:"gauge"`
	GaugeTitle  string            `json:"gauge_title"`
	Standing    string            `json:"standing"`
	Resolution  quantity.Quantity `json:"resolution"`
	ReadsTo     quantity.Quantity `json:"reads_to"`
	U           quantity.Quantity `json:"uncertainty"`
	Temperature quantity.Quantity `json:"temperature"`
	Held        string            `json:"held"`
	Picked      string            `json:"picked"`
	Lot         string            `json:"lot"`
	By          string            `json:"by,omitempty"` // only in the private view
	LeftOut     int               `json:"left_out"`     // void or superseded pieces
	Doubt       string            `json:"doubt,omitempty"`
}

// Changed says what was changed.
type Changed struct {
	Factor  string   `json:"factor"`
	Several string   `json:"several"` // why more than one thing at once
	Cause   string   `json:"cause"`
	Touches []string `json:"touches"`
	Pins    []Pin    `json:"pins"`
	// Found is what the ledger says of the other things that it touches, between
	// the readings.
	Found []Happened `json:"found"`
}

// Pin is a locator that the change touched.
type Pin struct {
	Path   string   `json:"path"`
	Before PinState `json:"before"`
	After  PinState `json:"after"`
	// NoEarlier is true if the record holds no state of before the change;
	// Before then has its day only.
	NoEarlier bool `json:"no_earlier_state"`
}

// PinState is a locator as it stood on a day.
type PinState struct {
	On       string            `json:"on"`
	Type     string            `json:"type"`
	Size     string            `json:"size"`
	Land     string            `json:"land"`
	Relief   string            `json:"relieved_along"`
	MadeBy   string            `json:"made_by"`
	HeldBy   string            `json:"held_by"`
	Surveyed string            `json:"surveyed"` // day; empty: never in this state
	OffX     quantity.Quantity `json:"off_x"`
	OffY     quantity.Quantity `json:"off_y"`
}

// ElseChanged lists what else changed between the readings.
type ElseChanged struct {
	From  string     `json:"from"`
	To    string     `json:"to"`
	Said  []string   `json:"said"`  // by the record
	Taken []string   `json:"taken"` // how the readings before and after differ: lot, gauge ...
	Found []Happened `json:"found"` // dated entries of the ledger
	// Commits are those of git in the window, but for what only wrote down the
	// change and its readings. Git says why they are not known; empty if they are,
	// or if the ledger is not in git.
	Commits []Commit `json:"commits"`
	Git     string   `json:"git"`
}

// Commit is a commit with the records that it wrote.
type Commit struct {
	On      string   `json:"on"`
	ID      string   `json:"id"` // shortened
	Subject string   `json:"subject"`
	Records []string `json:"records"`
	// Near is true if it wrote a record of the parts, tools and gauges of the
	// characteristic.
	Near bool `json:"near"`
}

// Happened is a dated entry of the ledger.
type Happened struct {
	On    string   `json:"on"`
	Paths []string `json:"paths"`
	What  string   `json:"what"`
	// Near is true if it belongs to the parts and gauges of the characteristic.
	Near bool `json:"near"`
}

// Cost is what a change took.
type Cost struct {
	Hours    string `json:"hours"`
	Cost     string `json:"cost"`
	Scrapped string `json:"scrapped"`
	Cycle    string `json:"cycle_time"` // by how much one part takes longer
}

// Neighbour is a station or feature beside the change that was re-checked.
type Neighbour struct {
	What   string `json:"what"`
	On     string `json:"on"`
	Result string `json:"result"`
}

// Station is one of a fixture that the change was made on.
type Station struct {
	Path     string `json:"path"`
	Touched  bool   `json:"touched"`
	Surveyed string `json:"surveyed"` // day by which all its pins had been surveyed after the work
	Last     string `json:"last"`     // survey before the work
	// Moved is the largest way along x or y by which a pin was found elsewhere than
	// before; null if that is not known.
	Moved quantity.Quantity `json:"moved"`
	Said  []string          `json:"said"` // re-checks that the record holds
	Text  string            `json:"text"`
}

// Recheck is when the gain is looked at again.
type Recheck struct {
	Due  string `json:"due"`
	By   string `json:"by"` // the inspection that did it
	Text string `json:"text"`
	// Kept is what its readings say against those after the change; empty without.
	Kept string `json:"kept"`
}

// Photo is a picture that belongs to the change. Data is the picture itself,
// without its metadata, as a data URI; empty if it is only named.
type Photo struct {
	File string `json:"file"`
	Alt  string `json:"alt"`
	Data string `json:"data,omitempty"`
}

// PageOptions says what a page may hold.
type PageOptions struct {
	// Private also names people and money.
	Private bool
	// Images is where small photos are read from; without it they are named.
	Images source.Source
	// Commits gives those of git whose day is after from and up to to; nil if the
	// ledger is not in git.
	Commits func(from, to time.Time) ([]history.Commit, error)
}
