package wearlog

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// faulty is the real file system until its call number at; from then on it
// fails once, or is dead: every call does nothing, as after a kill.
type faulty struct {
	osDisk
	calls, at int
	kill      bool // dead from call at on
	late      bool // call number at still does its work before it fails
	done      []string
}

var errFault = &fs.PathError{Op: "write", Path: "somewhere", Err: syscall.ENOSPC}

// step counts a call. It tells whether the call does its work and the error it
// returns instead of its own.
func (d *faulty) step(name string) (works bool, err error) {
	d.calls++
	d.done = append(d.done, name)
	switch {
	case d.at == 0 || d.calls < d.at:
		return true, nil
	case d.calls == d.at:
		return d.late, errFault
	case d.kill:
		return false, errFault
	}
	return true, nil
}

// try runs a call that has no result but an error.
func (d *faulty) try(name string, work func() error) error {
	works, err := d.step(name)
	if works {
		if own := work(); err == nil {
			err = own
		}
	}
	return err
}

func (d *faulty) resolve(path string) (real string, err error) {
	err = d.try("resolve", func() error { real, err = d.osDisk.resolve(path); return err })
	return real, err
}

func (d *faulty) stat(path string) (info fs.FileInfo, err error) {
	err = d.try("stat", func() error { info, err = d.osDisk.stat(path); return err })
	return info, err
}

func (d *faulty) mayWrite(path string) error {
	return d.try("mayWrite", func() error { return d.osDisk.mayWrite(path) })
}

func (d *faulty) lock(path string) (unlock func(), err error) {
	err = d.try("lock", func() error { unlock, err = d.osDisk.lock(path); return err })
	if err != nil && unlock != nil {
		unlock() // the system does it for a process that dies
	}
	return unlock, err
}

func (d *faulty) read(path string) (data []byte, err error) {
	err = d.try("read", func() error { data, err = d.osDisk.read(path); return err })
	return data, err
}

func (d *faulty) create(path string) (file, error) {
	var f file
	err := d.try("create", func() (err error) { f, err = d.osDisk.create(path); return err })
	if err != nil {
		return nil, err
	}
	return &faultyFile{f, d}, nil
}

func (d *faulty) rename(from, to string) error {
	return d.try("rename", func() error { return d.osDisk.rename(from, to) })
}

func (d *faulty) remove(path string) error {
	return d.try("remove", func() error { return d.osDisk.remove(path) })
}

func (d *faulty) syncDir(path string) error {
	return d.try("syncDir", func() error { return d.osDisk.syncDir(path) })
}

type faultyFile struct {
	file
	disk *faulty
}

// Write writes half of the data when it is the call that fails late.
func (f *faultyFile) Write(data []byte) (n int, err error) {
	works, fault := f.disk.step("write")
	switch {
	case works && fault != nil:
		n, _ = f.file.Write(data[:len(data)/2])
	case works:
		return f.file.Write(data)
	}
	return n, fault
}

func (f *faultyFile) Chmod(mode fs.FileMode) error {
	return f.disk.try("chmod", func() error { return f.file.Chmod(mode) })
}

func (f *faultyFile) Sync() error { return f.disk.try("sync", f.file.Sync) }

// Close closes the real file in any case: so does the system.
func (f *faultyFile) Close() error {
	err := f.disk.try("close", func() error { return nil })
	if closing := f.file.Close(); err == nil {
		err = closing
	}
	return err
}

// Every call of the file system fails in turn, before or after its work, once
// or with the whole process: the log is then the old one or the new one, the
// old one whenever an error that is not a kill was told, and the next append
// works and leaves no temporary file behind.
func TestFaults(t *testing.T) {
	const old = "# remark\nname = \"x\"\n"
	const added = "\n[[ride]]\ndistance = 42\n"
	healthy := &faulty{}
	if _, err := addRide(healthy, logFile(t, old), 42); err != nil {
		t.Fatal(err)
	}
	want := "resolve stat mayWrite lock read remove create write chmod sync close rename syncDir"
	if got := strings.Join(healthy.done, " "); got != want {
		t.Errorf("steps %s, want %s", got, want)
	}
	for at := 1; at <= healthy.calls; at++ {
		for mode := range 4 {
			d := &faulty{at: at, kill: mode&1 != 0, late: mode&2 != 0}
			path := logFile(t, old)
			_, err := addRide(d, path, 42)
			step := healthy.done[at-1]
			got := readAll(t, path)
			renamed := step == "syncDir" || step == "rename" && d.late
			switch {
			case renamed && got == old+added, !renamed && got == old && err != nil:
			default:
				t.Errorf("%s, kill %v, late %v: %v, log %q", step, d.kill, d.late, err, got)
			}
			if err == nil && got == old || err != nil && !errors.Is(err, syscall.ENOSPC) {
				t.Errorf("%s, kill %v, late %v: told %v", step, d.kill, d.late, err)
			}
			if _, _, err := Load(path); err != nil {
				t.Errorf("%s: %v", step, err)
			}
			afterFault(t, path, got)
		}
	}
}

func addRide(d disk, path string, km float64) (Appended, error) {
	return appendTo(d, path, true, func(bool) string { return Format(oneRide(km)) })
}

// afterFault appends once more to a log and looks at what lies about.
func afterFault(t *testing.T, path, before string) {
	t.Helper()
	if _, err := addRide(osDisk{}, path, 7); err != nil {
		t.Errorf("appending again: %v", err)
	}
	if got := readAll(t, path); got != before+"\n[[ride]]\ndistance = 7\n" {
		t.Errorf("appended again: %q", got)
	}
	files, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(files) != 2 || files[0].Name() != ".w.toml.lock" {
		t.Errorf("left behind: %v, %v", files, err)
	}
}

// A failing append says what failed, names the owner's file and not a
// temporary one, and that the log is as it was.
func TestFaultMessages(t *testing.T) {
	for step, want := range map[int]string{
		1: "w.toml: cannot be opened: no space left on device",
		3: "w.toml: is left as it is: writing to it: no space left on device",
		4: "w.toml: is left as it is: its lock .w.toml.lock cannot be had: no space left on device",
		8: "w.toml: is left as it is: writing the new log beside it: no space left on device",
	} {
		t.Chdir(filepath.Dir(logFile(t, "")))
		if _, err := addRide(&faulty{at: step}, "w.toml", 1); err == nil || err.Error() != want {
			t.Errorf("step %d: %v", step, err)
		}
	}
}

func TestLockedTooLong(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	unlock, err := lockFile(path, longestWait)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := lockFile(path, 1); !errors.Is(err, errBusy) {
		t.Errorf("%v", err)
	}
	unlock()
	again, err := lockFile(path, longestWait)
	if err != nil {
		t.Fatal(err)
	}
	again()
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}
