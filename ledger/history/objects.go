package history

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"tenths/ledger/source"
)

// errMissing says that the repository does not hold an object that it names.
var errMissing = errors.New("git does not hold its content here; the clone may be partial or damaged")

// A git process for each file would cost milliseconds a record, and a question
// and an answer for each file through one process still cost a switch between
// two programs. Records are small, so they are fetched by the hundred: the first
// read of one brings its neighbours. Larger files are fetched one by one and not
// kept.
const (
	smallFile  = 64 << 10 // bytes
	chunkBytes = 2 << 20
	chunkFiles = 500
)

// chunk is a group of small files that one git process fetches.
type chunk struct {
	entries []*entry
	bytes   int64
	once    sync.Once
	texts   map[string][]byte // by object name
}

// group deals the small entries out to chunks, in their order.
func group(entries []*entry) {
	var c *chunk
	for _, e := range entries {
		if e.kind != source.Regular || e.missing || e.size > smallFile {
			continue
		}
		if c == nil || len(c.entries) == chunkFiles || c.bytes+e.size > chunkBytes {
			c = &chunk{}
		}
		c.entries = append(c.entries, e)
		c.bytes += e.size
		e.chunk = c
	}
}

// text returns the bytes of an entry; the caller may write to them.
func (r *Repo) text(e *entry) ([]byte, error) {
	if c := e.chunk; c != nil {
		c.once.Do(func() {
			names := make([]string, len(c.entries))
			for i, e := range c.entries {
				names[i] = e.oid
			}
			// One damaged object spoils the answer for all. Then each file is fetched
			// alone, and only the damaged one is in error.
			if texts, err := r.objects(names); err == nil {
				c.texts = texts
			}
		})
		if text, ok := c.texts[e.oid]; ok {
			return slices.Clone(text), nil
		}
	}
	texts, err := r.objects([]string{e.oid})
	if err != nil {
		return nil, err
	}
	return texts[e.oid], nil
}

// objects fetches the bytes of objects by name.
func (r *Repo) objects(names []string) (map[string][]byte, error) {
	out, err := r.call(r.top, []byte(strings.Join(names, "\n")+"\n"), append(arguments(), "cat-file", "--batch"))
	if err != nil {
		return nil, err
	}
	return parseObjects(out, names)
}

// parseObjects reads the answer of "cat-file --batch": for each object a header
// line, its bytes and a line end.
func parseObjects(out []byte, names []string) (map[string][]byte, error) {
	texts := make(map[string][]byte, len(names))
	for _, name := range names {
		header, rest, ok := bytes.Cut(out, []byte("\n"))
		if !ok {
			return nil, errors.New("git cat-file: the answer ends early")
		}
		size, err := parseHeader(string(header))
		if err != nil {
			return nil, err
		}
		if size >= int64(len(rest)) || rest[size] != '\n' {
			return nil, errors.New("git cat-file: the answer ends early")
		}
		texts[name] = rest[:size:size]
		out = rest[size+1:]
	}
	return texts, nil
}

// parseHeader reads "<oid> blob <size>" or "<oid> missing".
func parseHeader(line string) (size int64, err error) {
	fields := strings.Fields(line)
	if len(fields) == 2 && fields[1] == "missing" {
		return 0, errMissing
	}
	if len(fields) != 3 || fields[1] != "blob" {
		return 0, fmt.Errorf("git cat-file: unexpected answer %q", strings.TrimSpace(line))
	}
	size, err = strconv.ParseInt(fields[2], 10, 64)
	if err != nil || size < 0 {
		return 0, fmt.Errorf("git cat-file: unexpected size in %q", strings.TrimSpace(line))
	}
	return size, nil
}

// sizes fills in the sizes of all regular entries with one process. An object
// that git does not hold is left for Read to report, so that one hole does not
// hide the rest.
func (r *Repo) sizes(entries []*entry) error {
	var ask bytes.Buffer
	var asked []*entry
	for _, e := range entries {
		if e.kind == source.Regular {
			ask.WriteString(e.oid)
			ask.WriteByte('\n')
			asked = append(asked, e)
		}
	}
	if len(asked) == 0 {
		return nil
	}
	out, err := r.call(r.top, ask.Bytes(), append(arguments(), "cat-file", "--batch-check"))
	if err != nil {
		return err
	}
	for _, e := range asked {
		line, rest, ok := bytes.Cut(out, []byte("\n"))
		if !ok {
			return errors.New("git cat-file: the answer ends early")
		}
		out = rest
		e.size, err = parseHeader(string(line))
		if errors.Is(err, errMissing) {
			e.missing = true
		} else if err != nil {
			return fmt.Errorf("%q: %w", e.path, err)
		}
	}
	return nil
}
