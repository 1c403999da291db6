package capture

import (
	"errors"
	"path"
	"strings"
	"time"

	"tenths/ledger"
	"tenths/ledger/study"
)

// Attach adds pictures to the last line that the person took down that day. Where
// there is no such line they are put into the inbox. The error is for pictures that
// cannot be kept at all, and for a disk that does not take them.
func Attach(root string, s *study.Set, a Ask) (*Kept, error) {
	c := &clerk{root: root, s: s, l: s.L, ask: a}
	c.by = c.person(nil)
	k := &Kept{By: c.by, On: a.On}
	p, none, err := c.change(c.by, a.On, func(p *page) (string, *trouble) {
		if p.old == nil || !p.hasLines() {
			return "", because("nothing was taken down by %s on %s", c.by, a.On.Format(time.DateOnly))
		}
		c.file = p.name
		c.takePhotos()
		names := c.photoNames()
		if names == nil {
			return string(p.text), nil
		}
		text, id := p.withPhotos(names)
		k.ID = id
		if t := c.check(p, text, p.recs[0].ID()); t != nil {
			return "", t
		}
		return text, nil
	})
	switch {
	case err != nil:
		c.settlePhotos(nil)
		return nil, err
	case none != nil:
		c.settlePhotos(nil)
		c.photos = nil
		return c.toInbox(k, none.why)
	}
	k.File = p.name
	c.settlePhotos(k)
	if k.Photos == nil {
		return nil, errors.New(strings.Join(k.Warnings, "; "))
	}
	return k, nil
}

// hasLines reports whether a page holds a set or an unsorted line.
func (p *page) hasLines() bool {
	return len(p.recs) > 1 || len(p.recs[0].Data.(*ledger.Inspection).Unsorted) > 0
}

// withPhotos gives the text of the page with pictures named in its last line, and
// the id of that.
func (p *page) withPhotos(names []string) (text, id string) {
	var have []ledger.Text
	var at int
	var clock string
	// The last one by the clock; of equal or unknown times the one below.
	for i := 1; i < len(p.recs); i++ {
		in := p.recs[i].Data.(*ledger.Inspection)
		time, photos, key := in.Time.S, in.Photos, in.ID.Span
		if n := len(in.Pieces); n > 0 {
			row := in.Pieces[n-1]
			time, photos, key = row.Time.S, row.Photos, row.Piece.Span
			if !key.Set() && len(row.Values) > 0 {
				key = row.Values[len(row.Values)-1].Span
			}
		}
		if key.Set() && time >= clock {
			clock, id, have, at = time, p.recs[i].ID(), photos, p.below(key)
		}
	}
	for _, u := range p.recs[0].Data.(*ledger.Inspection).Unsorted {
		if u.Time.S > clock || id == "" || u.Time.S == clock && u.Line.Start > at {
			clock, id, have = u.Time.S, u.ID.S, u.Photos
			at = p.below(u.Line.Span)
		}
	}
	if n := len(have); n > 0 {
		at = have[n-1].End
		added := ""
		for _, name := range names {
			added += ", " + ledger.Quote(name)
		}
		return string(p.text[:at]) + added + string(p.text[at:]), id
	}
	var l lines
	l.list("photos", names)
	return string(p.text[:at]) + l[0] + p.newline + string(p.text[at:]), id
}

// below is where the line after that of a key begins.
func (p *page) below(key ledger.Span) int {
	return key.End + strings.IndexByte(string(p.text[key.End:]), '\n') + 1
}

// toInbox keeps pictures that belong to no line yet.
func (c *clerk) toInbox(k *Kept, why string) (*Kept, error) {
	for _, from := range c.ask.Photos {
		if inside := c.inLedger(from); strings.HasPrefix(inside, Inbox+"/") {
			k.Photos = append(k.Photos, inside)
			continue
		}
		p := photo{from: from}
		data, err := readPhoto(from)
		ext := pictureKind(data)
		if err == nil && ext == "" {
			err = errors.New("it is no picture of a kind that is known: jpg, png, gif, webp, heic")
		}
		if err == nil {
			err = c.copyPhoto(&p, path.Join(Inbox, c.ask.On.Format(time.DateOnly)), ext, data)
		}
		if err != nil {
			k.Warnings = append(k.Warnings, "the picture "+ledger.Printable(path.Base(from))+" was not kept: "+ledger.Printable(err.Error()))
			continue
		}
		k.Photos = append(k.Photos, p.name)
	}
	if k.Photos == nil {
		return nil, errors.New(strings.Join(k.Warnings, "; "))
	}
	k.Remarks = append(k.Remarks, why+"; it waits in the inbox")
	return k, nil
}
