package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/alecthomas/kong"

	"tenths/calc/quantity"
	"tenths/ledger"
	"tenths/ledger/capture"
	"tenths/ledger/history"
	"tenths/ledger/report"
)

type recordCmd struct {
	Words     []string `arg:"" optional:"" name:"path-and-values" help:"What was measured, such as KC-1, A-01/KC-1 or A-01/KC-1/K3; then the readings."`
	Gauge     string   `placeholder:"ID" help:"Gauge, if it is another than last time."`
	By        string   `placeholder:"NAME" env:"TENTHS_BY" help:"Who measured."`
	On        string   `placeholder:"DATE" help:"Day of the readings (year-month-day); today if not given."`
	Lot       string   `placeholder:"LOT" help:"Lot, if it is another than last time."`
	Unit      string   `placeholder:"UNIT" help:"Unit of the readings; it may also stand behind them: +0.3 -0.1 thou."`
	Purpose   string   `placeholder:"WORD" help:"What they are for: before, after, first-off ...; acceptance if not given."`
	Held      string   `placeholder:"WORD" help:"free or clamped."`
	Picked    string   `placeholder:"WORD" help:"How the pieces were chosen: consecutive, by lot, all, picked."`
	AtCount   string   `placeholder:"N" help:"How many parts the tool had cut."`
	Note      string   `placeholder:"TEXT" help:"What was odd; or write note: and the text behind the readings."`
	Photo     []string `placeholder:"FILE" sep:"none" help:"A picture to keep with the line, beside the file of the day; alone, with the last line of the day. May be given again."`
	FromPaper bool     `help:"Typed later from paper: says so, and keeps no time of day."`
	New       bool     `help:"Begin a new set, even if the last one is of the same things."`
	Corrects  string   `placeholder:"SET[/PIECE]" help:"The readings that these stand for; the old ones stay and count no longer."`
	Why       string   `placeholder:"TEXT" help:"Why they are corrected, or why an unsorted line is no reading."`
	Unsorted  bool     `help:"List the lines that wait to be sorted, and how to sort them."`
	Sorts     string   `placeholder:"LINE" help:"The unsorted line that these readings are; with --why alone, the line is no reading."`
	Format    string   `enum:"text,json" default:"text" help:"text or json."`

	inLedger
}

func (c recordCmd) Help() string {
	return `Appends readings to the file of the person and day, readings/YEAR/DAY-NAME.md, and prints them back as full values. A line that cannot be read is never refused: it is kept as typed and waits to be sorted.

  tenths record WIDTH +3 -1 +2             deviations from the nominal: a sign, in the unit of last time, else tenths (um)
  tenths record WIDTH 1.5003 1.4999        full sizes
  tenths record KC-1 K1=+3 K4=-1.5         points by name; A-01/KC-1/K3 +1 0 +2 is one point of three pieces
  tenths record SEAT 3 of 20 needs a mallet
  tenths record FEEL 0 1 1 0               by finger: 0 not felt, 1 felt, 2 catches a nail
  tenths record WIDTH +3 note: burr at K3
  tenths record WIDTH +3 --photo IMG_2207.jpg      a picture of it, copied beside the file of the day
  tenths record --photo IMG_2208.jpg               a picture for the last line
  tenths record WIDTH +2 --corrects R-2026-11-25-owner.1/2 --why "chip under the anvil"

Day and time are those of this machine. Gauge, lot, unit, points and how the part was held are those of the last readings of the characteristic. The person is --by, else TENTHS_BY, else git's user.name if the ledger knows it, else who measured last.`
}

func (c recordCmd) Run(e env) error { return c.record(e, "") }

// record keeps the line; refused is why it could not even be parsed.
func (c recordCmd) record(e env, refused string) error {
	o, err := c.open(e)
	if err != nil {
		return fmt.Errorf("%w; the line was not kept", err)
	}
	switch {
	case c.Unsorted:
		return c.list(e.out, o)
	case c.Sorts != "" && c.Why != "" && len(c.Words) == 0:
		if err := capture.Drop(o.root, o.set, c.Sorts, c.Why); err != nil {
			return err
		}
		_, err := fmt.Fprintf(e.out, "%s is no reading: %s\n", ledger.Printable(c.Sorts), ledger.Printable(c.Why))
		return err
	case len(c.Words) == 0 && refused == "" && len(c.Photo) > 0:
	case len(c.Words) == 0 && refused == "":
		return hinted{fmt.Errorf("there is nothing to record"), "for example: tenths record KC-1 +3 -1 +2"}
	}
	a := capture.Ask{Words: c.Words, By: c.By, Gauge: c.Gauge, Lot: c.Lot, Unit: c.Unit, Purpose: c.Purpose, Held: c.Held, Picked: c.Picked,
		AtCount: c.AtCount, Note: c.Note, Apart: c.New, Corrects: c.Corrects, Why: c.Why, Sorts: c.Sorts, Refused: refused}
	y, m, d := o.set.AsOf.Date()
	a.On = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	if day, err := parseDay(c.On, a.On); err != nil {
		a.Refused = "--on: " + err.Error()
		a.Words = append(a.Words, "--on", c.On)
	} else {
		a.On = day
	}
	if c.By == "" {
		a.User = history.User(context.Background(), o.root)
	}
	switch {
	case c.FromPaper:
		a.Note = strings.TrimSpace("from paper " + a.Note)
	case c.On == "" && c.AsOf == "":
		a.Clock = e.today.Format("15:04")
	}
	for _, p := range c.Photo {
		a.Photos = append(a.Photos, e.path(p))
	}
	if len(c.Words) == 0 && refused == "" {
		k, err := capture.Attach(o.root, o.set, a)
		if err != nil {
			return err
		}
		if c.Format == "json" {
			return report.WriteJSON(e.out, keptJSON(k))
		}
		return tellAttached(e.out, e.prefix(o.root), k)
	}
	k, err := capture.Record(o.root, o.set, a)
	if err != nil {
		return fmt.Errorf("%w; the line was not kept", err)
	}
	if c.Format == "json" {
		return report.WriteJSON(e.out, keptJSON(k))
	}
	return tell(e.out, e.prefix(o.root), k)
}

