package solver

import (
	"bufio"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"sync"
)

// A child is told so twice: by a verb, which shows in a list of processes, and by
// its environment, so that a program that forgot the hook does not start itself
// for ever.
const (
	childVerb   = "solver-child"
	childMarker = "ROWEN_SOLVER_CHILD"
)

// IsChild says whether this process was started to solve. Ask first of all in
// main and in TestMain, and hand over to RunChild.
func IsChild() bool {
	return len(os.Args) == 2 && os.Args[1] == childVerb && os.Getenv(childMarker) != ""
}

// RunChild takes models from standard input and answers on standard output, until
// the parent closes the input or dies. It gives the code to exit with.
func RunChild() int {
	in, out := os.Stdin, os.Stdout
	os.Stdout = os.Stderr // a stray print must not fall among the answers
	// An interrupt at the terminal reaches parent and child alike; the parent decides.
	signal.Ignore(os.Interrupt)
	// A running solve never yields its thread; the reader needs one to see the
	// parent's end by.
	runtime.GOMAXPROCS(max(2, runtime.GOMAXPROCS(0)))
	if err := serve(context.Background(), in, out, func() { os.Exit(0) }); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// serve answers requests one after another. It calls gone when the input ends,
// even while a solve runs.
func serve(ctx context.Context, in io.Reader, out io.Writer, gone func()) error {
	var mu sync.Mutex
	var lost error
	buffered := bufio.NewWriterSize(out, 1<<16)
	encoder := gob.NewEncoder(buffered)
	say := func(r reply) {
		mu.Lock()
		defer mu.Unlock()
		if lost == nil {
			lost = errors.Join(encoder.Encode(r), buffered.Flush())
		}
	}
	h, err := newHost(ctx)
	if err != nil {
		say(reply{Fault: err.Error()})
		return err
	}
	say(reply{Hello: protocol})

	requests := make(chan *request)
	failed := make(chan error, 1)
	go func() {
		decoder := gob.NewDecoder(bufio.NewReaderSize(in, 1<<16))
		for {
			q, err := readRequest(decoder)
			if err != nil {
				if errors.Is(err, io.EOF) {
					gone()
				}
				failed <- err
				return
			}
			requests <- q
		}
	}()
	for lost == nil {
		select {
		case err := <-failed:
			return err
		case q := <-requests:
			if err := h.solve(ctx, q, say); err != nil {
				say(reply{Fault: err.Error(), NoMemory: errors.Is(err, ErrMemory)})
				continue
			}
			say(reply{Done: true})
		}
	}
	return lost
}

// readRequest reads the next request and checks that its parts fit together.
func readRequest(d *gob.Decoder) (*request, error) {
	q := new(request)
	if err := d.Decode(q); err != nil {
		return nil, err
	}
	return q, q.check()
}
