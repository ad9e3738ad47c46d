package wearlog

import (
	"os"

	"golang.org/x/sys/windows"
)

// lockHandle waits for the lock of an open file. It ends with the handle.
func lockHandle(f *os.File) error {
	return windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK, 0, 1, 0, &windows.Overlapped{})
}
