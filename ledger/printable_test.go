package ledger

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPrintable(t *testing.T) {
	for _, tc := range []struct{ in, want, source string }{
		{"Größe ±0.5 µm × 3 → 2", "Größe ±0.5 µm × 3 → 2", "plain text stays"},
		{"a\tb\nc\rd\u0085e\u2028f\u00a0g", "a b c d e f g", "white space and line ends, Unicode Standard 5.8"},
		{"\x1b[31mred\x07\x7f", `\u001b[31mred\u0007\u007f`, "C0 and delete, ISO 6429"},
		{"\u009b31m", `\u009b31m`, "control sequence introducer of C1, ISO 6429"},
		{"x\u202egpj.\u2066y\u200f", `x\u202egpj.\u2066y\u200f`, "directional formatting, Unicode Standard Annex 9"},
		{"Ac\u200bme\u00ad", `Ac\u200bme\u00ad`, "invisible letters"},
		{"a\xffb\x9bc", "a\ufffdb\ufffdc", "no UTF-8"},
	} {
		assert.Equal(t, tc.want, Printable(tc.in), tc.source)
	}
	assert.Equal(t, "a\nb c\n\\u001bd", PrintableLines("a\r\nb\rc\n\x1bd"))
}

// Whatever the text: one line, nothing that a terminal obeys, and no change on
// the second time. A JSON document has nothing of the kind either, and reads
// back as it was.
func TestPrintableProperty(t *testing.T) {
	harmless := func(s string) bool {
		return utf8.ValidString(s) && strings.IndexFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }) < 0
	}
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }),
			rapid.StringOfN(rapid.RuneFrom([]rune{'a', 0x1b, 0x9b, 0x202e, 0x2029, 0x85, '\n', 0xe0001, 0xfeff}), 0, 20, -1)).Draw(rt, "text")
		got := Printable(s)
		if !harmless(got) || got != Printable(got) {
			rt.Fatalf("%q", got)
		}
		for _, l := range strings.Split(PrintableLines(s), "\n") {
			if !harmless(l) {
				rt.Fatalf("%q", l)
			}
		}
		var b bytes.Buffer
		require.NoError(rt, WriteJSON(&b, map[string]string{"k": s}))
		if !harmless(strings.ReplaceAll(b.String(), "\n", "")) {
			rt.Fatalf("%q", b.String())
		}
		var back map[string]string
		require.NoError(rt, json.Unmarshal(b.Bytes(), &back))
		if utf8.ValidString(s) && back["k"] != s {
			rt.Fatalf("%q became %q", s, back["k"])
		}
	})
}
