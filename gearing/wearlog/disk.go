package wearlog

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// disk is what appending asks of the file system, so that tests can make every
// step of it fail.
type disk interface {
	resolve(path string) (string, error) // follows symbolic links
	stat(path string) (fs.FileInfo, error)
	// mayWrite tells whether the system lets this user write to a plain file;
	// the directory alone would let it be replaced.
	mayWrite(path string) error
	// lock waits for the lock that a file stands for. The system lets go of
	// it when the process ends, however it ends.
	lock(path string) (unlock func(), err error)
	read(path string) ([]byte, error)
	create(path string) (file, error) // that must not exist
	rename(from, to string) error
	remove(path string) error
	syncDir(path string) error
}

type file interface {
	io.WriteCloser
	Chmod(fs.FileMode) error
	Sync() error
}

// osDisk is the real file system.
type osDisk struct{}

func (osDisk) resolve(path string) (string, error)   { return filepath.EvalSymlinks(path) }
func (osDisk) stat(path string) (fs.FileInfo, error) { return os.Stat(path) }
func (osDisk) read(path string) ([]byte, error)      { return wearLogFile.Read(path) }
func (osDisk) rename(from, to string) error          { return os.Rename(from, to) }
func (osDisk) remove(path string) error              { return os.Remove(path) }

func (osDisk) mayWrite(path string) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return f.Close()
}

func (osDisk) create(path string) (file, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err // not a file that is a nil *os.File
	}
	return f, nil
}

func (osDisk) syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

// longestWait is how long a writer waits for the one before it.
const longestWait = 30 * time.Second

var errBusy = errors.New("another program has held it for half a minute; try again when it is done")

func (osDisk) lock(path string) (unlock func(), err error) { return lockFile(path, longestWait) }

// lockFile takes the lock of a file, which is made when it is not there.
func lockFile(path string, wait time.Duration) (unlock func(), err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if errors.Is(err, fs.ErrPermission) { // another writer's, perhaps
		if theirs, opening := os.Open(path); opening == nil {
			f, err = theirs, nil
		}
	}
	if err != nil {
		return nil, err
	}
	done := make(chan error, 1)
	go func() { done <- lockHandle(f) }()
	select {
	case err := <-done:
		if err != nil {
			f.Close()
			return nil, err
		}
		return func() { f.Close() }, nil
	case <-time.After(wait):
		go func() { <-done; f.Close() }() // when it comes after all, let go of it
		return nil, errBusy
	}
}