// wordsLast puts the options of a record command before its words, so that they
// may stand anywhere among the readings and no reading is taken for an option.
func wordsLast(args []string, flags []*kong.Flag) []string {
	takesValue := map[string]bool{}
	for _, f := range flags {
		takesValue["--"+f.Name] = !f.IsBool()
		if f.Short != 0 {
			takesValue["-"+string(f.Short)] = !f.IsBool()
		}
	}
	out, words := []string{}, []string{}
	for i := 0; i < len(args); i++ {
		a := args[i]
		takes, short := takesValue[a], len(a) == 2 && a[0] == '-' && (a[1] >= 'a' && a[1] <= 'z' || a[1] >= 'A' && a[1] <= 'Z')
		switch {
		case a == "--":
			words = append(words, args[i+1:]...)
			i = len(args)
		case takes && i+1 < len(args):
			out = append(out, a, args[i+1])
			i++
		case strings.HasPrefix(a, "--"), short:
			out = append(out, a)
		default:
			words = append(words, a)
		}
	}
	return append(append(out, "--"), words...)
}

// refusedLine keeps the words of a record command that could not be parsed.
func refusedLine(e env, args []string, why error) error {
	c := recordCmd{Format: "text"}
	for i := 0; i < len(args); i++ {
		switch dir, found := strings.CutPrefix(args[i], "--ledger="); {
		case found:
			c.Ledger = dir
		case (args[i] == "-C" || args[i] == "--ledger") && i+1 < len(args):
			i++
			c.Ledger = args[i]
		default:
			c.Words = append(c.Words, args[i])
		}
	}
	c.By = os.Getenv("TENTHS_BY")
	return c.record(e, why.Error())
}

// tell prints what was kept.
func tell(w io.Writer, prefix string, k *capture.Kept) error {
	var b strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	file := ledger.Printable(prefix + k.File)
	if k.Unsorted {
		say("%s", ledger.Printable(k.Line))
		say("    kept as unsorted %s in %s: %s", k.ID, file, ledger.Printable(k.Why))
		if k.Near != "" {
			say("    did you mean %s?", ledger.Printable(k.Near))
		}
		say("    to sort it: tenths record %s --sorts %s", pathOr(k.Near), k.ID)
	} else {
		facts := []string{values(k)}
		for _, f := range []string{k.Gauge, k.On.Format(time.DateOnly), k.By, k.Lot} {
			if f != "" {
				facts = append(facts, f)
			}
		}
		say("%s: %s", ledger.Printable(strings.TrimSpace(k.Path+" "+k.Title)), ledger.Printable(strings.Join(facts, ", ")))
		say("    kept as %s%s in %s", k.ID, pieces(k), file)
	}
	asides(&b, prefix, k)
	_, err := io.WriteString(w, b.String())
	return err
}

// asides tells of pictures, of how the line was understood, and of what is odd.
func asides(b *strings.Builder, prefix string, k *capture.Kept) {
	for _, p := range k.Photos {
		fmt.Fprintf(b, "    picture: %s\n", ledger.Printable(prefix+p))
	}
	for _, r := range k.Remarks {
		fmt.Fprintf(b, "    %s\n", ledger.Printable(r))
	}
	for _, r := range k.Warnings {
		fmt.Fprintf(b, "    look again: %s\n", ledger.Printable(r))
	}
}

// tellAttached prints where pictures without words went.
func tellAttached(w io.Writer, prefix string, k *capture.Kept) error {
	var b strings.Builder
	if k.ID != "" {
		fmt.Fprintf(&b, "%s: %s kept with it in %s\n", k.ID, pictures(len(k.Photos)), ledger.Printable(prefix+k.File))
	} else {
		fmt.Fprintf(&b, "%s kept in the inbox\n", pictures(len(k.Photos)))
	}
	asides(&b, prefix, k)
	_, err := io.WriteString(w, b.String())
	return err
}

