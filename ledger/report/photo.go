package report

import (
	"bytes"
	"encoding/base64"
	"image"
	"path"
	"strings"

	"tenths/ledger"
	"tenths/ledger/source"
)

const (
	maxPhoto  = 300_000 // bytes of a photo that is put into a page
	maxPhotos = 2       // same angle, same light: one before, one after
	maxPixels = 16_000_000
	maxAlt    = 300 // bytes of the words for a picture
)

// photos lists the pictures of a record: those under photos first, then those
// in its notes. The first two small ones are put into the page, without what
// the camera wrote into them.
func photos(l *ledger.Ledger, rec *ledger.Record, from source.Source) []Photo {
	out := []Photo{}
	seen := map[string]bool{}
	inside := 0
	add := func(target, alt string) {
		p := l.Beside(rec, target)
		if p == "" || seen[p] {
			return
		}
		seen[p] = true
		ph := Photo{File: line(p), Alt: line(alt)}
		if ph.Alt == "" {
			ph.Alt = "photo " + strings.TrimSuffix(line(path.Base(p)), path.Ext(p))
		}
		if inside < maxPhotos {
			if ph.Data = dataURI(l, p, from); ph.Data != "" {
				inside++
			}
		}
		out = append(out, ph)
	}
	alts := map[string]string{}
	for _, link := range rec.Body.Links {
		if link.Image {
			if p := l.Beside(rec, link.Target); p != "" {
				alts[p] = altText(rec, link)
			}
		}
	}
	for _, p := range rec.Common.Photos {
		add(p.S, alts[l.Beside(rec, p.S)])
	}
	for _, link := range rec.Body.Links {
		if link.Image && !strings.Contains(link.Target, ":") {
			add(link.Target, altText(rec, link))
		}
	}
	return out
}

// altText is what stands between the brackets before a picture's target in the
// notes, without marks of emphasis; empty if it is not found.
func altText(rec *ledger.Record, l ledger.Link) string {
	before, ok := bytes.CutSuffix(rec.Src[:max(0, min(l.Start, len(rec.Src)))], []byte("]("))
	if !ok {
		return ""
	}
	at := bytes.LastIndex(before, []byte("!["))
	if at < 0 || len(before)-at > maxAlt {
		return ""
	}
	return strings.NewReplacer("*", "", "_", "", "`", "").Replace(string(before[at+2:]))
}

// dataURI reads a small PNG or JPEG; empty for anything else.
func dataURI(l *ledger.Ledger, p string, from source.Source) string {
	f, ok := l.Files[p]
	if from == nil || !ok || f.Kind != source.Regular || f.Size > maxPhoto {
		return ""
	}
	b, err := from.Read(p)
	if err != nil || len(b) > maxPhoto {
		return ""
	}
	cfg, format, err := image.DecodeConfig(bytes.NewReader(b))
	if err != nil || cfg.Width*cfg.Height > maxPixels {
		return ""
	}
	if b = pictureOnly(b); b == nil {
		return ""
	}
	return "data:image/" + format + ";base64," + base64.StdEncoding.EncodeToString(b)
}
