package wearlog

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// helperEnv makes the test program a writer: the log, the first distance and
// how many rides of rising distances are added.
const helperEnv = "CAGEWISE_TEST_WRITER"

func TestMain(m *testing.M) {
	if job := os.Getenv(helperEnv); job != "" {
		os.Exit(write(job))
	}
	os.Exit(m.Run())
}

// write appends rides and prints each distance once it was added.
func write(job string) int {
	words := strings.Split(job, "|")
	first, _ := strconv.Atoi(words[1])
	count, _ := strconv.Atoi(words[2])
	for km := first; km < first+count; km++ {
		if _, err := Append(words[0], oneRide(float64(km))); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(km)
	}
	return 0
}

func writer(path string, first, count int) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s|%d|%d", helperEnv, path, first, count))
	return cmd
}

// distances counts how often each distance stands in a log.
func distances(t *testing.T, path string) map[float64]int {
	t.Helper()
	log, _, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[float64]int{}
	for _, ride := range log.Rides {
		seen[ride.KM]++
	}
	return seen
}

// Two processes and two goroutines of this one make 1,000 appends in all and
// lose none.
func TestWritersLoseNothing(t *testing.T) {
	const each = 250
	path := logFile(t, "# start\n")
	began := time.Now()
	var wait sync.WaitGroup
	for i := range 2 {
		wait.Go(func() {
			if out, err := writer(path, 1+i*each, each).CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, out)
			}
		})
		wait.Go(func() {
			for km := range each {
				if _, err := Append(path, oneRide(float64(1+(2+i)*each+km))); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	wait.Wait()
	t.Logf("%d appends in %v", 4*each, time.Since(began))
	seen := distances(t, path)
	for km := 1; km <= 4*each; km++ {
		if seen[float64(km)] != 1 {
			t.Fatalf("ride of %d km stands %d times", km, seen[float64(km)])
		}
	}
	if len(seen) != 4*each || !strings.HasPrefix(readAll(t, path), "# start\n\n[[ride]]\n") {
		t.Errorf("%d rides", len(seen))
	}
}

// A writer that is killed at any moment leaves a log that can be read, with
// everything it had told of, and the next writer goes on.
func TestKilledWriters(t *testing.T) {
	path := logFile(t, "")
	told := 0
	for round := range 12 {
		cmd := writer(path, 1+round*1000, 1000)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		last := 0
		for range 3 + round {
			if lines.Scan() {
				last, _ = strconv.Atoi(lines.Text())
			}
		}
		time.Sleep(time.Duration(round*137) * time.Microsecond)
		_ = cmd.Process.Kill()
		for lines.Scan() {
			if km, err := strconv.Atoi(lines.Text()); err == nil {
				last = km
			}
		}
		_ = cmd.Wait() // it was killed
		seen := distances(t, path)
		for km := 1 + round*1000; km <= last; km++ {
			if seen[float64(km)] != 1 {
				t.Fatalf("ride of %d km, told of, stands %d times", km, seen[float64(km)])
			}
			told++
		}
		if seen[0] > 0 || seen[float64(last+2)] > 0 {
			t.Fatalf("rides nobody added: %v", seen)
		}
	}
	if told < 12*3 {
		t.Errorf("only %d appends were told of", told)
	}
}
