package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"net/url"
	"path"
	"reflect"
	"runtime"
	"sort"
	"strings"
	"sync"

	"tenths/calc/quantity"
	"tenths/ledger/keyindex"
	"tenths/ledger/source"
)

// MaxRecord is the largest record that is read, in bytes.
const MaxRecord = 1 << 20

// Ledger is all records of a shop as they stand in one source of files. It does
// not change after loading and may be read from several goroutines.
type Ledger struct {
	Config    *Config
	ConfigSrc []byte // text of tenths.toml, nil if there is none
	Records   []*Record
	Problems  []Problem
	Files     map[string]source.File // every file below the root
	byID      map[string][]*Record
	byFile    map[string][]*Record
	corrected map[string]*Record // by the id of the readings that it corrects
	tables    map[string][]byte  // tables of readings beside the records
	named     map[string]bool    // files that records and plain notes name
}

// ErrNoLedger says that there is no tenths.toml.
var ErrNoLedger = errors.New("no ledger here: " + ConfigName + " is missing")

// Load reads every record of a source. Whatever is wrong in a file is a
// problem of the ledger; the error is only for a source that cannot be read.
func Load(src source.Source) (*Ledger, error) {
	files, err := src.Files()
	if err != nil {
		return nil, err
	}
	l := &Ledger{Files: make(map[string]source.File, len(files)), byID: map[string][]*Record{}, byFile: map[string][]*Record{}, Config: &Config{}, tables: map[string][]byte{}}
	var paths []string
	for _, f := range files {
		l.Files[f.Path] = f
		paths = append(paths, f.Path)
	}
	sort.Strings(paths)
	if _, ok := l.Files[ConfigName]; !ok {
		return nil, ErrNoLedger
	}
	text, err := src.Read(ConfigName)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", ConfigName, err)
	}
	l.ConfigSrc = text
	l.Config, l.Problems = parseConfig(text)

	var names []string
	for _, p := range paths {
		if isRecordName(p) {
			names = append(names, p)
		}
	}
	type result struct {
		recs     []*Record
		problems []Problem
		named    []string
	}
	results := make([]result, len(names))
	var wg sync.WaitGroup
	next := make(chan int)
	for range max(1, runtime.GOMAXPROCS(0)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				if l.HoldsNotes(names[i]) {
					results[i].named = l.namedInNotes(src, names[i])
					continue
				}
				recs, problems := l.read(src, names[i])
				results[i] = result{recs: recs, problems: problems}
			}
		}()
	}
	for i := range names {
		next <- i
	}
	close(next)
	wg.Wait()
	l.named = map[string]bool{}
	for _, r := range results {
		l.Problems = append(l.Problems, r.problems...)
		for _, p := range r.named {
			l.named[p] = true
		}
		for _, rec := range r.recs {
			l.Records = append(l.Records, rec)
			l.byFile[rec.Path] = append(l.byFile[rec.Path], rec)
			if id := rec.ID(); id != "" {
				l.byID[id] = append(l.byID[id], rec)
			}
			for _, f := range rec.files() {
				l.named[l.fileOf(rec.Path, f)] = true
			}
		}
	}
	l.correct()
	l.readTables(src)
	return l, nil
}

// notesName reports whether a file of the name, without its .md, holds notes
// wherever it stands.
func notesName(name string) bool {
	switch strings.ToUpper(name) {
	case "README", "CHANGELOG", "LICENSE", "CONTRIBUTING":
		return true
	}
	return false
}

func isRecordName(p string) bool {
	return strings.EqualFold(path.Ext(p), ".md")
}

// HoldsNotes reports whether a Markdown file at the path holds notes and no
// record: a README and the like, what lies in the inbox, and what the config lists.
func (l *Ledger) HoldsNotes(p string) bool {
	if strings.HasPrefix(p, Inbox+"/") {
		return true
	}
	if notesName(strings.TrimSuffix(path.Base(p), path.Ext(p))) {
		return true
	}
	for _, pat := range l.Config.Plain {
		if ok, err := path.Match(pat.S, p); err == nil && ok {
			return true
		}
	}
	return false
}

