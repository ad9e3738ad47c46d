//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package wearlog

import (
	"errors"
	"os"
	"syscall"
)

// lockHandle waits for the lock of an open file. It ends with the handle.
func lockHandle(f *os.File) error {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX)
		if !errors.Is(err, syscall.EINTR) {
			return err
		}
	}
}
