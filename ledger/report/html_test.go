package report

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
)

// element is an element of a page with its attributes.
type element struct {
	name string
	attr map[string]string
	in   []string // the elements around it
}

// elements reads a page strictly, as XML with the entities of HTML that the
// template writes, and fails if it is not well formed.
func elements(t *testing.T, text string) []element {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	var out []element
	var open []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			require.Empty(t, open)
			return out
		}
		require.NoError(t, err)
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{tok.Name.Local, map[string]string{}, append([]string{}, open...)}
			for _, a := range tok.Attr {
				require.NotContains(t, e.attr, a.Name.Local)
				e.attr[a.Name.Local] = a.Value
			}
			out = append(out, e)
			open = append(open, tok.Name.Local)
		case xml.EndElement:
			open = open[:len(open)-1]
		}
	}
}

// checkPage checks what every page must keep: well formed, one file, no script,
// nothing from elsewhere, named pictures, tables with scoped heads. It leads to
// nothing but its own entries and the addresses given.
func checkPage(t *testing.T, text string, leads ...string) []element {
	t.Helper()
	require.True(t, strings.HasPrefix(text, "<!DOCTYPE html>"))
	list := elements(t, text)
	ids := map[string]bool{}
	var refs []string
	levels := []int{}
	for _, e := range list {
		switch e.name {
		case "script", "iframe", "object", "embed", "form", "input", "base", "audio", "video", "foreignObject", "use":
			t.Errorf("a page has no <%s>", e.name)
		case "a", "link":
			if to, ok := strings.CutPrefix(e.attr["href"], "#"); ok {
				refs = append(refs, to)
			} else {
				assert.Contains(t, leads, e.attr["href"])
			}
			delete(e.attr, "href")
		case "img":
			assert.True(t, strings.HasPrefix(e.attr["src"], "data:image/"), e.attr["src"])
			assert.NotEmpty(t, e.attr["alt"])
		case "svg":
			assert.Equal(t, "img", e.attr["role"])
			assert.NotEmpty(t, e.attr["aria-labelledby"])
		case "th":
			assert.Contains(t, []string{"col", "row"}, e.attr["scope"])
		case "html":
			assert.Equal(t, "en", e.attr["lang"])
		case "h1", "h2", "h3":
			levels = append(levels, int(e.name[1]-'0'))
		}
		for k, v := range e.attr {
			assert.False(t, strings.HasPrefix(k, "on"), "no handler %s", k)
			assert.NotContains(t, []string{"href", "srcset", "style"}, k)
			assert.False(t, strings.Contains(v, "javascript:"), "%s=%q", k, v)
			if k == "id" {
				assert.False(t, ids[v], "id %s stands twice", v)
				ids[v] = true
			}
			if k == "aria-labelledby" {
				refs = append(refs, strings.Fields(v)...)
			}
		}
	}
	for _, r := range refs {
		assert.True(t, ids[r], "nothing has the id %s", r)
	}
	for i, l := range levels {
		if i == 0 {
			assert.Equal(t, 1, l)
			continue
		}
		assert.LessOrEqual(t, l, levels[i-1]+1, "headings leave no level out")
	}
	rest := strings.ReplaceAll(strings.ReplaceAll(text, "http://www.w3.org/2000/svg", ""), "http://www.w3.org/1999/xhtml", "")
	for _, to := range leads {
		rest = strings.ReplaceAll(rest, to, "")
	}
	absent(t, rest, "http:", "https:", "url(", "@import", "//cdn")
	for _, part := range []string{"prefers-color-scheme:dark", "@media print", "default-src 'none'"} {
		assert.True(t, strings.Contains(text, part), part)
	}
	return list
}

func TestPagesAreValid(t *testing.T) {
	s := shop(t)
	for _, rec := range s.L.Records {
		if rec.Kind() != ledger.KindChange {
			continue
		}
		p := page(t, s, rec.ID(), PageOptions{Private: true})
		checkPage(t, printed(t, func(w io.Writer) error { return WriteHTML(w, p) }))
	}
}

// What the plot must show: a dot for each reading, the limit and the goal, and
// the point that got worse in another shape.
func TestPageShowsEveryReading(t *testing.T) {
	p := page(t, shop(t), "CH-01", PageOptions{})
	plot := p.Evidence[0].DotPlot("d", true)
	n := map[string]int{}
	for _, e := range elements(t, plot) {
		n[e.name+" "+e.attr["class"]]++
	}
	// 6 + 6 largest and 36 + 36 readings, and the legend; K5 after is triangles.
	assert.Equal(t, 6+36+1, n["circle before"])
	assert.Equal(t, 6+30+1, n["circle after"])
	assert.Equal(t, 6+1, n["polygon after"])
	assert.Positive(t, n["line limit"])
	assert.Positive(t, n["line goal"])
	assert.Contains(t, plot, ">limit 10<")
	assert.Contains(t, plot, ">goal 5<")
	assert.Contains(t, plot, "K5 got worse")
	assert.NotEmpty(t, p.Evidence[0].Outline("o", true))
	assert.Empty(t, page(t, shop(t), "CH-03", PageOptions{}).Evidence[0].Outline("o", true), "no points")
	assert.Empty(t, page(t, shop(t), "CH-04", PageOptions{}).Evidence[0].DotPlot("d", true), "counts only")
}

