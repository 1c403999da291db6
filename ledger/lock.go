package ledger

import (
	"errors"
	"os"
	"strings"
	"time"
)

// ErrNoLock says that a folder could not be locked: the system or the disk has no
// locks, or somebody held it for too long.
var ErrNoLock = errors.New("the folder cannot be locked")

// lockPatience is how long a lock is waited for. A line is written in a fraction
// of it.
const lockPatience = 10 * time.Second

// LockFolder keeps other processes that lock the same folder out until unlock is
// called or this process ends, however it ends. The folder of the file that is
// named is locked itself, so that no lock file stays behind; it is made if it is
// missing. Any trouble with the lock alone is ErrNoLock.
func LockFolder(root, name string) (unlock func(), err error) {
	dir, base, err := openFolder(root, name, true)
	if err != nil {
		return nil, err
	}
	defer dir.Close()
	f, err := dir.Open(".")
	if err != nil {
		return nil, err
	}
	for end := time.Now().Add(lockPatience); ; time.Sleep(5 * time.Millisecond) {
		got, err := tryLock(f)
		if got {
			break
		}
		if err != nil || time.Now().After(end) {
			return nil, errors.Join(ErrNoLock, f.Close())
		}
	}
	sweep(dir, base)
	return func() { _ = f.Close() }, nil
}

// sweep removes what processes that were killed left beside a file: texts that
// were written and never took its place.
func sweep(dir *os.Root, base string) {
	f, err := dir.Open(".")
	if err != nil {
		return
	}
	defer f.Close()
	names, _ := f.Readdirnames(-1)
	for _, n := range names {
		if strings.HasPrefix(n, "."+base+".") && strings.HasSuffix(n, ".tmp") {
			_ = dir.Remove(n)
		}
	}
}
