package rules

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/text"

	"tenths/ledger"
	"tenths/ledger/source"
	"tenths/ledger/study"
	"tenths/lint"
)

const notes = `
## How it is loaded

Blow off the seat, press the part *down and left* until it stops, then clamp.
Seen on the first lot: a chip under the left edge gives 0.001 in at K4.

- [x] seat stoned
- [ ] ask the partner to measure the same three parts

| lot | parts | odd |
|---|---|---|
| L-1 | 24 | none |
| L-2 | 24 | burr at K3 |

The old notebook says that the second pin was **round** then; see the change
record for the reason.
`

// writeShop writes a ledger of about n records: parts with two fixtures'
// stations, tools, gauges, a plan, inspections and changes, all in order.
func writeShop(tb testing.TB, dir string, n int) int {
	count := 0
	put := func(folder, id, keys string) {
		count++
		file := filepath.Join(dir, folder, id+".md")
		require.NoError(tb, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(tb, os.WriteFile(file, []byte("+++\n"+strings.TrimSpace(keys)+"\n+++\n"+notes), 0o644))
	}
	require.NoError(tb, os.WriteFile(filepath.Join(dir, ledger.ConfigName), []byte("units = \"in\"\n"), 0o644))
	for k := 0; count < n; k++ {
		r := strings.NewReplacer("{k}", fmt.Sprint(k))
		put("parts", fmt.Sprintf("P-%d", k), r.Replace(`
kind = "part"
id = "P-{k}"
title = "Plate {k}"
units = "in"
material = "6061-T6"
[[feature]]
id = "H1"
type = "hole"
at = [0.0, 0.0]
size = "0.1875 +0.0005/-0"
as_made = "0.1876..0.1878"
made_by = "drilled and reamed"
[[feature]]
id = "H2"
type = "hole"
at = ["2.4000 ±0.0005", 0.0]
size = "0.1875 +0.0005/-0"
as_made = "0.1876..0.1878"
made_by = "drilled and reamed"
[[characteristic]]
id = "KC-1"
title = "Width"
type = "size"
limits = "1.5000 ±0.0010"
`))
		put("fixtures", fmt.Sprintf("FX%d", k), r.Replace(`
kind = "fixture"
id = "FX{k}"
title = "Fixture {k}"
units = "in"
state = "in use"
[[station]]
id = "A"
part = "P-{k}"
face = "outside up"
[[station.locator]]
id = "P1"
type = "round pin"
engages = "H1"
size = "0.1873"
made_by = "bored"
[[station.locator.survey]]
on = 2024-03-11
off = ["0.5 tenths", "1.0 tenths"]
[[station.locator]]
id = "P2"
type = "relieved pin"
engages = "H2"
size = "0.1873"
land = "0.045"
relieved_along = "line to P1"
made_by = "bored"
[[derived]]
name = "clearance"
formula = "hole - pin"
where = { hole = "P-{k}/H1/size", pin = "FX{k}/A/P1/size" }
value = "0.0002 in"
`))
		for i := range 3 {
			put("tools", fmt.Sprintf("T%d-%d", k, i), fmt.Sprintf("kind = \"tool\"\nid = \"T%d-%d\"\ntitle = \"3/8 end mill\"\nunits = \"in\"\ntype = \"end mill\"\nrole = \"finishing\"\ndiameter = \"0.3748\"\nlife = \"40 parts\"\n", k, i))
		}
		for i := range 2 {
			put("gauges", fmt.Sprintf("G%d-%d", k, i), fmt.Sprintf("kind = \"gauge\"\nid = \"G%d-%d\"\ntitle = \"micrometer 1-2 in\"\nunits = \"in\"\ntype = \"micrometer\"\nresolution = \"0.0001\"\nuncertainty = \"0.00015\"\nrange = \"1..2\"\ninterval = \"24 months\"\n[[calibration]]\non = 2024-01-08\nresult = \"conforms\"\nas_found = \"0.0000\"\n", k, i))
		}
		put("plans", fmt.Sprintf("PL-%d", k), r.Replace(`
kind = "plan"
id = "PL-{k}"
title = "Plate {k}"
state = "released"
part = "P-{k}"
from = 2024-05-20
[[operation]]
id = "OP10"
title = "drill and ream"
makes = ["H1", "H2"]
[[operation]]
id = "OP20"
title = "rough"
fixture = "FX{k}/A"
cut = "rough"
surface = "outline"
[[operation]]
id = "OP30"
title = "finish"
fixture = "FX{k}/A"
tools = ["T{k}-0"]
cut = "finish"
surface = "outline"
`))
		for i := range 8 {
			put("inspections", fmt.Sprintf("IN-%d-%d", k, i), fmt.Sprintf(`
kind = "inspection"
id = "IN-%d-%d"
title = "width, lot %d"
units = "in"
on = 2024-0%d-10
part = "P-%d"
characteristic = "P-%d/KC-1"
lot = "L-%d"
gauge = "G%d-0"
by = "owner"
picked = "consecutive"
deviation_in = "tenths"
readings = "+3 -1 +2 0 +%d -2 +1 -3 +2 +4"
`, k, i, i, i+1, k, k, i, k, i))
		}
		for i := range 2 {
			put("changes", fmt.Sprintf("CH-%d-%d", k, i), fmt.Sprintf(`
kind = "change"
id = "CH-%d-%d"
title = "second pin relieved"
state = "not effective"
opened = 2024-0%d-01
done = 2024-0%d-01
characteristic = "P-%d/KC-1"
touches = ["FX%d/A/P2"]
factor = "second pin round -> relieved"
before = "IN-%d-%d"
after = "IN-%d-%d"
`, k, i, 3*i+2, 3*i+2, k, k, k, 3*i, k, 3*i+1))
		}
	}
	return count
}

const benchRecords = 10_000

// BenchmarkLint10000 loads and checks a ledger of 10,000 records.
func BenchmarkLint10000(b *testing.B) {
	dir := b.TempDir()
	n := writeShop(b, dir, benchRecords)
	day := time.Date(2025, 11, 25, 0, 0, 0, 0, time.UTC)
	for b.Loop() {
		src, err := source.Dir(dir)
		require.NoError(b, err)
		l, err := ledger.Load(src)
		require.NoError(b, err)
		require.Empty(b, l.Problems)
		require.Len(b, l.Records, n)
		res, err := lint.Run(l, study.New(l, day), All(), lint.Options{})
		require.NoError(b, err)
		require.NoError(b, lint.WriteText(io.Discard, res, ""))
		require.Empty(b, res.Findings)
	}
	b.ReportMetric(peakMB(), "peak-MB")
}

// BenchmarkLoad10000 loads the same ledger.
func BenchmarkLoad10000(b *testing.B) {
	dir := b.TempDir()
	writeShop(b, dir, benchRecords)
	for b.Loop() {
		src, err := source.Dir(dir)
		require.NoError(b, err)
		_, err = ledger.Load(src)
		require.NoError(b, err)
	}
}

// BenchmarkFloor10000 reads the same files, parses their TOML and their
// Markdown with the same libraries on as many cores, and does nothing else.
func BenchmarkFloor10000(b *testing.B) {
	dir := b.TempDir()
	writeShop(b, dir, benchRecords)
	md := goldmark.New(goldmark.WithExtensions(extension.TaskList, extension.Table, extension.Linkify, extension.Strikethrough)).Parser()
	for b.Loop() {
		var names []string
		require.NoError(b, filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(p, ".md") {
				names = append(names, p)
			}
			return err
		}))
		next := make(chan string)
		var wg sync.WaitGroup
		for range runtime.GOMAXPROCS(0) {
			wg.Add(1)
			go func() {
				defer wg.Done()
				for name := range next {
					src, err := os.ReadFile(name)
					if err != nil {
						panic(err)
					}
					parts := strings.SplitN(string(src), "+++\n", 3)
					var v map[string]any
					if _, err := toml.Decode(parts[1], &v); err != nil {
						panic(err)
					}
					md.Parse(text.NewReader([]byte(parts[2])))
				}
			}()
		}
		for _, n := range names {
			next <- n
		}
		close(next)
		wg.Wait()
	}
}

// peakMB is the most memory that the process held, where the system tells.
func peakMB() float64 {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	for _, line := range strings.Split(string(status), "\n") {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			var kb float64
			fmt.Sscan(rest, &kb)
			return kb / 1024
		}
	}
	return 0
}
