//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package ledger

import (
	"errors"
	"os"
	"syscall"
)

// tryLock takes the lock of an open folder if nobody has it; the error is nil if
// somebody does. The system gives the lock back when the folder is closed, so a
// process that is killed leaves none.
func tryLock(f *os.File) (bool, error) {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) || errors.Is(err, syscall.EINTR) {
		return false, nil
	}
	return err == nil, err
}
