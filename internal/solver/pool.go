package solver

import (
	"bufio"
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"sync"
	"time"
)

// A child costs a few tenths of a second to start and some tens of megabytes to
// keep: a few are kept for a while.
const (
	keepIdle  = 2
	idleFor   = 5 * time.Minute
	startWait = 2 * time.Minute // the first start on a slow machine compiles for some seconds
)

// pool holds the children of this process.
type pool struct {
	mu   sync.Mutex
	idle []*child
	busy chan struct{} // as many solves at a time as there are processors
}

var children = pool{busy: make(chan struct{}, max(2, runtime.NumCPU()))}

// child is a running child process, seen from the parent.
type child struct {
	process *exec.Cmd
	encoder *gob.Encoder
	input   interface{ Close() error }
	replies chan reply
	quit    chan struct{} // closed by the parent: nobody listens any more
	dead    chan struct{} // closed when the process has ended
	last    *tail
	once    sync.Once
	bored   *time.Timer
}

// take gives an idle child, or a new one. A child that is still starting when the
// context ends is kept for the next.
func (p *pool) take(ctx context.Context) (*child, error) {
	select {
	case p.busy <- struct{}{}:
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	if c := p.takeIdle(); c != nil {
		return c, nil
	}
	type start struct {
		c   *child
		err error
	}
	started := make(chan start, 1)
	go func() {
		c, err := startChild()
		started <- start{c, err}
	}()
	select {
	case s := <-started:
		if s.err != nil {
			<-p.busy
		}
		return s.c, s.err
	case <-ctx.Done():
		go func() {
			if s := <-started; s.err == nil {
				p.give(s.c)
			} else {
				<-p.busy
			}
		}()
		return nil, ctx.Err()
	}
}

func (p *pool) takeIdle() *child {
	p.mu.Lock()
	defer p.mu.Unlock()
	for len(p.idle) > 0 {
		c := p.idle[len(p.idle)-1]
		p.idle = p.idle[:len(p.idle)-1]
		c.bored.Stop()
		if !c.isDead() {
			return c
		}
	}
	return nil
}

// give takes a child back that is ready for another model.
func (p *pool) give(c *child) {
	<-p.busy
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(p.idle) >= keepIdle || c.isDead() {
		c.kill()
		return
	}
	p.idle = append(p.idle, c)
	c.bored = time.AfterFunc(idleFor, func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		for i, other := range p.idle {
			if other == c {
				p.idle = append(p.idle[:i], p.idle[i+1:]...)
				c.kill()
				return
			}
		}
	})
}

// drop ends a child that is of no further use.
func (p *pool) drop(c *child) {
	<-p.busy
	c.kill()
}

var errNoHook = errors.New("solver: this program did not hand over to the solver; call solver.IsChild and solver.RunChild first of all in main or TestMain")

// startChild starts this binary again and waits until it is ready.
func startChild() (*child, error) {
	if os.Getenv(childMarker) != "" {
		return nil, errNoHook
	}
	if _, err := program(); err != nil {
		return nil, err
	}
	path, err := os.Executable()
	if err != nil {
		return nil, fmt.Errorf("solver: cannot find this program to start it again: %w", err)
	}
	process := exec.Command(path, childVerb)
	process.Env = append(os.Environ(), childMarker+"=1")
	c := &child{process: process, replies: make(chan reply), quit: make(chan struct{}), dead: make(chan struct{}), last: &tail{}}
	process.Stderr = c.last
	in, err := process.StdinPipe()
	if err != nil {
		return nil, fmt.Errorf("solver: %w", err)
	}
	out, err := process.StdoutPipe()
	if err != nil {
		return nil, fmt.Errorf("solver: %w", err)
	}
	if err := process.Start(); err != nil {
		return nil, fmt.Errorf("solver: cannot start %s again: %w", path, err)
	}
	c.input, c.encoder = in, gob.NewEncoder(in)
	go func() {
		decoder := gob.NewDecoder(bufio.NewReaderSize(out, 1<<16))
		for {
			var r reply
			if decoder.Decode(&r) != nil {
				break
			}
			select {
			case c.replies <- r:
				continue
			case <-c.quit:
			}
			break
		}
		_ = process.Process.Kill() // whatever it says now is not understood
		_ = process.Wait()
		close(c.dead)
	}()
	return c, c.hello()
}

// hello waits for the child's first word.
func (c *child) hello() error {
	select {
	case r := <-c.replies:
		if r.Hello == protocol {
			return nil
		}
		c.kill()
		if r.Fault != "" {
			return fmt.Errorf("solver: it does not start: %s", r.Fault)
		}
		return errors.New("solver: the program on disk is of another version than this one; start it anew")
	case <-c.dead:
		return fmt.Errorf("%w (it said: %s)", errNoHook, c.last)
	case <-time.After(startWait):
		c.kill()
		return fmt.Errorf("%w (it said nothing for %v)", errNoHook, startWait)
	}
}

func (c *child) isDead() bool {
	select {
	case <-c.dead:
		return true
	default:
		return false
	}
}

// kill ends the process; the reader reaps it.
func (c *child) kill() {
	c.once.Do(func() {
		close(c.quit)
		_ = c.process.Process.Kill()
		_ = c.input.Close()
	})
}

// tail keeps the last words of a child, for the error that tells of its end.
type tail struct {
	mu   sync.Mutex
	text []byte
}

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.text = append(t.text, p...)
	if over := len(t.text) - 2000; over > 0 {
		t.text = t.text[over:]
	}
	return len(p), nil
}

func (t *tail) String() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	if text := bytes.TrimSpace(t.text); len(text) > 0 {
		return string(text)
	}
	return "nothing"
}
