//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly || windows)

package wearlog

import (
	"errors"
	"fmt"
	"os"
)

// lockHandle refuses: without a lock that ends with the process, two writers
// could lose each other's entries.
func lockHandle(*os.File) error {
	return fmt.Errorf("locking files on this system: %w", errors.ErrUnsupported)
}
