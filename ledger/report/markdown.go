package report

import (
	"regexp"
	"strings"
)

var entity = regexp.MustCompile(`&(#?\w+;)`)

// md makes text of a ledger fit for Markdown: on one line, with the letters
// escaped that would make it markup, raw HTML above all.
func md(s string) string {
	s = line(s)
	s = strings.NewReplacer(`\`, `\\`, "`", "\\`", "*", `\*`, "[", `\[`, "]", `\]`, "<", `\<`, "|", `\|`, "~~", `\~\~`).Replace(s)
	s = entity.ReplaceAllString(s, `\&$1`)
	// An underscore inside a word is no markup.
	var b strings.Builder
	runes := []rune(s)
	for i, r := range runes {
		if r == '_' && (i == 0 || i == len(runes)-1 || !letter(runes[i-1]) || !letter(runes[i+1])) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// mdStart is md for text that begins a line or a list item, where a sign could
// begin a list, a heading or a quotation.
func mdStart(s string) string {
	s = md(s)
	if s != "" && strings.ContainsRune(">#+-=", rune(s[0])) {
		return `\` + s
	}
	return s
}

func letter(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r > 0x7f
}

// mdTable writes a table; the first row is the head.
func mdTable(b *strings.Builder, rows [][]string) {
	for i, row := range rows {
		b.WriteString("| " + strings.Join(row, " | ") + " |\n")
		if i == 0 {
			b.WriteString("|" + strings.Repeat(" --- |", len(row)) + "\n")
		}
	}
	b.WriteByte('\n')
}

// escaped makes a table of ledger text fit for Markdown.
func escaped(rows [][]string) [][]string {
	for i := range rows {
		for j := range rows[i] {
			rows[i][j] = md(rows[i][j])
		}
	}
	return rows
}