// read loads one file. A record that cannot be read at all gives none.
func (l *Ledger) read(from source.Source, name string) ([]*Record, []Problem) {
	f := l.Files[name]
	at := Span{Start: 0, End: 1}
	if f.Kind != source.Regular {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: at, Msg: "is a link or no plain file, and is not followed", Fix: "put the record itself here"}}
	}
	if f.Size > MaxRecord {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: at, Msg: fmt.Sprintf("is %d bytes long; a record of more than %d bytes is not read", f.Size, MaxRecord),
			Fix: "keep long tables beside the record (readings_from) and pictures as files"}}
	}
	src, err := from.Read(name)
	if err != nil {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: at, Msg: "cannot be read: " + Printable(err.Error()), Fix: "see whether the file is there and may be read"}}
	}
	return l.Parse(src, name)
}

// Parse reads the text of one file as the ledger would: its record and, of a file
// of readings, the entries as further records, with what cannot be read. The
// ledger does not change.
func (l *Ledger) Parse(src []byte, name string) ([]*Record, []Problem) {
	at := Span{Start: 0, End: 1}
	if mark := byteOrderMark(src); mark > 0 {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: Span{Start: 0, End: mark}, Src: src, Msg: "begins with a byte order mark, which hides its first line",
			Fix: "save the file as UTF-8 without a byte order mark"}}
	}
	keys, body, ok, closed := front(src)
	if !ok {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: at, Src: src, Msg: "has no front matter",
			Fix: "a record begins with a line +++, then its keys, then another line +++; a file of plain notes is named under plain in " + ConfigName}}
	}
	if !closed {
		return nil, []Problem{{Kind: Unreadable, File: name, Span: Span{Start: 0, End: 3}, Src: src, Msg: "the front matter is opened with +++ and never closed", Fix: "put a line +++ below the last key"}}
	}
	root, err := keyindex.Parse(src[keys.Start:keys.End], keys.Start)
	if err != nil {
		return nil, []Problem{syntaxProblem(name, src, err)}
	}
	rec := &Record{Path: name, Src: src, BodyStart: body}
	d := &decoder{src: src, file: name, units: l.Config.DefaultUnit()}
	notes, bad, msg, fix := readNotes(src, body)
	if msg != "" {
		d.problem(Unreadable, Span{Start: bad, End: bad + 1}, fix, "%s", msg)
	}
	rec.Body = notes
	root.Val = rec.Whole()
	if u, ok := stringAt(root, "units"); ok {
		if unit := unitNamed(Text{S: u}); !unit.IsZero() {
			d.units = unit
		}
	}
	kind, _ := stringAt(root, "kind")
	if kindType(Kind(kind)) == nil {
		// The kind is missing or unknown: read what all records have, and say
		// nothing of the keys that this table does not know.
		rec.Common = &Common{}
		d.table(root, reflect.ValueOf(rec.Common).Elem(), "record")
		d.problems = dropUnknown(d.problems)
		return []*Record{rec}, d.found()
	}
	d.fill(rec, root, kind)
	recs := []*Record{rec}
	if in, ok := rec.Data.(*Inspection); ok && in.Entries != nil {
		recs = append(recs, d.readEntries(rec, root)...)
	}
	return recs, d.found()
}

// fill reads the keys of a record of a kind that is known.
func (d *decoder) fill(rec *Record, root *keyindex.Node, kind string) {
	d.readings = quantity.Unit{}
	if kind == string(KindInspection) {
		d.readings = d.units
		if u, ok := stringAt(root, "deviation_in"); ok {
			unit, known := quantity.LookupUnit(u)
			if !known {
				d.problem(Unreadable, root.Table.Get("deviation_in").Val, "write a unit such as \"tenths\", \"thou\" or \"um\"", "deviation_in: %s is no unit", Printable(u))
			} else {
				d.readings = unit
			}
		}
	}
	d.kind = kind
	v := reflect.New(kindType(Kind(kind)))
	what := kind
	if rec.at.Set() {
		what = "entry"
	}
	d.table(root, v.Elem(), what)
	rec.Data = v.Interface()
	if in, ok := rec.Data.(*Inspection); ok {
		if at, msg := in.bounded(); msg != "" {
			d.problem(Unreadable, at, "split it, one inspection for each part of it", "readings: %s", msg)
		}
	}
	rec.Common = v.Elem().FieldByName("Common").Addr().Interface().(*Common)
}

