package rules

import (
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/lint"
)

var referenceBroken = &lint.Rule{
	Name:     "reference-broken",
	Severity: lint.Error,
	Title:    "a record names something that is not there, or of the wrong kind",
	Page: lint.Page{
		What:    "Each path such as P-10/H1/size is followed, each name that is relative to a part, station or characteristic is looked up there, and each picture, linked file and table of readings is looked for beside the record.",
		Why:     "A name that leads nowhere breaks the chain from the pin to the part, without a word.",
		Source:  "Common practice. That records can be traced to what they are about: ISO 9001, 7.5.3 and 8.5.2.",
		Cure:    "Correct the name, add what is missing, or take the reference out. A file is named from the folder of its record.",
		Concede: "A thing that is gone for good, and is named only for its history, may be conceded with that reason.",
	},
	Check: checkReferenceBroken,
}

func checkReferenceBroken(p *lint.Pass) {
	for _, rec := range p.L.Records {
		for _, r := range p.L.References(rec) {
			if r.File {
				checkFile(p, rec, r)
			} else {
				checkPath(p, rec, r)
			}
		}
	}
}

func checkPath(p *lint.Pass, rec *ledger.Record, r ledger.Reference) {
	// A name below something that is itself not there is reported with that.
	base, relative := strings.CutSuffix(r.Path, "/"+r.As)
	if relative {
		if _, err := p.L.FindFrom(rec, base); err != nil {
			return
		}
	}
	t, err := p.L.FindFrom(rec, r.Path)
	if nf := (*ledger.NotFound)(nil); errors.As(err, &nf) {
		if unreadable(p, r.Path, nf.Part) {
			return
		}
		found := lint.Found{Message: fmt.Sprintf("%s: there is no record with the id %s", r.Key, nf.Part), Fix: "correct the name or add what it names"}
		if in := lastFound(p, rec, r.Path); in != "" {
			found.Message = fmt.Sprintf("%s: %s has nothing named %s", r.Key, in, nf.Part)
		}
		if n := nearest(p, rec, r, nf); n != "" {
			found.Fix = fmt.Sprintf("did you mean %s?", n)
		}
		p.Report(rec, r.At, found)
		return
	}
	if err == nil && !r.Fits(t) {
		p.Report(rec, r.At, lint.Found{
			Message: fmt.Sprintf("%s: %s is %s; %s is needed here", r.Key, r.As, what(t), needed(r.To)),
			Fix:     wrongKindFix(r, t),
		})
	}
}

// lastFound is the longest beginning of a path that names something.
func lastFound(p *lint.Pass, rec *ledger.Record, refPath string) string {
	found := ""
	for i, c := range refPath {
		if c == '/' {
			if _, err := p.L.FindFrom(rec, refPath[:i]); err == nil {
				found = refPath[:i]
			}
		}
	}
	return found
}

// nearest offers what the record may have meant, written as the record writes it.
// Where records of certain kinds are asked for, it is one of them.
func nearest(p *lint.Pass, rec *ledger.Record, r ledger.Reference, nf *ledger.NotFound) string {
	if nf.Part != r.Path {
		return strings.TrimPrefix(nf.Near, strings.TrimSuffix(r.Path, r.As))
	}
	var among []string
	for _, id := range p.L.IDs() {
		if other := p.L.Record(id); other != rec && mayBe(r, other) {
			among = append(among, id)
		}
	}
	return ledger.Nearest(r.Path, among, 1+max(1, len(r.Path)/2))
}

// mayBe reports whether a record is of a kind that is asked for.
func mayBe(r ledger.Reference, rec *ledger.Record) bool {
	for _, to := range r.To {
		if to == "any" || to == string(rec.Kind()) {
			return true
		}
	}
	return false
}

// what says what a path names.
func what(t ledger.Target) string {
	if t.Node == t.Rec.Data && t.Size == nil {
		return "a " + string(t.Rec.Kind())
	}
	if _, ok := t.Node.(*ledger.Station); ok && t.Size == nil {
		return "a station"
	}
	return fmt.Sprintf("a value of the %s %s", t.Rec.Kind(), t.Rec.ID())
}

