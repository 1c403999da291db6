package capture

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// Inbox is the folder into which notes and pictures are dropped, such as by a
// phone, to be taken over when there is time.
const Inbox = ledger.Inbox

// Dropped is one line of a note in the inbox.
type Dropped struct {
	File string // as a path of the ledger
	Line int    // from 1
	Text string // what it says, without its time
	// Day and Clock are those that the line says, else the day that the name of the
	// file says; HasDay is unset if neither does.
	Day    time.Time
	HasDay bool
	Clock  string
	Photos []string // of the ledger, named behind photo:
	mark   string   // of its text
}

// Dropbox is what lies in the inbox.
type Dropbox struct {
	Lines []Dropped // that were not taken over yet, by file and line
	Taken int       // lines that were
	// Changed are lines that were taken over and say something else by now.
	Changed  []Dropped
	Photos   []string // that no record and no waiting line names
	Problems []string // what cannot be read
}

// Look lists the inbox. A note may grow after lines of it were taken over: which
// ones were is told by the ledger, and not by the note.
func Look(root string, s *study.Set) *Dropbox {
	box := &Dropbox{}
	taken := takenLines(s.L)
	named := map[string]bool{}
	var pictures []string
	for name, f := range s.L.Files {
		if !strings.HasPrefix(name, Inbox+"/") {
			continue
		}
		ext := strings.ToLower(path.Ext(name))
		switch {
		case f.Kind != source.Regular:
			box.Problems = append(box.Problems, name+" is a link or no plain file, and is not followed")
		case ext == ".txt" || ext == ".md":
			box.read(root, name, taken)
		case ledger.IsPicture(name):
			pictures = append(pictures, name)
		}
	}
	slices.SortFunc(box.Lines, before)
	slices.SortFunc(box.Changed, before)
	slices.Sort(box.Problems)
	for _, l := range box.Lines {
		for _, p := range l.Photos {
			named[p] = true
		}
	}
	for _, p := range pictures {
		if !named[p] && !s.L.Named(p) {
			box.Photos = append(box.Photos, p)
		}
	}
	slices.Sort(box.Photos)
	return box
}

func before(a, b Dropped) int {
	if c := strings.Compare(a.File, b.File); c != 0 {
		return c
	}
	return a.Line - b.Line
}

// takenLines gives the mark of each line that was taken over, by its place.
func takenLines(l *ledger.Ledger) map[string]string {
	out := map[string]string{}
	see := func(t ledger.Text) {
		place, _, _ := strings.Cut(t.S, ", ")
		if i := strings.LastIndexByte(place, ' '); i > 0 {
			out[place[:i]] = place[i+1:]
		}
	}
	for _, rec := range l.Records {
		in, ok := rec.Data.(*ledger.Inspection)
		if !ok {
			continue
		}
		see(in.TakenFrom)
		for _, row := range in.Pieces {
			see(row.TakenFrom)
		}
		for _, u := range in.Unsorted {
			see(u.TakenFrom)
		}
	}
	return out
}

func (box *Dropbox) read(root, name string, taken map[string]string) {
	text, err := ledger.ReadFile(root, name)
	if err != nil {
		box.Problems = append(box.Problems, ledger.Printable(name)+" cannot be read: "+ledger.Printable(err.Error()))
		return
	}
	fileDay, hasDay := ledger.DayInName(name)
	for i, line := range strings.Split(strings.ToValidUTF8(string(text), "\uFFFD"), "\n") {
		line = strings.TrimSpace(strings.TrimPrefix(line, "\uFEFF"))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		sum := sha256.Sum256([]byte(line))
		d := Dropped{File: name, Line: i + 1, Text: line, Day: fileDay, HasDay: hasDay, mark: hex.EncodeToString(sum[:4])}
		d.parse()
		switch was, ok := taken[d.place()]; {
		case !ok:
			box.Lines = append(box.Lines, d)
		case was != d.mark:
			box.Changed = append(box.Changed, d)
		default:
			box.Taken++
		}
	}
}

// place names a line for the ledger.
func (d *Dropped) place() string { return path.Base(d.File) + ":" + strconv.Itoa(d.Line) }

var (
	lineDay   = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})(?:[T ]+|$)`)
	lineClock = regexp.MustCompile(`^(\d{1,2}:\d{2})(?::\d{2})?(?:\s+|$)`)
	linePhoto = regexp.MustCompile(`(?i)\s*\bphoto:\s*(\S+)`)
)

// parse takes day, time of day and pictures off a line.
func (d *Dropped) parse() {
	if m := lineDay.FindStringSubmatch(d.Text); m != nil {
		if day, err := time.Parse(time.DateOnly, m[1]); err == nil {
			d.Day, d.HasDay, d.Text = day, true, d.Text[len(m[0]):]
		}
	}
	if m := lineClock.FindStringSubmatch(d.Text); m != nil {
		d.Clock, d.Text = m[1], d.Text[len(m[0]):]
	}
	for _, m := range linePhoto.FindAllStringSubmatch(d.Text, -1) {
		d.Photos = append(d.Photos, path.Join(path.Dir(d.File), path.Base(m[1])))
	}
	d.Text = strings.TrimSpace(linePhoto.ReplaceAllString(d.Text, ""))
}

// Take records a line of the inbox as if it were typed now, with its own day and
// time beside those of this machine: clocks differ. What it cannot be read as is
// kept as unsorted. The note itself is left alone.
func (d *Dropped) Take(root string, s *study.Set, by, user string, now time.Time) (*Kept, error) {
	a := Ask{Words: strings.Fields(d.Text), By: by, User: user, Clock: d.Clock, On: d.Day}
	if !d.HasDay {
		y, m, day := now.Date()
		a.On = time.Date(y, m, day, 0, 0, 0, 0, time.UTC)
	}
	a.From = fmt.Sprintf("%s %s, %s", d.place(), d.mark, now.Format("2006-01-02 15:04"))
	var links []string
	for _, p := range d.Photos {
		if f, ok := s.L.Files[p]; ok && f.Kind != source.Regular {
			links = append(links, "the picture "+path.Base(p)+" is a link and is not followed")
			continue
		}
		a.Photos = append(a.Photos, filepath.Join(root, filepath.FromSlash(p)))
	}
	k, err := Record(root, s, a)
	if k != nil {
		k.Warnings = append(k.Warnings, links...)
	}
	if k != nil && !d.HasDay {
		k.Remarks = append(k.Remarks, "the note says no day; taken as of today")
	}
	return k, err
}
