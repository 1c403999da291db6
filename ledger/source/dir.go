package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

const (
	maxDepth = 64      // folders below the root; deeper is a mistake or an attack
	maxFiles = 500_000 // entries in one ledger
)

// Dir returns the working tree under root as a source. The listing is made anew
// by each call of Files. A folder below the root that is a repository of its own
// (a submodule, a nested clone) is listed as Other and not entered, as git does.
//
// Errors: root is missing or not a folder; a folder cannot be read; the tree is
// deeper than 64 folders or has more than 500 000 entries.
func Dir(root string) (Source, error) {
	abs, err := filepath.Abs(root)
	if err != nil {
		return nil, fmt.Errorf("ledger folder %q: %w", root, err)
	}
	info, err := os.Stat(abs)
	if err != nil {
		return nil, fmt.Errorf("ledger folder %q: %w", root, bare(err))
	}
	if !info.IsDir() {
		return nil, fmt.Errorf("ledger folder %q is a file, not a folder", root)
	}
	return &tree{root: abs}, nil
}

// bare takes the operation and the path off a system error; the caller names
// the path in the user's own words.
func bare(err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		return pathError.Err
	}
	return err
}

// tree opens the root for each call: a handle kept open would need a Close that
// the other sources do not.
type tree struct{ root string }

func (t *tree) Files() ([]File, error) {
	root, err := os.OpenRoot(t.root)
	if err != nil {
		return nil, fmt.Errorf("ledger folder: %w", err)
	}
	defer root.Close()
	var files []File
	if err := walk(root.FS(), ".", 0, &files); err != nil {
		return nil, err
	}
	Sort(files)
	return files, nil
}

func walk(tree fs.FS, folder string, depth int, files *[]File) error {
	if depth > maxDepth {
		return fmt.Errorf("%q lies more than %d folders deep; a ledger is flatter than that", folder, maxDepth)
	}
	entries, err := fs.ReadDir(tree, folder)
	if err != nil {
		return fmt.Errorf("folder %q cannot be read: %w", folder, bare(err))
	}
	if folder != "." {
		for _, e := range entries {
			if e.Name() == ".git" {
				*files = append(*files, File{Path: folder, Kind: Other})
				return nil
			}
		}
	}
	for _, e := range entries {
		name := path.Join(folder, e.Name())
		f := File{Path: name}
		switch mode := e.Type(); {
		case e.IsDir():
			if strings.HasPrefix(e.Name(), ".") {
				continue
			}
			if err := walk(tree, name, depth+1, files); err != nil {
				return err
			}
			continue
		case e.Name() == ".git":
			continue
		case mode&fs.ModeSymlink != 0:
			f.Kind = Symlink
		case mode.IsRegular():
			info, err := e.Info()
			if errors.Is(err, fs.ErrNotExist) {
				continue // gone since the folder was listed, as an editor's temporary file is
			}
			if err != nil {
				return fmt.Errorf("%q: %w", name, bare(err))
			}
			f.Size = info.Size()
		default:
			f.Kind = Other
		}
		if len(*files) >= maxFiles {
			return fmt.Errorf("more than %d files below the ledger folder; is it the right folder?", maxFiles)
		}
		*files = append(*files, f)
	}
	return nil
}

func (t *tree) Read(name string) ([]byte, error) {
	if err := CheckPath(name); err != nil {
		return nil, err
	}
	local, err := filepath.Localize(name)
	if err != nil {
		return nil, fmt.Errorf("%q: %w: this system has no file of such a name", name, ErrRefused)
	}
	root, err := os.OpenRoot(t.root)
	if err != nil {
		return nil, fmt.Errorf("ledger folder: %w", err)
	}
	defer root.Close()
	if err := plainFile(root, name); err != nil {
		return nil, err
	}
	// The root refuses what leaves it even if a link was put there just now.
	f, err := root.Open(local)
	if err != nil {
		return nil, readError(name, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, readError(name, err)
	}
	if info.Size() > MaxRead {
		return nil, &TooLargeError{Path: name, Size: info.Size(), Limit: MaxRead}
	}
	// The file may grow while it is read, so the read is bounded as well.
	text, err := io.ReadAll(io.LimitReader(f, MaxRead+1))
	if err != nil {
		return nil, readError(name, err)
	}
	if len(text) > MaxRead {
		return nil, &TooLargeError{Path: name, Size: int64(len(text)), Limit: MaxRead}
	}
	return text, nil
}

// plainFile refuses links anywhere on the way and everything that is not a
// regular file at its end; to open a pipe would wait for ever.
func plainFile(root *os.Root, name string) error {
	for end := 0; end < len(name); {
		if next := strings.IndexByte(name[end:], '/'); next >= 0 {
			end += next
		} else {
			end = len(name)
		}
		part := name[:end]
		info, err := root.Lstat(filepath.FromSlash(part))
		if err != nil {
			return readError(name, err)
		}
		switch mode := info.Mode(); {
		case mode&fs.ModeSymlink != 0:
			return fmt.Errorf("%q: %w: %q is a symbolic link, and a ledger holds the files themselves", name, ErrRefused, part)
		case end < len(name) && !mode.IsDir():
			return NotExist(name)
		case end == len(name) && !mode.IsRegular():
			return fmt.Errorf("%q: %w: it is not a file", name, ErrRefused)
		}
		end++
	}
	return nil
}

func readError(name string, err error) error {
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrInvalid) {
		return NotExist(name)
	}
	return &fs.PathError{Op: "read", Path: name, Err: bare(err)}
}