func needed(to []string) string {
	words := make([]string, len(to))
	for i, w := range to {
		words[i] = "a " + w
	}
	return strings.Join(words, " or ")
}

func wrongKindFix(r ledger.Reference, t ledger.Target) string {
	if slices.Contains(r.To, "value") {
		if part, ok := t.Node.(*ledger.Part); ok {
			for _, c := range part.Characteristic {
				return fmt.Sprintf("go on to one of its values, such as %s/%s", r.As, c.ID.S)
			}
			for _, f := range part.Features {
				return fmt.Sprintf("go on to one of its values, such as %s/%s/size", r.As, f.ID.S)
			}
		}
		return "go on to one of its values"
	}
	return fmt.Sprintf("name %s", needed(r.To))
}

// unreadable reports whether the path leads into a file or a value that could
// not be read: that is reported there, and not once more by all who name it.
func unreadable(p *lint.Pass, refPath, part string) bool {
	id, _, _ := strings.Cut(refPath, "/")
	holds := p.L.WithID(id)
	for _, rec := range holds {
		if rec.Data == nil {
			return true
		}
	}
	for _, pr := range p.L.Problems {
		if pr.Kind != ledger.Unreadable || pr.Gap {
			continue
		}
		if len(holds) == 0 {
			// The file could not be read at all; by custom it is named by its id.
			if strings.TrimSuffix(path.Base(pr.File), path.Ext(pr.File)) == id {
				return true
			}
			continue
		}
		for _, rec := range holds {
			if rec.Path == pr.File && path.Base(rec.KeyPath(pr.Span)) == part {
				return true
			}
		}
	}
	return false
}

func checkFile(p *lint.Pass, rec *ledger.Record, r ledger.Reference) {
	f, ok := p.L.Files[r.Path]
	switch {
	case r.Path == "":
		p.Report(rec, r.At, lint.Found{
			Message: fmt.Sprintf("%s leads out of the ledger; it is not followed", r.As),
			Fix:     "keep the file in the ledger and name it from the folder of this record",
		})
	case ok && f.Kind != source.Regular:
		p.Report(rec, r.At, lint.Found{
			Message: fmt.Sprintf("%s is a %s; it is not followed", r.As, f.Kind),
			Fix:     "put the file itself there",
		})
	case !ok && !folder(p, r.Path):
		found := lint.Found{Message: fmt.Sprintf("there is no file %s", r.Path), Fix: "put the file there, correct its name, or take the reference out"}
		if n := nearestFile(p, r.Path); n != "" {
			found.Fix = fmt.Sprintf("did you mean %s?", fromFolder(rec, n))
		}
		p.Report(rec, r.At, found)
	}
}

// folder reports whether the path is a folder of the ledger.
func folder(p *lint.Pass, name string) bool {
	if name == "." {
		return true
	}
	for f := range p.L.Files {
		if strings.HasPrefix(f, name+"/") {
			return true
		}
	}
	return false
}

// nearestFile finds the file whose path, or whose name in another folder, is
// closest.
func nearestFile(p *lint.Pass, name string) string {
	var among, elsewhere []string
	for f := range p.L.Files {
		if strings.EqualFold(path.Base(f), path.Base(name)) {
			elsewhere = append(elsewhere, f)
		}
		among = append(among, f)
	}
	slices.Sort(among)
	if best := ledger.Nearest(name, among, 3); best != "" {
		return best
	}
	slices.Sort(elsewhere)
	if len(elsewhere) > 0 {
		return elsewhere[0]
	}
	return ""
}

// fromFolder is the path of a file as the record names it.
func fromFolder(rec *ledger.Record, file string) string {
	from := strings.Split(path.Dir(rec.Path), "/")
	if from[0] == "." {
		from = nil
	}
	to := strings.Split(file, "/")
	for len(from) > 0 && len(to) > 1 && from[0] == to[0] {
		from, to = from[1:], to[1:]
	}
	return strings.Repeat("../", len(from)) + strings.Join(to, "/")
}