func stringAt(n *keyindex.Node, key string) (string, bool) {
	v := n.Table.Get(key)
	if v == nil {
		return "", false
	}
	s, ok := v.Value.(string)
	return s, ok
}

func dropUnknown(in []Problem) []Problem {
	var out []Problem
	for _, p := range in {
		if p.Kind != UnknownKey {
			out = append(out, p)
		}
	}
	return out
}

// readTables reads the tables of readings that inspections name.
func (l *Ledger) readTables(src source.Source) {
	for _, rec := range l.Records {
		in, ok := rec.Data.(*Inspection)
		if !ok || in.From.S == "" {
			continue
		}
		p := l.Beside(rec, in.From.S)
		f, ok := l.Files[p]
		if !ok || f.Kind != source.Regular {
			continue // a broken reference
		}
		problem := Problem{Kind: Unreadable, File: rec.Path, Span: in.From.Span, Src: rec.Src}
		if f.Size > MaxRecord {
			problem.Msg = fmt.Sprintf("readings_from: %s is %d bytes long; a table of more than %d bytes is not read", Printable(p), f.Size, MaxRecord)
			problem.Fix = "split the table, one inspection for each part of it"
			l.Problems = append(l.Problems, problem)
			continue
		}
		text, err := src.Read(p)
		if err != nil {
			problem.Msg, problem.Fix = "readings_from: cannot read "+Printable(p)+": "+Printable(err.Error()), "see whether the file is there and may be read"
			l.Problems = append(l.Problems, problem)
			continue
		}
		l.tables[p] = text
		l.Problems = append(l.Problems, in.readTable(rec, p, text, l.Config)...)
	}
}

// byteOrderMark gives the length of the mark that a file begins with, 0 if none.
func byteOrderMark(src []byte) int {
	for _, mark := range []string{"\xEF\xBB\xBF", "\xFF\xFE", "\xFE\xFF"} {
		if bytes.HasPrefix(src, []byte(mark)) {
			return len(mark)
		}
	}
	return 0
}

// namedInNotes gives the files that plain notes link to or show. Notes that
// cannot be read name nothing.
func (l *Ledger) namedInNotes(from source.Source, name string) []string {
	if f := l.Files[name]; f.Kind != source.Regular || f.Size > MaxNotes {
		return nil
	}
	src, err := from.Read(name)
	if err != nil {
		return nil
	}
	body, _, _, _ := readNotes(src, 0)
	var out []string
	for _, f := range linkedFiles(body) {
		out = append(out, l.fileOf(name, f))
	}
	return out
}

// Named reports whether a record or plain notes name the file: as a picture, in
// a link, or as a table of readings.
func (l *Ledger) Named(file string) bool { return l.named[file] }

// fileOf is the path, from the root of the ledger, of a file that is named in
// another; "" if it leaves the ledger.
func (l *Ledger) fileOf(in string, f namedFile) string {
	p := beside(in, f.target)
	if _, ok := l.Files[p]; !ok && f.link {
		// In a link, %20 stands for a space.
		if plain, err := url.PathUnescape(f.target); err == nil {
			p = beside(in, plain)
		}
	}
	return p
}

// Beside is the path, from the root of the ledger, of a file that a record
// names from its own folder. A path that leaves the ledger gives "".
func (l *Ledger) Beside(rec *Record, target string) string { return beside(rec.Path, target) }

func beside(name, target string) string {
	if strings.HasPrefix(target, "/") || strings.Contains(target, "\\") {
		return ""
	}
	p := path.Join(path.Dir(name), target)
	if p == ".." || strings.HasPrefix(p, "../") {
		return ""
	}
	return p
}
