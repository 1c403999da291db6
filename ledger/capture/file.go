package capture

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"tenths/ledger"
)

// Folder is the folder of the files of readings; each year has one of its own.
const Folder = "readings"

// page is a file of readings as it stands.
type page struct {
	name, id string
	old      []byte // nil if there is no file yet
	text     []byte
	recs     []*ledger.Record
	problems int
	newline  string
}

// change adds to the file of the person and day, or to the next one of the two if
// that one cannot take it: one that was broken by hand, that is full, or that
// belongs to a person whose name looks alike. add gives the text that the page is
// to have, or why it cannot be.
func (c *clerk) change(by string, on time.Time, add func(*page) (string, *trouble)) (*page, *trouble, error) {
	first, _ := pageNames(by, on, 1)
	locked := !c.unlocked
	if !c.dry {
		unlock, err := ledger.LockFolder(c.root, first)
		switch {
		case err == nil:
			defer unlock()
		case errors.Is(err, ledger.ErrNoLock):
			locked = false
		default:
			return nil, nil, err
		}
	}
	for n, tries := 1, 0; tries < mostPages; n, tries = n+1, tries+1 {
		p := &page{newline: "\n"}
		p.name, p.id = pageNames(by, on, n)
		old, err := ledger.ReadFile(c.root, p.name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			p.text = []byte(c.head(p.id, by, on))
			p.recs, _ = c.l.Parse(p.text, p.name)
		case err != nil || !locked:
			// Without a lock nobody may change a file that another may be changing.
			continue
		default:
			p.old, p.text = old, old
			var problems []ledger.Problem
			p.recs, problems = c.l.Parse(old, p.name)
			p.problems = len(problems)
			if !p.belongs(by, on) {
				continue
			}
			if strings.HasPrefix(string(old), "+++\r\n") {
				p.newline = "\r\n"
			}
		}
		text, t := add(p)
		if t != nil {
			return nil, t, nil
		}
		if len(text) > ledger.MaxRecord {
			if p.old == nil {
				return nil, because("more than a file of %d bytes holds", ledger.MaxRecord), nil
			}
			continue
		}
		if c.dry {
			err = nil
		} else if p.old == nil {
			err = ledger.CreateFile(c.root, p.name, text)
			if errors.Is(err, fs.ErrExist) {
				continue
			}
		} else {
			err = ledger.WriteFile(c.root, p.name, p.old, []byte(text))
			if errors.Is(err, ledger.ErrChanged) {
				n-- // an editor saved it: look at it again
				continue
			}
		}
		if err != nil {
			return nil, nil, err
		}
		p.text = []byte(text)
		p.recs, _ = c.l.Parse(p.text, p.name)
		return p, nil, nil
	}
	return nil, nil, fmt.Errorf("%s cannot be written, nor any file of that day beside it; nothing was kept", first)
}

// mostPages is how many files of one person and day are tried.
const mostPages = 10_000

// belongs reports whether a file holds the readings of the person and day.
func (p *page) belongs(by string, on time.Time) bool {
	if len(p.recs) == 0 || p.recs[0].ID() != p.id {
		return false
	}
	in, ok := p.recs[0].Data.(*ledger.Inspection)
	return ok && in.By.S == by && in.On.Set() && in.On.T.Equal(on) && !in.HasReadings()
}

// pageNames gives the path and id of the nth file of a person and day.
func pageNames(by string, on time.Time, n int) (name, id string) {
	base := on.Format(time.DateOnly) + "-" + slug(by)
	if n > 1 {
		base += "-" + strconv.Itoa(n)
	}
	return path.Join(Folder, on.Format("2006"), base+".md"), "R-" + base
}

// longestSlug keeps the ids of sets within the 40 characters of an id.
const longestSlug = 18

// slug is a name of a person as a part of ids and file names.
func slug(by string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(by) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	s := strings.Trim(b.String(), "-")
	s = strings.Trim(s[:min(len(s), longestSlug)], "-")
	if s == "" {
		return "x"
	}
	return s
}

func (c *clerk) head(id, by string, on time.Time) string {
	day := on.Format(time.DateOnly)
	return fmt.Sprintf("+++\nkind = \"inspection\"\nid = %q\ntitle = %s\nunits = %q\nstate = \"valid\"\non = %s\nby = %s\n+++\n\n## What was odd\n",
		id, ledger.Quote("Readings of "+by+" on "+day), c.fileUnits(), day, ledger.Quote(by))
}

// next is a number that no entry or line of the page has: a number is never used
// again, even if the last one was taken out by hand.
func (p *page) next(mark string) string { return p.counter(mark)() }

// counter gives one number after the other.
func (p *page) counter(mark string) func() string {
	most := 0
	see := func(id string) {
		if rest, ok := strings.CutPrefix(id, p.id+"."+mark); ok {
			if n, err := strconv.Atoi(rest); err == nil {
				most = max(most, n)
			}
		}
	}
	for _, rec := range p.recs {
		see(rec.ID())
	}
	for _, u := range p.recs[0].Data.(*ledger.Inspection).Unsorted {
		see(u.ID.S)
	}
	return func() string {
		most++
		return p.id + "." + mark + strconv.Itoa(most)
	}
}

// lastOf gives the number of the last set of a characteristic; 0 if there is none.
func (p *page) lastOf(path string) int {
	for i := len(p.recs) - 1; i > 0; i-- {
		if in, ok := p.recs[i].Data.(*ledger.Inspection); ok && in.Characteristic.S == path {
			return i
		}
	}
	return 0
}

// endOf is the offset below the last line of a set, where further pieces of it
// belong.
func (p *page) endOf(i int) int {
	end := p.recs[i].EndOfKeys()
	if i+1 < len(p.recs) && p.recs[i].IsEntry() {
		end = p.recs[i+1].Whole().Start
	}
	// Empty lines, and remarks above the next set, stay with that.
	for {
		above := strings.LastIndexByte(string(p.text[:end-1]), '\n') + 1
		line := strings.TrimSpace(string(p.text[above:end]))
		if line != "" && !strings.HasPrefix(line, "#") {
			return end
		}
		end = above
	}
}

// insert gives the text of the page with lines, and an empty one before them, at a
// place where a line begins.
func (p *page) insert(at int, l lines) string {
	block := p.newline + strings.Join(l, p.newline) + p.newline
	return string(slices.Concat(p.text[:at], []byte(block), p.text[at:]))
}

// lines are the keys of one table; add leaves empty ones out.
type lines []string

func (l *lines) add(key, text string) {
	if text != "" {
		*l = append(*l, key+" = "+ledger.Quote(text))
	}
}

func (l *lines) list(key string, texts []string) {
	if len(texts) == 0 {
		return
	}
	var quoted []string
	for _, t := range texts {
		quoted = append(quoted, ledger.Quote(t))
	}
	*l = append(*l, key+" = ["+strings.Join(quoted, ", ")+"]")
}
