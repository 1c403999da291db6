// Package source is where the bytes of a ledger come from: the working tree, a
// git snapshot, memory, or any of them with one unsaved text laid over it. The
// ledger reads all of them through one interface and so knows nothing of git.
//
// Every source keeps the same promises, so that a ledger reads alike from disk
// and from git: slash paths relative to the ledger root, listed in byte order;
// folders whose name starts with a dot are left out; a symbolic link is listed
// but never followed, whether it stays inside or not; a read is bounded; no path
// leaves the root. Sources are safe for use by several goroutines.
package source

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// MaxRead is the largest file that Read returns, in bytes (8 MiB). Records and
// readings are far smaller; larger files are photos and films beside them.
const MaxRead = 8 << 20

// FileKind says what a listed path is.
type FileKind int

const (
	// Regular is a plain file, the only kind that Read returns.
	Regular FileKind = iota
	// Symlink is a symbolic link. It is never followed.
	Symlink
	// Other is a submodule or a repository of its own, a device, a pipe.
	Other
)

// String returns the kind in plain words.
func (k FileKind) String() string {
	switch k {
	case Regular:
		return "file"
	case Symlink:
		return "symbolic link"
	}
	return "neither a file nor a link"
}

// File is one entry of a listing. Path is slash-separated and relative to the
// ledger root; Size is in bytes, and 0 for what is not a regular file.
type File struct {
	Path string
	Size int64
	Kind FileKind
}

// Source lists and reads the files of a ledger.
type Source interface {
	// Files returns all entries sorted by path.
	Files() ([]File, error)
	// Read returns the bytes of a regular file; the caller may keep them. Errors
	// wrap fs.ErrNotExist, ErrRefused or ErrTooLarge.
	Read(path string) ([]byte, error)
}

var (
	// ErrRefused says that a path is not read on purpose: it leaves the ledger,
	// lies in a dot folder, or names a link or something else that is no file.
	ErrRefused = errors.New("not read")
	// ErrTooLarge says that a file is larger than MaxRead. The error is always a
	// *TooLargeError.
	ErrTooLarge = errors.New("file too large")
)

// TooLargeError carries the sizes of a refused read, in bytes.
type TooLargeError struct {
	Path        string
	Size, Limit int64
}

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("%q is too large to read: %s; records and readings may have up to %s",
		e.Path, megabytes(e.Size), megabytes(e.Limit))
}

// Unwrap makes errors.Is(err, ErrTooLarge) true.
func (e *TooLargeError) Unwrap() error { return ErrTooLarge }

// megabytes rounds up, so that a size over the limit never reads as the limit.
func megabytes(bytes int64) string {
	const tenth = 1 << 20 / 10.0
	tenths := int64(float64(bytes) / tenth)
	if float64(tenths)*tenth < float64(bytes) {
		tenths++
	}
	return fmt.Sprintf("%d.%d MiB", tenths/10, tenths%10)
}

// CheckPath refuses a path that no source may read: absolute, with "..", with
// empty or "." parts, or inside a dot folder.
func CheckPath(path string) error {
	if !utf8.ValidString(path) {
		// Disks and git hold such names, so they are listed and can be reported.
		return fmt.Errorf("%q: %w: the file name is not UTF-8; rename the file", path, ErrRefused)
	}
	if path == "." || !fs.ValidPath(path) {
		return fmt.Errorf("%q: %w: a path is written from the ledger root, with /, without \"..\" and without a leading /", path, ErrRefused)
	}
	if Hidden(path) {
		return fmt.Errorf("%q: %w: folders that start with a dot are not part of the ledger", path, ErrRefused)
	}
	return nil
}

// Hidden tells whether a file path lies in a folder that starts with a dot, or
// is itself named ".git". Sources leave such paths out of their listing.
func Hidden(path string) bool {
	rest := path
	for {
		part, after, more := strings.Cut(rest, "/")
		if !more {
			return part == ".git"
		}
		if strings.HasPrefix(part, ".") {
			return true
		}
		rest = after
	}
}

// Sort puts a listing into the order that every source promises.
func Sort(files []File) {
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
}

// Map returns a source of texts in memory, keyed by path. Later changes to the
// map do not show.
func Map(texts map[string]string) Source { return memory(maps.Clone(texts)) }

type memory map[string]string

func (m memory) Files() ([]File, error) {
	files := make([]File, 0, len(m))
	for path, text := range m {
		if Hidden(path) {
			continue
		}
		files = append(files, File{Path: path, Size: int64(len(text)), Kind: Regular})
	}
	Sort(files)
	return files, nil
}

func (m memory) Read(path string) ([]byte, error) {
	if err := CheckPath(path); err != nil {
		return nil, err
	}
	text, ok := m[path]
	if !ok {
		return nil, NotExist(path)
	}
	if len(text) > MaxRead {
		return nil, &TooLargeError{Path: path, Size: int64(len(text)), Limit: MaxRead}
	}
	return []byte(text), nil
}

// NotExist is the error of every source for a path that it does not hold.
func NotExist(path string) error {
	return &fs.PathError{Op: "read", Path: path, Err: fs.ErrNotExist}
}

// Overlay returns base with the given text at path, as an editor holds a record
// that is not saved yet. The path may be new. Text that is changed afterwards
// does not show.
func Overlay(base Source, path string, text []byte) Source {
	return &overlay{base: base, path: path, text: slices.Clone(text)}
}

type overlay struct {
	base Source
	path string
	text []byte
}

func (o *overlay) Files() ([]File, error) {
	below, err := o.base.Files()
	if err != nil {
		return nil, err
	}
	files := make([]File, 0, len(below)+1)
	for _, f := range below {
		if f.Path != o.path {
			files = append(files, f)
		}
	}
	if !Hidden(o.path) {
		files = append(files, File{Path: o.path, Size: int64(len(o.text)), Kind: Regular})
	}
	Sort(files)
	return files, nil
}

func (o *overlay) Read(path string) ([]byte, error) {
	if path != o.path {
		return o.base.Read(path)
	}
	if err := CheckPath(path); err != nil {
		return nil, err
	}
	if len(o.text) > MaxRead {
		return nil, &TooLargeError{Path: path, Size: int64(len(o.text)), Limit: MaxRead}
	}
	return slices.Clone(o.text), nil
}
