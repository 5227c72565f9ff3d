package solver_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"rowen/internal/solver"
)

const parentMarker = "ROWEN_SOLVER_TEST_PARENT"

// runParent is a process that solves without end and tells when it is at it.
func runParent() int {
	_, err := solver.Solve(context.Background(), marketSplit(6, 50), solver.Options{Progress: func(p solver.Progress) {
		if p.Incumbent {
			fmt.Println("solving")
		}
	}})
	fmt.Println(err)
	return 1
}

// A parent that is killed, without any chance to tidy up, leaves no child behind.
func TestChildDiesWithItsParent(t *testing.T) {
	needSolver(t)
	if runtime.GOOS != "linux" {
		t.Skip("the children of a process are looked up under /proc, which only Linux has")
	}
	parent := exec.Command(os.Args[0])
	parent.Env = append(os.Environ(), parentMarker+"=1")
	out, err := parent.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := parent.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || line != "solving\n" {
		t.Fatalf("the parent says %q, %v", line, err)
	}
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", parent.Process.Pid, parent.Process.Pid))
	if err != nil {
		t.Skip(err)
	}
	// The child may have been started by another thread of the parent.
	tasks, _ := os.ReadDir(fmt.Sprintf("/proc/%d/task", parent.Process.Pid))
	for _, task := range tasks {
		more, _ := os.ReadFile(fmt.Sprintf("/proc/%d/task/%s/children", parent.Process.Pid, task.Name()))
		text = append(append(text, ' '), more...)
	}
	children := strings.Fields(string(text))
	if len(children) == 0 {
		t.Fatal("the parent has no child")
	}
	if err := parent.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = parent.Wait()
	for _, pid := range children {
		id, err := strconv.Atoi(pid)
		if err != nil {
			t.Fatal(err)
		}
		for waited := 0; running(id); waited++ {
			if waited > 600 {
				t.Fatalf("child %d still runs a minute after its parent was killed", id)
			}
			time.Sleep(100 * time.Millisecond)
		}
	}
}

// running says whether a process is there and no zombie.
func running(pid int) bool {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return false
	}
	after := text[strings.LastIndexByte(string(text), ')')+1:]
	return !strings.HasPrefix(strings.TrimSpace(string(after)), "Z")
}
