package desk

import (
	"container/list"
	"sync"
)

// kept holds the latest results by key, the least lately asked for going first. Two
// who ask for the same at once wait for one making of it. Errors are not kept.
type kept struct {
	mu    sync.Mutex
	most  int
	order *list.List // of *result, the latest in front
	by    map[string]*list.Element
}

type result struct {
	key   string
	ready chan struct{}
	value any
	err   error
}

func newKept(most int) *kept {
	return &kept{most: most, order: list.New(), by: map[string]*list.Element{}}
}

// keep gives what is kept under a key, or makes it.
func keep[T any](k *kept, key string, work func() (T, error)) (T, error) {
	k.mu.Lock()
	if e, ok := k.by[key]; ok {
		k.order.MoveToFront(e)
		r := e.Value.(*result)
		k.mu.Unlock()
		<-r.ready
		if v, ok := r.value.(T); ok && r.err == nil {
			return v, nil
		}
		// The one who made it failed, perhaps only because it was no longer wanted.
		return work()
	}
	r := &result{key: key, ready: make(chan struct{})}
	e := k.order.PushFront(r)
	k.by[key] = e
	if k.order.Len() > k.most {
		last := k.order.Back()
		delete(k.by, last.Value.(*result).key)
		k.order.Remove(last)
	}
	k.mu.Unlock()
	done := false
	defer func() {
		if !done || r.err != nil { // also after a panic: nobody may wait for ever
			k.drop(e)
		}
		close(r.ready)
	}()
	v, err := work()
	r.value, r.err, done = v, err, true
	return v, err
}

// has tells whether a result is kept, made.
func (k *kept) has(key string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	e, ok := k.by[key]
	if !ok {
		return false
	}
	select {
	case <-e.Value.(*result).ready:
		return true
	default:
		return false
	}
}

func (k *kept) drop(e *list.Element) {
	k.mu.Lock()
	defer k.mu.Unlock()
	r := e.Value.(*result)
	if k.by[r.key] == e {
		delete(k.by, r.key)
		k.order.Remove(e)
	}
}