// Markup in a ledger stays text in every form.
func TestNoMarkupFromTheLedger(t *testing.T) {
	const evil = `<script>alert(1)</script><img src=x onerror=alert(2)>](javascript:alert(3)) | **bold** &lt; ${7*7}`
	files := shopFiles(t)
	for name, text := range files {
		if !strings.HasPrefix(name, "changes/") && !strings.HasPrefix(name, "parts/") && !strings.HasPrefix(name, "gauges/") {
			continue
		}
		for _, key := range []string{"title", "factor", "lesson", "roll_back", "side_effects", "method", "complaint", "cost", "result"} {
			var out []string
			for _, l := range strings.Split(text, "\n") {
				if strings.HasPrefix(l, key+" = ") && !(key == "result" && strings.HasPrefix(name, "gauges/")) {
					l = key + " = '" + evil + "'"
				}
				out = append(out, l)
			}
			text = strings.Join(out, "\n")
		}
		files[name] = text
	}
	files["tenths.toml"] = strings.Replace(files["tenths.toml"], "Test shop (invented data)", "<script>alert(1)</script>", 1)
	s := setOf(t, files)
	p := page(t, s, "CH-01", PageOptions{Private: true})
	checkPage(t, printed(t, func(w io.Writer) error { return WriteHTML(w, p) }))
	all := printed(t, func(w io.Writer) error { return WriteMarkdown(w, p) })
	log, err := Changelog(s, LogOptions{})
	require.NoError(t, err)
	all += "\n" + printed(t, log.WriteMarkdown)
	checkMarkdown(t, all)
}

// checkMarkdown reads the text with a Markdown parser and fails on everything
// but plain text, headings, lists and tables.
func checkMarkdown(t *testing.T, md string) {
	t.Helper()
	src := []byte(md)
	doc := goldmark.New(goldmark.WithExtensions(extension.Table, extension.Strikethrough)).Parser().Parse(text.NewReader(src))
	require.NoError(t, ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n.Kind() {
		case ast.KindLink, ast.KindImage, ast.KindAutoLink, ast.KindRawHTML, ast.KindHTMLBlock, ast.KindCodeSpan, ast.KindCodeBlock,
			ast.KindFencedCodeBlock, ast.KindBlockquote, extast.KindStrikethrough:
			t.Errorf("the Markdown holds a %s", n.Kind())
		case extast.KindTableRow:
			if entering {
				assert.Equal(t, n.Parent().FirstChild().ChildCount(), n.ChildCount(), "cells of a row")
			}
		}
		return ast.WalkContinue, nil
	}))
}

// absent fails for each word that stands in the text, without printing it all.
func absent(t *testing.T, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if i := strings.Index(text, w); i >= 0 {
			t.Errorf("%q stands in ...%s...", w, text[max(0, i-60):min(len(text), i+60)])
		}
	}
}

// testPhoto draws a picture with a different colour at each place.
func testPhoto() image.Image {
	m := image.NewRGBA(image.Rect(0, 0, 12, 8))
	for x := range 12 {
		for y := range 8 {
			m.Set(x, y, color.RGBA{uint8(x * 20), uint8(y * 30), 90, 255})
		}
	}
	return m
}

// jpegWithCameraData hides words wherever the format has room for them (ITU-T
// T.81, B.2.4; JFIF 1.02 for the preview; Exif 2.3; CIPA DC-007 for a second
// picture).
func jpegWithCameraData(t *testing.T) []byte {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, testPhoto(), nil))
	exif := "Exif\x00\x00II*\x00\x08\x00\x00\x00\x02\x00" +
		"\x0f\x01\x02\x00\x04\x00\x00\x00CAM\x00" + // maker
		"\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00" + // orientation 6
		"\x00\x00\x00\x00 SECRETPLACE"
	segment := func(kind byte, body string) string {
		return string([]byte{0xff, kind, byte((len(body) + 2) >> 8), byte(len(body) + 2)}) + body
	}
	return []byte("\xff\xd8" + segment(0xe0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x03\x01SECRETPIX") + segment(0xe0, "JFXX\x00\x10SECRETPREVIEW") + "\xff" + segment(0xe1, exif) +
		segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00<x>SECRETXMP</x>") + segment(0xe2, "ICC_PROFILE\x00\x01\x01SECRETPROFILE") + segment(0xed, "Photoshop 3.0\x00SECRETCAPTION") +
		segment(0xfe, "SECRETCOMMENT") + segment(0xe2, "MPF\x00SECRETMPF") + string(b.Bytes()[2:]) + "SECRETTAIL" + b.String())
}

