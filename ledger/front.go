package ledger

import "bytes"

// front finds the front matter: the lines between a first line +++ and the next
// line +++. A line +++ inside a long TOML string ends it all the same.
// ok is false if the file does not begin with +++; closed is false if the
// second line is missing.
func front(src []byte) (keys Span, body int, ok, closed bool) {
	first, next := line(src, 0)
	if string(trimEnd(first)) != "+++" {
		return Span{}, 0, false, false
	}
	start := next
	for next < len(src) {
		at := next
		var l []byte
		l, next = line(src, next)
		if string(trimEnd(l)) == "+++" {
			return Span{Start: start, End: at}, next, true, true
		}
	}
	return Span{Start: start, End: len(src)}, len(src), true, false
}

// line gives the line that begins at i, without its line feed, and where the
// next one begins.
func line(src []byte, i int) ([]byte, int) {
	if n := bytes.IndexByte(src[i:], '\n'); n >= 0 {
		return src[i : i+n], i + n + 1
	}
	return src[i:], len(src)
}

func trimEnd(l []byte) []byte { return bytes.TrimRight(l, " \t\r") }
