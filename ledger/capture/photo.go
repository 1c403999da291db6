package capture

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"

	"tenths/ledger"
)

const (
	maxPhoto   = 20 << 20  // bytes of a picture that is kept
	shownPhoto = 300 << 10 // bytes up to which a report shows it
	mostNamed  = 1000      // pictures of one person and minute
)

// photo is a picture that is to be kept with a line.
type photo struct {
	from    string // as named
	name    string // path in the ledger; empty if it is not kept
	problem string
	copied  bool // into the ledger, by this line
	inbox   bool // it came from the inbox
	size    int
}

// takePhotos copies the pictures beside the file of the day, never over another
// one. What is in the ledger already is named where it stands, unless it waits in
// the inbox.
func (c *clerk) takePhotos() {
	if c.photos != nil || c.dry {
		return
	}
	for _, from := range c.ask.Photos {
		p := photo{from: from}
		if err := c.takePhoto(&p); err != nil {
			p.name, p.problem = "", fmt.Sprintf("the picture %s was not kept: %s", ledger.Printable(filepath.Base(from)), ledger.Printable(err.Error()))
		}
		c.photos = append(c.photos, p)
	}
}

// noted is a note with the names of the pictures that could not be kept, so that
// they can be found later.
func (c *clerk) noted(note string) string {
	for _, p := range c.photos {
		if p.problem != "" {
			note = strings.TrimSpace(note + " (picture " + ledger.Printable(filepath.Base(p.from)) + " not kept)")
		}
	}
	return note
}

func (c *clerk) takePhoto(p *photo) error {
	data, err := readPhoto(p.from)
	if err != nil {
		return err
	}
	p.size = len(data)
	ext := pictureKind(data)
	if ext == "" {
		return errors.New("it is no picture of a kind that is known: jpg, png, gif, webp, heic")
	}
	if inside := c.inLedger(p.from); inside != "" {
		if p.inbox = strings.HasPrefix(inside, Inbox+"/"); !p.inbox {
			p.name = inside
			return nil
		}
	}
	name, _ := pageNames(c.by, c.ask.On, 1)
	return c.copyPhoto(p, strings.TrimSuffix(name, ".md"), ext, data)
}

// copyPhoto keeps a picture under a name with the time of day, the first that is
// free.
func (c *clerk) copyPhoto(p *photo, base, ext string, data []byte) error {
	if c.ask.Clock != "" {
		base += "-" + strings.ReplaceAll(c.ask.Clock, ":", "")
	}
	for n := 1; n <= mostNamed; n++ {
		name := base + "." + ext
		if n > 1 || c.ask.Clock == "" {
			name = fmt.Sprintf("%s-%d.%s", base, n, ext)
		}
		err := ledger.CreateFile(c.root, name, string(data))
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err == nil {
			p.name, p.copied = name, true
		}
		return err
	}
	return errors.New("there are too many of that minute")
}

// readPhoto reads a plain file of this machine, up to a bound.
func readPhoto(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, bare(err)
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no plain file")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, bare(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxPhoto+1))
	if err == nil && len(data) > maxPhoto {
		err = fmt.Errorf("it is larger than %d MB; make it smaller and attach it again", maxPhoto>>20)
	}
	return data, err
}

// bare takes the path off a system error.
func bare(err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		return pathError.Err
	}
	return err
}

// pictureKind tells a picture by its first bytes (WHATWG, MIME Sniffing; for HEIC
// the brands of ISO/IEC 23008-12) and gives the ending for its name; "" for
// anything else.
func pictureKind(data []byte) string {
	if len(data) > 12 && string(data[4:8]) == "ftyp" {
		for _, brand := range []string{"heic", "heix", "heim", "heis", "mif1", "msf1"} {
			if bytes.Contains(data[8:min(len(data), 40)], []byte(brand)) {
				return "heic"
			}
		}
	}
	switch http.DetectContentType(data) {
	case "image/jpeg":
		return "jpg"
	case "image/png":
		return "png"
	case "image/gif":
		return "gif"
	case "image/webp":
		return "webp"
	}
	return ""
}

// inLedger gives the path in the ledger of a file that the ledger lists; "" for
// others.
func (c *clerk) inLedger(file string) string {
	root, err := filepath.EvalSymlinks(c.root)
	if err != nil {
		return ""
	}
	real, err := filepath.EvalSymlinks(file)
	if err != nil {
		return ""
	}
	rel, err := filepath.Rel(root, real)
	if err != nil {
		return ""
	}
	rel = filepath.ToSlash(rel)
	if _, ok := c.l.Files[rel]; !ok {
		return ""
	}
	return rel
}

// photoNames are the pictures as the file that is written names them.
func (c *clerk) photoNames() []string {
	var out []string
	for _, p := range c.photos {
		if p.name != "" {
			out = append(out, fromFolder(path.Dir(c.file), p.name))
		}
	}
	return out
}

// fromFolder is a path of the ledger as seen from one of its folders.
func fromFolder(dir, name string) string {
	rel, err := filepath.Rel(filepath.FromSlash(dir), filepath.FromSlash(name))
	if err != nil {
		return name
	}
	return filepath.ToSlash(rel)
}

// settlePhotos tells what became of the pictures. A copy that no line names is taken
// away again; one in the inbox goes when its copy is named.
func (c *clerk) settlePhotos(k *Kept) {
	for _, p := range c.photos {
		switch {
		case k == nil && p.copied:
			c.remove(p.name)
		case k == nil:
		case p.problem != "":
			k.Warnings = append(k.Warnings, p.problem)
		default:
			k.Photos = append(k.Photos, p.name)
			if p.size > shownPhoto {
				k.Remarks = append(k.Remarks, fmt.Sprintf("%s has %d kB; a report shows pictures of up to %d kB and names this one", ledger.Printable(p.name), p.size>>10, shownPhoto>>10))
			}
			if p.inbox {
				c.remove(c.inLedger(p.from))
			}
		}
	}
}

// remove takes a file out of the ledger; one that will not go is left, and
// photo-orphan tells of it.
func (c *clerk) remove(name string) {
	root, err := os.OpenRoot(c.root)
	if err != nil {
		return
	}
	defer root.Close()
	_ = root.Remove(filepath.FromSlash(name))
}
