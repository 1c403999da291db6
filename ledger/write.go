package ledger

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// ErrChanged says that a file is no longer what was read.
var ErrChanged = errors.New("the file was changed meanwhile; nothing was written")

// WriteFile replaces a file of the ledger under root with new text, whole or not
// at all: the text is written beside it, synced and renamed. It refuses when the
// file no longer holds the old text, or is no plain file, and when a folder on
// the way is a link. The mode is kept. The folder is opened once, and read,
// written and renamed in through that handle, so that one put in its place
// meanwhile does not receive the text.
func WriteFile(root, name string, old, text []byte) error {
	dir, base, err := openFolder(root, name, false)
	if err != nil {
		return err
	}
	defer dir.Close()
	info, err := unchanged(dir, name, base, old)
	if err != nil {
		return err
	}
	temp, err := writeBeside(dir, base, text, info.Mode().Perm())
	if err != nil {
		return fmt.Errorf("%s: %w; nothing was written", Printable(name), err)
	}
	if _, err = unchanged(dir, name, base, old); err == nil {
		err = dir.Rename(temp, base)
	}
	if err != nil {
		return errors.Join(err, dir.Remove(temp))
	}
	syncFolder(dir)
	return nil
}

// syncFolder brings the names of a folder to the disk. Not every system can.
// Without it the old text may come back after a power cut, but never half of the
// new one.
func syncFolder(dir *os.Root) {
	if f, err := dir.Open("."); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}

// CreateFile writes a new file of the ledger under root, with its folders, and
// never over one that is there. It appears whole or not at all. Nothing is written
// through a link, neither out of the ledger nor within it, where no command would
// find it. If there is such a file, the error is an fs.ErrExist.
func CreateFile(root, name, text string) error {
	dir, base, err := openFolder(root, name, true)
	if err != nil {
		return err
	}
	defer dir.Close()
	if _, err := dir.Lstat(base); err == nil {
		return taken(name)
	}
	temp, err := writeBeside(dir, base, []byte(text), 0o644)
	if err != nil {
		return fmt.Errorf("%s: %w; nothing was written", Printable(name), err)
	}
	// A second name for the text is refused where there is a file already, which
	// renaming is not.
	err = dir.Link(temp, base)
	gone := dir.Remove(temp)
	switch {
	case errors.Is(err, fs.ErrExist):
		return errors.Join(taken(name), gone)
	case err != nil: // no second names in this file system
		return errors.Join(createDirectly(dir, base, name, text), gone)
	}
	syncFolder(dir)
	return gone
}

// createDirectly writes a new file where it stands.
func createDirectly(dir *os.Root, base, name, text string) error {
	f, err := dir.OpenFile(base, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return taken(name)
	}
	if err != nil {
		return err
	}
	if err := finish(f, []byte(text)); err != nil {
		return errors.Join(err, dir.Remove(base))
	}
	return nil
}

func taken(name string) error { return &takenError{Printable(name)} }

type takenError struct{ name string }

func (e *takenError) Error() string        { return e.name + " is there already; nothing was written" }
func (e *takenError) Is(target error) bool { return target == fs.ErrExist }

// ReadFile reads a plain file of the ledger under root, through no link.
func ReadFile(root, name string) ([]byte, error) {
	dir, base, err := openFolder(root, name, false)
	if err != nil {
		return nil, err
	}
	defer dir.Close()
	info, err := dir.Lstat(base)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > MaxRecord {
		return nil, fmt.Errorf("%s is no plain file, or too long for a record", Printable(name))
	}
	return dir.ReadFile(base)
}

// openFolder opens the folder in which a file of the ledger stands, step by step
// from the root, and refuses links on the way. With create set, folders that are
// missing are made.
func openFolder(root, name string, create bool) (dir *os.Root, base string, err error) {
	if !fs.ValidPath(name) || name == "." {
		return nil, "", fmt.Errorf("%s is no path within the ledger; nothing was written", Printable(name))
	}
	if dir, err = os.OpenRoot(root); err != nil {
		return nil, "", err
	}
	parts := strings.Split(name, "/")
	for i, part := range parts[:len(parts)-1] {
		next, err := enter(dir, filepath.FromSlash(part), Printable(path.Join(parts[:i+1]...)), create)
		dir.Close()
		if err != nil {
			return nil, "", err
		}
		dir = next
	}
	return dir, filepath.FromSlash(parts[len(parts)-1]), nil
}

// enter opens one folder; shown is its path for messages.
func enter(dir *os.Root, part, shown string, create bool) (*os.Root, error) {
	if create {
		if err := dir.Mkdir(part, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
	}
	info, err := dir.Lstat(part)
	if err != nil {
		return nil, err
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		return nil, fmt.Errorf("%s is a link, and a ledger holds the folders themselves; nothing was written", shown)
	}
	next, err := dir.OpenRoot(part)
	if err != nil {
		return nil, err
	}
	// A link may have been put there since: what was opened must be what was seen.
	if opened, err := next.Stat("."); err != nil || !os.SameFile(info, opened) {
		next.Close()
		return nil, fmt.Errorf("%s was changed meanwhile; nothing was written", shown)
	}
	return next, nil
}

// unchanged checks that a plain file has the text that was read.
func unchanged(dir *os.Root, name, base string, old []byte) (fs.FileInfo, error) {
	info, err := dir.Lstat(base)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is no plain file; nothing was written", Printable(name))
	}
	now, err := dir.ReadFile(base)
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(now, old) {
		return nil, fmt.Errorf("%s: %w", Printable(name), ErrChanged)
	}
	return info, nil
}

// writeBeside writes text into a new file of the folder and gives its name.
func writeBeside(dir *os.Root, base string, text []byte, mode fs.FileMode) (string, error) {
	temp := "." + base + "." + rand.Text() + ".tmp"
	f, err := dir.OpenFile(temp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return "", err
	}
	// Against the mask that the process creates files with.
	err = f.Chmod(mode)
	if err = errors.Join(err, finish(f, text)); err != nil {
		return "", errors.Join(err, dir.Remove(temp))
	}
	return temp, nil
}

// finish writes text to a new file, to the disk and not only to the system's
// memory, and closes it.
func finish(f *os.File, text []byte) error {
	_, err := io.Copy(f, bytes.NewReader(text))
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}
