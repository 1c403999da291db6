package report

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
)

// jpegQuality is that of photos in a page: a difference to the original is not
// seen.
const jpegQuality = 90

// pictureOnly is a PNG or JPEG drawn anew, so that nothing is left of it but what
// can be seen: no place, time, device, comment, profile, preview or second
// picture. A photo that a camera held on its side is put upright, since the mark
// for that is gone too. nil if it cannot be read.
func pictureOnly(b []byte) []byte {
	m, format, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		return nil
	}
	var out bytes.Buffer
	switch format {
	case "png":
		err = png.Encode(&out, m)
	case "jpeg":
		err = jpeg.Encode(&out, upright(m, orientationOf(b)), &jpeg.Options{Quality: jpegQuality})
	default:
		return nil
	}
	if err != nil {
		return nil
	}
	return out.Bytes()
}

// upright turns and mirrors a picture as its orientation says (Exif 2.3, 4.6.4,
// tag Orientation); what is no orientation leaves it alone.
func upright(m image.Image, orientation byte) image.Image {
	if orientation < 2 || orientation > 8 {
		return m
	}
	from := m.Bounds()
	w, h := from.Dx(), from.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if orientation > 4 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			left, down := w-1-x, h-1-y
			to := [2]int{}
			switch orientation {
			case 2:
				to = [2]int{left, y}
			case 3:
				to = [2]int{left, down}
			case 4:
				to = [2]int{x, down}
			case 5:
				to = [2]int{y, x}
			case 6:
				to = [2]int{down, x}
			case 7:
				to = [2]int{down, left}
			case 8:
				to = [2]int{y, left}
			}
			out.Set(to[0], to[1], m.At(from.Min.X+x, from.Min.Y+y))
		}
	}
	return out
}

// orientationOf looks for camera data in the segments that stand before the
// picture itself (ITU-T T.81, annex B); 0 if there is none.
func orientationOf(b []byte) byte {
	for i := 2; i+4 <= len(b) && b[i] == 0xff; {
		kind, n := b[i+1], int(b[i+2])<<8|int(b[i+3])
		switch {
		case kind == 0xff: // a fill byte
			i++
			continue
		case kind == 0xda || n < 2 || i+2+n > len(b):
			return 0
		case kind == 0xe1:
			if o := orientation(b[i+4 : i+2+n]); o > 0 {
				return o
			}
		}
		i += 2 + n
	}
	return 0
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
