// Package capture takes readings down at the machine: it reads what was typed,
// fills in what was not from the readings before, and keeps it in a file of one
// person and day. Nothing that is typed is refused or lost: what cannot be read as
// readings is kept as typed and waits to be sorted.
package capture

import (
	"fmt"
	"strings"
	"time"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/study"
)

// Ask is what was typed, and what was said beside it. Of the texts, empty ones
// are filled in from the last readings of the characteristic.
type Ask struct {
	Words   []string  // path and values
	On      time.Time // day of the readings
	Clock   string    // time of day as the machine has it; empty if typed later
	By      string    // who measured
	User    string    // what git calls the person at this machine
	Gauge   string
	Lot     string
	Unit    string // of the values
	Purpose string
	Held    string
	Picked  string
	Note    string
	AtCount string // how many parts the tool had cut
	Apart   bool   // begin a set of its own
	// Corrects names the readings that these stand for: a set, or SET/PIECE.
	Corrects, Why string
	Sorts         string // unsorted line that these are
	// Photos are pictures to keep with the line, as paths of this machine. One that
	// cannot be kept is told of; the line is kept all the same.
	Photos  []string
	From    string // line of the inbox that it is (key taken_from)
	Refused string // why the line could not even be taken apart
}

// Kept is what was kept, and where.
type Kept struct {
	File     string
	ID       string // of the set, or of the unsorted line
	Unsorted bool
	Line     string // unsorted: the line as kept
	Why      string // unsorted: why it is no set of readings
	Near     string // unsorted: what may have been meant
	Path     string // of the characteristic
	Title    string
	Values   []Value
	Count    string // what was counted or felt
	Gauge    string
	Lot      string
	By       string
	On       time.Time
	Remarks  []string // how the line was understood, where it could be otherwise
	Warnings []string // what looks impossible or lies outside
	Photos   []string // pictures that were kept, as paths of the ledger
}

// Value is one reading as it was kept.
type Value struct {
	Piece, Point string
	Text         string            // as typed
	Full         quantity.Quantity // zero if there is none
	Problem      string            // why there is none
	Off          bool              // the full value is a deviation too, since its nominal is nothing
}

// Record keeps a line of readings. The error is only for a disk that does not
// take it: nothing was changed then.
func Record(root string, s *study.Set, a Ask) (*Kept, error) {
	c := &clerk{root: root, s: s, l: s.L, ask: a}
	k, err := c.record()
	c.settlePhotos(k)
	return k, err
}

func (c *clerk) record() (*Kept, error) {
	a := c.ask
	c.line = ledger.Printable(strings.Join(strings.Fields(strings.Join(a.Words, " ")), " "))
	if old := c.sorted(); old != nil {
		return c.unsorted(*old)
	}
	if a.Refused != "" {
		return c.unsorted(trouble{why: ledger.Printable(a.Refused)})
	}
	set, bad := c.read()
	c.by = c.person(set)
	c.takePhotos()
	if bad == nil && set.into != nil {
		kept, t, err := c.correct(set)
		if t == nil {
			return kept, err
		}
		bad = t
	}
	if bad == nil {
		kept, t, err := c.keep(set)
		if t == nil {
			return kept, err
		}
		bad = t
	}
	return c.unsorted(*bad)
}

// clerk takes one line down.
type clerk struct {
	root string
	s    *study.Set
	l    *ledger.Ledger
	ask  Ask
	line string // as typed, on one line
	by   string
	old  *ledger.Line // the unsorted line that is sorted now
	from *ledger.Record
	// unlocked is set to write as if there were no locks.
	unlocked bool
	dry      bool   // change nothing
	file     string // of the page that is written
	photos   []photo
	sheet    bool // the readings come from a table
}

// trouble is why a line is no set of readings.
type trouble struct{ why, near string }

func because(format string, args ...any) *trouble {
	return &trouble{why: fmt.Sprintf(format, args...)}
}

// person is who measured: who was named; else who works at this machine, if the
// ledger knows that name; else who measured last.
func (c *clerk) person(set *readings) string {
	if c.ask.By != "" {
		return ledger.Printable(c.ask.By)
	}
	for _, rec := range c.l.Records {
		if in, ok := rec.Data.(*ledger.Inspection); ok && c.ask.User != "" && in.By.S == c.ask.User {
			return c.ask.User
		}
	}
	if set != nil && set.last != nil && set.last.By.S != "" {
		return set.last.By.S
	}
	if _, in := c.last(func(in *ledger.Inspection) bool { return in.By.S != "" }); in != nil {
		return in.By.S
	}
	if c.ask.User != "" {
		return ledger.Printable(c.ask.User)
	}
	return "unknown"
}

// last is the newest inspection that counts, of those that are wanted.
func (c *clerk) last(want func(*ledger.Inspection) bool) (*ledger.Record, *ledger.Inspection) {
	var rec *ledger.Record
	var last *ledger.Inspection
	for _, r := range c.l.Records {
		in, ok := r.Data.(*ledger.Inspection)
		if !ok || !in.HasReadings() || r.Quiet() || in.State.S == "void" || in.State.S == "superseded" || !in.On.By(c.ask.On) || !want(in) {
			continue
		}
		if last == nil || !in.On.T.Before(last.On.T) {
			rec, last = r, in
		}
	}
	return rec, last
}
