package ledger

import "time"

// Past tells what records said when they were committed. It may be asked from
// several goroutines.
type Past interface {
	// Versions are the texts that the file of a record has had, as far as git
	// shows, followed through renames by the id: none stands before one that it
	// was built on. The text in the ledger itself comes last, with Uncommitted
	// set, unless it is one of the others. Without any history there is only that.
	Versions(rec *Record) []*Version
	// Follows reports whether what was written as a was built on what was written
	// as b: its commit has the other one among its ancestors. Clocks do not matter.
	// What is not committed follows all that is.
	Follows(a, b *Version) bool
}

// Version is a record as it was committed once.
type Version struct {
	Commit      string // its full name
	Uncommitted bool
	// On is the day on which it was written by the commit's own word (its author
	// date, in the time zone of the author); zero if it is not committed, or if the
	// commits around it show that one of the clocks was wrong.
	On time.Time
	// Prev are the versions right before this one; several where branches met.
	Prev []*Version
	// Record reads the text; nil if it cannot be read, or was taken away.
	Record func() *Record
}
