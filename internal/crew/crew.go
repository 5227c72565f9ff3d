// Package crew lets several do parts of one work at once, so that a defect in one part
// is an error of the work and not the end of the program: a panic outside the goroutine
// that asked for the work cannot be caught by who asked. It knows work; it may not know
// what the work is about.
package crew

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"golang.org/x/sync/errgroup"
)

// Defect is a panic as an error.
type Defect struct {
	Value any    // what was thrown
	Where string // the function that threw it, with its line
	Stack []byte // the whole way there, for a log
}

// Error says on one line what went wrong and where.
func (d *Defect) Error() string { return fmt.Sprintf("a defect: %v in %s", d.Value, d.Where) }

// Safely does something and gives its panic as a *Defect.
func Safely(do func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &Defect{v, thrower(), debug.Stack()}
		}
	}()
	return do()
}

// thrower is the function that panicked, asked while its panic is being caught: the
// first behind the runtime's own.
func thrower() string {
	var at [64]uintptr
	frames := runtime.CallersFrames(at[:runtime.Callers(1, at[:])])
	thrown := false
	for {
		f, more := frames.Next()
		own := strings.HasPrefix(f.Function, "runtime.")
		if thrown && !own {
			return fmt.Sprintf("%s, line %d", f.Function, f.Line)
		}
		thrown = thrown || own
		if !more {
			return "an unknown place"
		}
	}
}

// Crew does parts of one work, some at once.
type Crew struct{ group *errgroup.Group }

// Of is a crew of at most so many hands. Its context ends with the first error, or when
// Wait is done.
func Of(ctx context.Context, hands int) (*Crew, context.Context) {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(1, hands))
	return &Crew{group}, ctx
}

// Go does a part as soon as a hand is free; the caller waits until then.
func (c *Crew) Go(part func() error) { c.group.Go(func() error { return Safely(part) }) }

// Wait waits for all parts and gives the first error, a *Defect where a part panicked.
func (c *Crew) Wait() error { return c.group.Wait() }