func pngWithText(t *testing.T) []byte {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, testPhoto()))
	p := b.Bytes()
	chunk := ""
	for _, body := range []string{"tEXtComment\x00SECRETCOMMENT", "iTXtXML:com.adobe.xmp\x00\x00\x00\x00\x00SECRETXMP", "zTXtSECRETZIP", "iCCPSECRETPROFILE\x00\x00", "eXIfMM\x00*SECRETPLACE", "tIME\x07\xe8SECRET", "prVtSECRETOWN"} {
		sum, n := crc32.ChecksumIEEE([]byte(body)), len(body)-4
		chunk += string([]byte{0, 0, 0, byte(n)}) + body + string([]byte{byte(sum >> 24), byte(sum >> 16), byte(sum >> 8), byte(sum)})
	}
	end := 8 + 12 + 13 // behind the signature and the header chunk
	return []byte(string(p[:end]) + chunk + string(p[end:]) + "SECRETTAIL")
}

// A photo keeps its picture and loses what the camera wrote into it.
func TestPhotosWithoutCameraData(t *testing.T) {
	for name, photo := range map[string][]byte{"jpeg": jpegWithCameraData(t), "png": pngWithText(t)} {
		want, _, err := image.Decode(bytes.NewReader(photo))
		require.NoError(t, err, name)
		files := shopFiles(t)
		file := "photos/pins." + name
		files[file] = string(photo)
		files["photos/big.png"] = string(photo) + strings.Repeat("x", maxPhoto)
		files["photos/no.jpg"] = "no picture at all"
		files["changes/CH-01.md"] = strings.Replace(files["changes/CH-01.md"], "public = true", `photos = ["../`+file+`", "../photos/big.png", "../photos/no.jpg", "../photos/gone.png"]`, 1) +
			"\n![the old pins](../" + file + ")\n![far](https://example.invalid/x.png)\n"
		l, err := ledger.Load(source.Map(files))
		require.NoError(t, err)
		s := study.New(l, asOf)
		p := page(t, s, "CH-01", PageOptions{Images: source.Map(files)})
		require.Len(t, p.Photos, 4, "nothing from elsewhere")
		assert.Equal(t, Photo{File: "photos/big.png", Alt: "photo big"}, p.Photos[1], "too large: only named")
		assert.Empty(t, p.Photos[2].Data)
		assert.Empty(t, p.Photos[3].Data)
		assert.Equal(t, "the old pins", p.Photos[0].Alt)
		data, ok := strings.CutPrefix(p.Photos[0].Data, "data:image/"+name+";base64,")
		require.True(t, ok, name)
		raw, err := base64.StdEncoding.DecodeString(data)
		require.NoError(t, err)
		require.Contains(t, string(photo), "SECRET")
		absent(t, string(raw), "SECRET", "CAM\x00", "Exif", "JFXX", "ICC_PROFILE", "tEXt", "iCCP")
		got, _, err := image.Decode(bytes.NewReader(raw))
		require.NoError(t, err)
		if name == "png" {
			assert.Equal(t, want, got, name)
		} else {
			assert.Equal(t, image.Rect(0, 0, 8, 12), got.Bounds(), "put upright, since the mark for it is gone")
			for _, at := range [][2]int{{1, 1}, {10, 2}, {6, 7}} {
				sameColour(t, want.At(at[0], at[1]), got.At(7-at[1], at[0]))
			}
		}
		checkPage(t, printed(t, func(w io.Writer) error { return WriteHTML(w, p) }))
		assert.Empty(t, page(t, s, "CH-01", PageOptions{}).Photos[0].Data, "without a source photos are only named")
	}
}

// sameColour holds for colours that only the loss of the format sets apart.
func sameColour(t *testing.T, a, b color.Color) {
	t.Helper()
	ar, ag, ab, _ := a.RGBA()
	br, bg, bb, _ := b.RGBA()
	for _, d := range [][2]uint32{{ar, br}, {ag, bg}, {ab, bb}} {
		assert.InDelta(t, d[0]>>8, d[1]>>8, 24)
	}
}

