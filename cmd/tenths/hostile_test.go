package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// evil is what a text of a ledger may hold so that a terminal would obey it or
// show something else: a line end, C1 control, and signs that turn the direction.
const evil = `a\rFAKE\u202Eb\u2028c`

// Nothing in a ledger reaches the terminal as a command to it, whichever command
// prints it: neither a file name, nor a title, nor the name of a value.
func TestNothingReachesTheTerminal(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "led\x1b[31mger\u202e")
	write := func(name, text string) {
		file := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	}
	write("tenths.toml", "shop = \""+evil+"\"\nunits = \"in\"\nprivate = [\"x"+evil+"\"]\n")
	write("P\x1b[31m-11\u009b.md", "+++\nkind = \"part\"\nid = \"P-11\"\ntitle = \""+evil+"\"\nmaterial = \""+evil+"\"\nstate = \"in use\"\n"+
		"[[characteristic]]\nid = \"W\"\ntitle = \""+evil+"\"\ntype = \"step\"\nlimits = \"0 ±0.001\"\nproud = \"P-21\"\nagainst = \"P-22\"\n"+
		"[[characteristic.point]]\nid = \"K1\"\nat = [1, 1]\nnormal = [0, 1]\n"+
		"[[derived]]\nname = \"x"+evil+"\"\nformula = \"2*in\"\nvalue = \"1 in\"\n"+
		"[[derived]]\nname = \"k"+evil+"\"\nformula = \"2*in\"\nvalue = \"1 in\"\nkeep = \""+evil+"\"\n"+
		"[[derived]]\nname = \"y"+evil+"\"\nformula = \"a\"\nwhere = { a = \""+evil+"\" }\n+++\n\n![x](p\u202e.jpg)\n")
	write("g.md", "+++\nkind = \"gauge\"\nid = \"G1\"\ntitle = \""+evil+"\"\ntype = \""+evil+"\"\nserial = \""+evil+"\"\nstate = \"in service\"\n[[calibration]]\non = 2024-01-01\nresult = \"does not conform\"\nas_found = \"0.001\"\nlook_back = \""+evil+"\"\n+++\n")
	for i, on := range []string{"2024-02-01", "2024-04-01"} {
		write("i"+on+".md", "+++\nkind = \"inspection\"\nid = \"IN-"+string(rune('1'+i))+"\"\ntitle = \""+evil+"\"\non = "+on+"\ngauge = \"G1\"\nby = \""+evil+"\"\nlot = \""+evil+"\"\ndoubt = \""+evil+"\"\ncharacteristic = \"P-11/W\"\npoints = [\""+evil+"\"]\n[[reading]]\npiece = \""+evil+"\"\nvalues = \"0.0005\"\n[[reading]]\nvalues = \"0.0004\"\n+++\n")
	}
	write("c.md", "+++\nkind = \"change\"\nid = \"CH-1\"\ntitle = \""+evil+"\"\nopened = 2024-01-01\ndone = 2024-03-01\nstate = \"done\"\ncharacteristic = \"P-11/W\"\ncomplaint = \""+evil+"\"\nfactor = \""+evil+"\"\nlesson = \""+evil+"\"\nroll_back = \""+evil+"\"\nside_effects = \""+evil+"\"\ngoal = \""+evil+"\"\nbefore = \"IN-1\"\nafter = \"IN-2\"\ncost = \""+evil+"\"\npublic = true\n+++\n")
	write("i3.md", "+++\nkind = \"inspection\"\nid = \"IN-3\"\ntitle = \""+evil+"\"\non = 2024-02-01\ngauge = \"G1\"\ncharacteristic = \"P-11/W\"\nreadings = [0.0050, 0.0060]\n+++\n")
	for _, id := range []string{"P-21", "P-22"} {
		write(id+".md", "+++\nkind = \"part\"\nid = \""+id+"\"\ntitle = \""+evil+"\"\nmaterial = \""+evil+"\"\nstate = \"in use\"\n"+
			"[[feature]]\nid = \"H1\"\ntype = \"hole\"\nat = [0, 0]\nsize = \"0.1880\"\n[[feature]]\nid = \"H2\"\ntype = \"hole\"\nat = [2, 0]\nsize = \"0.1880\"\n+++\n")
		write("F"+id+".md", "+++\nkind = \"fixture\"\nid = \"F"+id+"\"\ntitle = \""+evil+"\"\nstate = \"in use\"\n[[station]]\nid = \"A\"\npart = \""+id+"\"\nface = \""+evil+"\"\n"+
			"[[station.locator]]\nid = \"P1\"\ntype = \"round pin\"\nengages = \"H1\"\nsize = \"0.1875\"\nmade_by = \""+evil+"\"\n[[station.locator]]\nid = \"P2\"\ntype = \"round pin\"\nengages = \"H2\"\nsize = \"0.1875\"\n+++\n")
	}
	for _, id := range []string{"CH-2", "CH-3"} {
		planned := "what = \"FP-21/A/P1\"\noff = [\"0 tenths\", \"0 tenths\"]\n[[planned]]\nwhat = \"" + evil + "\"\n"
		if id == "CH-3" {
			planned = "what = \"FP-21/A/P2\"\ntype = \"relieved pin\"\nland = \"0.05\"\nrelieved_along = \"" + evil + "\"\n"
		}
		write(id+".md", "+++\nkind = \"change\"\nid = \""+id+"\"\ntitle = \""+evil+"\"\nstate = \"agreed\"\ncharacteristic = \"P-11/W\"\nbefore = \"IN-3\"\n[[planned]]\n"+planned+"+++\n")
	}
	write("inbox/n\u202e.txt", "W +1 \x1b[31m \u202e note: x photo: p\u202e.png\n")
	write("inbox/q\u202e.png", "")
	write("m.md", "+++\nkind = \"machine\"\nid = \"M1\"\ntitle = \""+evil+"\"\n[[runs_with]]\non = 2024-01-02\nwhat = \""+evil+"\"\nis = \""+evil+"\"\n[[runs_with]]\non = 2024-03-02\nwhat = \""+evil+"\"\nis = \"x"+evil+"\"\nnote = \""+evil+"\"\n+++\n")
	write("t.md", "+++\nkind = \"tool\"\nid = \"T1\"\ntitle = \""+evil+"\"\ntype = \""+evil+"\"\nlife = \"9 parts\"\n[[was]]\nuntil = 2024-03-02\nlife = \"5 parts\"\n+++\n")
	lot := "a\rFAKE\u202Eb\u2028c"
	write("bad\u202e.md", "+++\nkind = \"\u009b\"\n")
	seen := 0
	for _, args := range [][]string{
		{"lint"}, {"lint", "--format", "json"}, {"lint", "--format", "sarif"}, {"derive"}, {"derive", "--check"}, {"derive", "--format", "json"}, {"show", "P-11"}, {"show", "P-11", "--format", "json"}, {"show", "G1"}, {"show", "IN-1"}, {"show", "CH-1"},
		{"derive", "--why"}, {"derive", "--why", "--format", "json"}, {"show", lot}, {"show", lot, "--format", "json"}, {"show", "M1"}, {"compare", "2024-01-15", "2024-05-01"}, {"compare", "2024-01-15", "2024-05-01", "--for", "W"}, {"compare", lot, "2024-05-01", "--format", "json"}, {"compare", "\x1b\u202e"},
		{"trace", "P-11"}, {"trace", "P-11", "--format", "svg"}, {"trace", "--suspect", "G1"}, {"diagnose", "IN-3"}, {"diagnose", "IN-3", "--format", "json"}, {"diagnose", "IN-3", "--format", "html"}, {"predict", "CH-1"}, {"predict", "CH-2"}, {"predict", "CH-3"}, {"predict", "CH-2", "--format", "json"}, {"predict", "CH-2", "--format", "html"}, {"due"}, {"report", "CH-1", "--private"}, {"report", "CH-1", "--format", "html"}, {"report", "CH-1", "--format", "json"}, {"report", "--since", "2024-01-01"}, {"report", "P-11", "--format", "html"}, {"report", "P-11", "--format", "json"}, {"inbox"}, {"inbox", "--format", "json"}, {"changelog"}, {"changelog", "--public"}, {"changelog", "--format", "json"},
		{"derive", "--write"}, {"new", "part", "P-12"}, {"new", "part", "P-11"}, {"new", "part", "a\x1bb"}, {"new", "a\u009bb", "X"}, {"show", "\x1b\u202e"}, {"explain", "\x1b\u202e"}, {"\x1b\u202e"}, {"init", "sub\u202e"},
	} {
		if args[0] != "init" && args[0] != "explain" && !strings.HasPrefix(args[0], "\x1b") {
			args = append(args, "-C", dir)
		}
		var out, err bytes.Buffer
		// From the folder above, so that the name of the folder is printed too.
		code := run(args, env{&out, &err, filepath.Dir(dir), time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)})
		if args[0] == "diagnose" || args[0] == "predict" {
			assert.Equal(t, exitOK, code, err.String())
		}
		text := out.String() + err.String()
		seen += strings.Count(text, "FAKE")
		assert.True(t, utf8.ValidString(text), "%v", args)
		assert.NotContains(t, text, "\nFAKE", "%v: a line of its own", args)
		if i := strings.IndexFunc(text, func(r rune) bool { return r != '\n' && !unicode.IsPrint(r) }); i >= 0 {
			t.Errorf("%v prints %q", args, text[max(0, i-40):min(len(text), i+20)])
		}
	}
	assert.Greater(t, seen, 60, "the texts are printed at all")
}
