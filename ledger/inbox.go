package ledger

import (
	"path"
	"regexp"
	"strings"
	"time"
)

// Inbox is the folder into which notes and pictures are dropped, to be taken over
// later. Markdown in it holds notes and no records.
const Inbox = "inbox"

// IsPicture reports whether a file is a picture by the ending of its name.
func IsPicture(name string) bool {
	switch strings.ToLower(path.Ext(name)) {
	case ".jpg", ".jpeg", ".png", ".heic", ".webp", ".gif":
		return true
	}
	return false
}

var dayInName = regexp.MustCompile(`(?:^|[^0-9])(20\d{2})[-_.]?(\d{2})[-_.]?(\d{2})(?:[^0-9]|$)`)

// DayInName reads the day that stands in the name of a file, as cameras
// and phones write it: IMG_20261125_140500.jpg, 2026-11-25.txt.
func DayInName(name string) (time.Time, bool) {
	m := dayInName.FindStringSubmatch(path.Base(name))
	if m == nil {
		return time.Time{}, false
	}
	day, err := time.Parse(time.DateOnly, m[1]+"-"+m[2]+"-"+m[3])
	return day, err == nil
}
