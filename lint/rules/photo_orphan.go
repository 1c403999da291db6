package rules

import (
	"bytes"
	"fmt"
	"path"
	"slices"
	"strings"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/lint"
)

var photoOrphan = &lint.Rule{
	Name:     "photo-orphan",
	Severity: lint.Note,
	Title:    "a picture that no record names",
	Page: lint.Page{
		What:    "Each picture file of the ledger (jpg, jpeg, png, heic, webp, gif) is looked for in the records: under photos, also of single readings, and in the pictures and links of the notes. That a named picture is there is checked by reference-broken. Pictures of the last two days, by the day in their name, wait to be sorted, and so do those in the folder inbox until the day in their name is older; the inbox is then told as one.",
		Why:     "A picture that nothing names cannot be found when it would explain the fix.",
		Source:  "Common practice: every picture is named by a record, and every picture that is named is there.",
		Cure:    "Name it in the record that it belongs to, under photos or in the notes, or remove it; tenths record PATH VALUE... --photo FILE keeps one with a reading.",
		Concede: "Pictures just taken and not sorted yet are only notes, and stop nothing. A shop that keeps loose pictures sets photo-orphan = \"off\" under rules in tenths.toml.",
	},
	Check: checkPhotoOrphan,
}

// waitingDays is how long a picture may wait to be sorted, by the day in its name
// (common practice).
const waitingDays = 2

// looseAtMost is how many pictures of one folder are told one by one.
const looseAtMost = 5

func checkPhotoOrphan(p *lint.Pass) {
	meant := meantPictures(p)
	var late []string // of the inbox
	byFolder := map[string][]string{}
	var folders []string
	for name, f := range p.L.Files {
		if f.Kind != source.Regular || !ledger.IsPicture(name) || p.L.Named(name) || meant[name] || inUnreadable(p, name) {
			continue
		}
		taken, dated := ledger.DayInName(name)
		fresh := dated && !taken.Before(p.AsOf.AddDate(0, 0, -waitingDays))
		if strings.HasPrefix(name, ledger.Inbox+"/") {
			if dated && !fresh {
				late = append(late, name)
			}
			continue
		}
		if fresh {
			continue
		}
		dir := path.Dir(name)
		if byFolder[dir] == nil {
			folders = append(folders, dir)
		}
		byFolder[dir] = append(byFolder[dir], name)
	}
	if late != nil {
		slices.Sort(late)
		message := "this picture waits in the inbox for more than two days"
		if n := len(late); n > 1 {
			message = fmt.Sprintf("this picture and %d more wait in the inbox for more than two days", n-1)
		}
		p.ReportFile(late[0], nil, ledger.Span{}, lint.Found{Message: message, Fix: "tenths inbox lists what waits; tenths record PATH VALUE... --photo FILE keeps a picture with a reading"})
	}
	slices.Sort(folders)
	for _, dir := range folders {
		names := byFolder[dir]
		slices.Sort(names)
		if len(names) > looseAtMost {
			p.ReportFile(names[0], nil, ledger.Span{}, lint.Found{
				Message: fmt.Sprintf("this picture and %d more in the folder %s are named by no record", len(names)-1, dir),
				Fix:     "name each under photos in the record that it belongs to, or remove it",
			})
			continue
		}
		for _, name := range names {
			p.ReportFile(name, nil, ledger.Span{}, lint.Found{
				Message: "no record names this picture",
				Fix:     "name it under photos in the record that it belongs to, or remove it",
			})
		}
	}
}

// meantPictures are the pictures that reference-broken offers for a name that
// leads nowhere.
func meantPictures(p *lint.Pass) map[string]bool {
	out := map[string]bool{}
	for _, rec := range p.L.Records {
		for _, r := range p.L.References(rec) {
			if _, there := p.L.Files[r.Path]; r.File && !there && r.Path != "" {
				out[nearestFile(p, r.Path)] = true
			}
		}
	}
	return out
}

// inUnreadable reports whether the picture's name stands in a record that could
// not be read, and so may well be named there.
func inUnreadable(p *lint.Pass, name string) bool {
	for _, pr := range p.L.Problems {
		if pr.Kind == ledger.Unreadable && bytes.Contains(pr.Src, []byte(path.Base(name))) {
			return true
		}
	}
	return false
}
