package ledger

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable makes text from a ledger, from git or from a command line fit for
// one line of a terminal or a page; whatever is shown to a person goes through
// it. White space and line ends become spaces. What has no shape of its own is
// shown as its code, such as \u001b: control characters of both sets (ISO 6429),
// which could move the cursor, the marks that turn the direction of writing
// (Unicode Standard Annex 9), and other invisible characters. Bytes that are no
// UTF-8 become the sign for that.
func Printable(s string) string {
	if utf8.ValidString(s) && strings.IndexFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case !unicode.IsPrint(r):
			fmt.Fprintf(&b, "\\u%04x", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// PrintableLines is Printable for a message of several lines: its line feeds,
// and no other line ends, stay.
func PrintableLines(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = Printable(strings.TrimSuffix(l, "\r"))
	}
	return strings.Join(lines, "\n")
}

// WriteJSON prints v as one indented JSON document (RFC 8259). No character that
// a terminal could obey stands in it as itself: such are written as \u and four
// digits, which readers of JSON turn back.
func WriteJSON(w io.Writer, v any) error {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	var b strings.Builder
	b.Grow(buf.Len())
	// Outside of strings the encoder writes ASCII and line feeds only.
	for _, r := range buf.String() {
		switch {
		case r == '\n' || unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			r -= 0x10000
			fmt.Fprintf(&b, "\\u%04x\\u%04x", 0xd800+r>>10, 0xdc00+r&0x3ff)
		default:
			fmt.Fprintf(&b, "\\u%04x", r)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