func pictures(n int) string {
	if n == 1 {
		return "1 picture"
	}
	return fmt.Sprintf("%d pictures", n)
}

// values are the full values of what was kept; point and unit once, if they are
// those of all.
func values(k *capture.Kept) string {
	if k.Count != "" {
		return k.Count
	}
	point, unit := k.Values[0].Point, k.Values[0].Full.Unit().Name()
	for _, v := range k.Values {
		if v.Point != point {
			point = ""
		}
		if v.Full.IsZeroValue() || v.Full.Unit().Name() != unit {
			unit = ""
		}
	}
	var out []string
	if point != "" {
		out = append(out, point)
	}
	for _, v := range k.Values {
		text := v.Text
		if !v.Full.IsZeroValue() {
			text = v.Full.String()
			if unit != "" {
				text = v.Full.Plain()
			}
			if strings.HasPrefix(v.Text, "+") && v.Off {
				text = "+" + text
			}
		}
		if v.Point != point {
			text = v.Point + " " + text
		}
		out = append(out, text)
	}
	return strings.TrimSpace(strings.Join(out, " ") + " " + unit)
}

func pieces(k *capture.Kept) string {
	if len(k.Values) == 0 {
		return ""
	}
	first, last := k.Values[0].Piece, k.Values[len(k.Values)-1].Piece
	if first == last {
		return ", piece " + first
	}
	return ", pieces " + first + " to " + last
}

// list prints the lines that wait, each with what would sort it.
func (c recordCmd) list(w io.Writer, o *opened) error {
	waiting := capture.Unsorted(o.set)
	if c.Format == "json" {
		return report.WriteJSON(w, waitingJSON(waiting))
	}
	var b strings.Builder
	for _, u := range waiting {
		fmt.Fprintf(&b, "%s: %s\n", u.Line.ID.S, ledger.Printable(u.Line.Line.S))
		path := u.Path
		switch {
		case path != "":
			fmt.Fprintf(&b, "    can be read now as %s\n", path)
		case u.Near != "":
			fmt.Fprintf(&b, "    %s; did you mean %s?\n", ledger.Printable(u.Why), ledger.Printable(u.Near))
		default:
			fmt.Fprintf(&b, "    %s\n", ledger.Printable(u.Why))
		}
		if path == "" {
			path = pathOr(u.Near)
		}
		fmt.Fprintf(&b, "    tenths record %s --sorts %s\n", ledger.Printable(path), u.Line.ID.S)
		fmt.Fprintf(&b, "    tenths record --sorts %s --why \"no reading\"\n", u.Line.ID.S)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// pathOr is what may have been meant, if it can stand for the path.
func pathOr(near string) string {
	if strings.Contains(near, "/") && !strings.HasPrefix(near, "-") {
		return near
	}
	return "PATH [VALUE...]"
}

type jsonValue struct {
	Piece   string            `json:"piece"`
	Point   string            `json:"point,omitempty"`
	Text    string            `json:"as_typed"`
	Full    quantity.Quantity `json:"full_value"`
	Problem string            `json:"problem,omitempty"`
}

type jsonKept struct {
	File     string      `json:"file"`
	ID       string      `json:"id"`
	Unsorted bool        `json:"unsorted"`
	Line     string      `json:"line,omitempty"`
	Why      string      `json:"why,omitempty"`
	Near     string      `json:"near,omitempty"`
	Path     string      `json:"characteristic,omitempty"`
	Values   []jsonValue `json:"values"`
	Count    string      `json:"count,omitempty"`
	Gauge    string      `json:"gauge,omitempty"`
	Lot      string      `json:"lot,omitempty"`
	By       string      `json:"by"`
	On       string      `json:"on"`
	Photos   []string    `json:"photos"`
	Remarks  []string    `json:"remarks"`
	Warnings []string    `json:"warnings"`
}

func keptJSON(k *capture.Kept) jsonKept {
	j := jsonKept{File: k.File, ID: k.ID, Unsorted: k.Unsorted, Line: k.Line, Why: k.Why, Near: k.Near, Path: k.Path, Values: []jsonValue{}, Count: k.Count,
		Gauge: k.Gauge, Lot: k.Lot, By: k.By, On: k.On.Format(time.DateOnly), Photos: append([]string{}, k.Photos...), Remarks: append([]string{}, k.Remarks...), Warnings: append([]string{}, k.Warnings...)}
	for _, v := range k.Values {
		j.Values = append(j.Values, jsonValue{v.Piece, v.Point, v.Text, v.Full, v.Problem})
	}
	return j
}

type jsonWaiting struct {
	ID   string `json:"id"`
	File string `json:"file"`
	Line string `json:"line"`
	Why  string `json:"why,omitempty"`
	Near string `json:"near,omitempty"`
	Path string `json:"characteristic,omitempty"`
}

func waitingJSON(list []capture.Waiting) []jsonWaiting {
	out := []jsonWaiting{}
	for _, u := range list {
		out = append(out, jsonWaiting{u.Line.ID.S, u.Rec.Path, u.Line.Line.S, u.Why, u.Near, u.Path})
	}
	return out
}
