package report

import (
	"bytes"
	"encoding/base64"
	"image"
	_ "image/jpeg" // registers the decoder that photos are checked with
	_ "image/png"  // as above
	"path"
	"strings"

	"tenths/ledger"
	"tenths/ledger/source"
)

const (
	maxPhoto   = 300_000 // bytes of a photo that is put into a page
	maxPhotos  = 2       // same angle, same light: one before, one after
	maxPixels  = 40_000_000
	maxAlt     = 300 // bytes of the words for a picture
	pngHeader  = "\x89PNG\r\n\x1a\n"
	jpegHeader = "\xff\xd8"
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
	switch format {
	case "png":
		b = strippedPNG(b)
	case "jpeg":
		b = strippedJPEG(b)
	default:
		return ""
	}
	if b == nil {
		return ""
	}
	return "data:image/" + format + ";base64," + base64.StdEncoding.EncodeToString(b)
}

// strippedPNG keeps the chunks that make the picture (PNG, W3C
// Recommendation, clause 11) and drops texts, times and camera data; nil if
// the file is not whole.
func strippedPNG(b []byte) []byte {
	if !bytes.HasPrefix(b, []byte(pngHeader)) {
		return nil
	}
	out := []byte(pngHeader)
	for rest := b[len(pngHeader):]; ; {
		if len(rest) < 12 {
			return nil
		}
		n := int(rest[0])<<24 | int(rest[1])<<16 | int(rest[2])<<8 | int(rest[3])
		if n > len(rest)-12 {
			return nil
		}
		kind := string(rest[4:8])
		switch kind {
		case "IHDR", "PLTE", "IDAT", "IEND", "tRNS", "gAMA", "cHRM", "sRGB", "sBIT":
			out = append(out, rest[:12+n]...)
		}
		if kind == "IEND" {
			return out
		}
		rest = rest[12+n:]
	}
}

// strippedJPEG keeps the segments that make the picture (ITU-T T.81, annex B)
// and drops comments and application data: place, time and device. Of the
// camera data only the orientation is kept, without which a photo would lie on
// its side. What stands behind the end of the image is dropped too: some
// phones hide a second picture there. nil if the file is not whole.
func strippedJPEG(b []byte) []byte {
	if !bytes.HasPrefix(b, []byte(jpegHeader)) {
		return nil
	}
	out := []byte(jpegHeader)
	for i := 2; ; {
		for i+1 < len(b) && b[i] == 0xff && b[i+1] == 0xff {
			i++ // fill bytes
		}
		if i+2 > len(b) || b[i] != 0xff {
			return nil
		}
		kind := b[i+1]
		if kind == 0xd9 {
			return append(out, 0xff, kind)
		}
		if i+4 > len(b) {
			return nil
		}
		n := int(b[i+2])<<8 | int(b[i+3])
		if n < 2 || i+2+n > len(b) {
			return nil
		}
		segment := b[i : i+2+n]
		i += 2 + n
		switch {
		case kind == 0xe1:
			if o := orientation(segment[4:]); o > 1 {
				out = append(out, orientationSegment(o)...)
			}
		case kind == 0xe0 || kind == 0xee || kind < 0xe0: // JFIF and Adobe colour say how to read it
			out = append(out, segment...)
		}
		if kind == 0xda { // a scan: coded data up to the next marker
			start := i
			for i < len(b) && (b[i] != 0xff || i+1 < len(b) && (b[i+1] == 0 || b[i+1] >= 0xd0 && b[i+1] <= 0xd7)) {
				i++
			}
			out = append(out, b[start:i]...)
		}
	}
}

// orientation reads tag 0x0112 of the first directory of camera data (Exif
// 2.3, 4.6.4); 0 if there is none.
func orientation(b []byte) byte {
	b, ok := bytes.CutPrefix(b, []byte("Exif\x00\x00"))
	if !ok || len(b) < 8 {
		return 0
	}
	u16 := func(i int) int { return int(b[i])<<8 | int(b[i+1]) }
	u32 := func(i int) int { return u16(i)<<16 | u16(i+2) }
	switch string(b[:2]) {
	case "MM":
	case "II":
		u16 = func(i int) int { return int(b[i+1])<<8 | int(b[i]) }
		u32 = func(i int) int { return u16(i+2)<<16 | u16(i) }
	default:
		return 0
	}
	at := u32(4)
	if at < 8 || at > len(b)-2 {
		return 0
	}
	for k := range u16(at) {
		e := at + 2 + 12*k
		if e > len(b)-12 {
			return 0
		}
		if u16(e) == 0x0112 {
			if v := u16(e + 8); v >= 1 && v <= 8 {
				return byte(v)
			}
			return 0
		}
	}
	return 0
}

// orientationSegment is camera data that holds the orientation and nothing else.
func orientationSegment(o byte) []byte {
	body := "Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00" + string([]byte{o}) + "\x00\x00\x00\x00\x00\x00"
	return append([]byte{0xff, 0xe1, 0, byte(len(body) + 2)}, body...)
}