// The eight orientations of Exif 2.3, 4.6.4 (tag Orientation): where row 0 and
// column 0 of the stored picture are seen.
func TestUpright(t *testing.T) {
	stored := image.NewRGBA(image.Rect(2, 3, 5, 5)) // 3 wide, 2 high
	mark := func(x, y int) color.RGBA { return color.RGBA{uint8(10 * x), uint8(10 * y), 7, 255} }
	for y := range 2 {
		for x := range 3 {
			stored.Set(2+x, 3+y, mark(x, y))
		}
	}
	for _, c := range []struct {
		orientation byte
		row, column string // side at which row 0 and column 0 are seen
	}{{1, "top", "left"}, {2, "top", "right"}, {3, "bottom", "right"}, {4, "bottom", "left"}, {5, "left", "top"}, {6, "right", "top"}, {7, "right", "bottom"}, {8, "left", "bottom"}} {
		got := upright(stored, c.orientation)
		b := got.Bounds()
		corner := map[string]int{"top": b.Min.Y, "bottom": b.Max.Y - 1, "left": b.Min.X, "right": b.Max.X - 1}
		// The first stored pixel lies in row 0 and column 0, so at both sides.
		x, y := corner[c.column], corner[c.row]
		if c.orientation > 4 {
			x, y = corner[c.row], corner[c.column]
		}
		assert.Equal(t, mark(0, 0), got.At(x, y), "%d", c.orientation)
		// The next in row 0 lies beside it along the side of that row.
		step := map[string]int{"top": 1, "bottom": -1, "left": 1, "right": -1}[c.column]
		if c.orientation > 4 {
			y += step
		} else {
			x += step
		}
		assert.Equal(t, mark(1, 0), got.At(x, y), "%d", c.orientation)
	}
	assert.Equal(t, stored, upright(stored, 0))
	assert.Equal(t, stored, upright(stored, 9))
}

// Broken pictures are named and never a stop.
func FuzzPhotos(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x08Exif\x00\x00\xff\xd9"))
	f.Add([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x00IEND\x00\x00\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xda\x00\x02\x01\xff\x00\xff\xd0\xff\xd9"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x20Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\xff\xd9"))
	f.Fuzz(func(t *testing.T, b []byte) {
		assert.LessOrEqual(t, orientationOf(b), byte(8))
		if cfg, _, err := image.DecodeConfig(bytes.NewReader(b)); err == nil && cfg.Width*cfg.Height < 1<<16 {
			if out := pictureOnly(b); out != nil {
				_, _, err := image.DecodeConfig(bytes.NewReader(out))
				assert.NoError(t, err)
			}
		}
		orientation(b)
	})
}

// The page of the largest inspections that are read is well formed, of bounded
// size, and says of how many readings it draws how many.
func TestLargestInspections(t *testing.T) {
	for _, rows := range []int{2000, ledger.MaxPieces} {
		table := func(k int) string {
			var b strings.Builder
			for i := range rows {
				fmt.Fprintf(&b, "%.5f\n", float64((i*7919+k)%20011)/1e7)
			}
			return b.String()
		}
		head := "+++\nkind = \"inspection\"\ntitle = \"t\"\nstate = \"valid\"\ncharacteristic = \"P/W\"\n"
		s := setOf(t, map[string]string{
			"tenths.toml": "units = \"in\"\n",
			"p.md":        "+++\nkind = \"part\"\nid = \"P\"\ntitle = \"p\"\nstate = \"in use\"\n[[characteristic]]\nid = \"W\"\ntitle = \"Step\"\ntype = \"step\"\nlimits = \"0 ±0.0010\"\n+++\n",
			"b.md":        head + "id = \"IN-B\"\non = 2024-01-10\nreadings_from = \"b.csv\"\n+++\n", "b.csv": table(0),
			"a.md": head + "id = \"IN-A\"\non = 2024-03-10\nreadings_from = \"a.csv\"\n+++\n", "a.csv": table(5000),
			"c.md": "+++\nkind = \"change\"\nid = \"CH-1\"\ntitle = \"c\"\nopened = 2024-01-01\ndone = 2024-02-01\nstate = \"done\"\ncharacteristic = \"P/W\"\nbefore = \"IN-B\"\nafter = \"IN-A\"\n+++\n",
		})
		p := page(t, s, "CH-1", PageOptions{})
		text := printed(t, func(w io.Writer) error { return WriteHTML(w, p) })
		checkPage(t, text)
		assert.Less(t, len(text), 2<<20)
		if strings.Contains(text, "<circle") {
			assert.Contains(t, text, fmt.Sprintf("500 of %d dots drawn", 2*rows))
			assert.Less(t, strings.Count(text, "<circle"), 600)
		}
		assert.Equal(t, rows == 2000, strings.Contains(text, "<circle"), "a picture of 10 000 dots says nothing")
	}
}
