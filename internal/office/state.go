package office

import (
	"errors"
	"fmt"
	"sync"
)

// state is what a book's use has shown of it.
type state struct {
	mu        sync.Mutex
	unwritten error // why the last change could not be kept; nil once one was
	damage    error // the first that was met: it does not heal while the book is open
}

// Wrong is what the book's use has shown to be wrong with it: it could not be written
// when it was last tried, or something in it is not what was saved. It looks at nothing
// itself: see Check.
func (b *Book) Wrong() error {
	b.state.mu.Lock()
	defer b.state.mu.Unlock()
	return errors.Join(b.state.unwritten, b.state.damage)
}

// wrote takes note of how a change ended. What was refused for its own sake says nothing
// of the book.
func (s *state) wrote(err error) {
	s.met(err)
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case err == nil:
		s.unwritten = nil
	case stuck(err):
		s.unwritten = fmt.Errorf("the book could not be written when it was last tried: %w", err)
	}
}

// met takes note of damage.
func (s *state) met(err error) {
	if !errors.Is(err, errDamaged) {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.damage == nil {
		s.damage = err
	}
}
