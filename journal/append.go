package journal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"time"
)

// Append adds entries to the journal of a path, made if it is missing. When it
// returns without error the entries are on the disk and survive a crash or a power
// cut. Others who append at the same time wait their turn. A line that was cut off
// before is closed first, so that nothing is merged into it.
//
// If an entry cannot be kept (document.Problems), nothing is written. If the disk
// fails, the error says so; to append the same entries again is then safe, since
// identical entries count once.
func Append(path string, entries ...Entry) error {
	data, err := lines(path, entries)
	if err != nil {
		return err
	}
	return locked(path, func(f *os.File) error { return add(f, data) })
}

// Record takes in new entries made on a device: it tidies them, numbers them after
// the device's last entry in the file, dates those without a moment now, appends
// them as Append does, and returns them as kept. Two programs may record for one
// device at the same time. After an error of the disk, look whether an entry is
// there before recording it again: it would get a new number.
func Record(path, device string, now time.Time, entries ...Entry) ([]Entry, error) {
	kept := make([]Entry, len(entries))
	err := locked(path, func(f *os.File) error {
		used, err := sequences(path, f, device)
		if err != nil {
			return err
		}
		last, ok := After(used, len(entries))
		if !ok {
			return fmt.Errorf("device %q: its count of entries is used up; give the device another name", device)
		}
		for i, e := range entries {
			if e.Recorded.IsZero() {
				e.Recorded = now
			}
			last++
			e.ID = ID{device, last}
			kept[i] = Tidy(e)
		}
		data, err := lines(path, kept)
		if err != nil {
			return err
		}
		return add(f, data)
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

// After is the number that a device's next entries follow, so many of them: its highest.
// Where one was numbered at the end of all counting, by a slip or a trick, it is the
// highest with room behind it. It is false if there is none. The numbers used may come
// in any order; they are put in order.
func After(used []uint64, entries int) (last uint64, ok bool) {
	slices.Sort(used)
	next := uint64(MaxSequence) + 1
	for i := len(used); i >= 0; i-- {
		last = 0
		if i > 0 {
			last = used[i-1]
		}
		if last < next {
			if next-last > uint64(entries) {
				return last, true
			}
			next = last
		}
	}
	return 0, false
}

// sequences are the numbers that a device has used in a journal. A torn line has used
// its number too: a copy made before may hold the line whole. Where the number itself
// was cut off, it was most likely the next.
func sequences(path string, f *os.File, device string) ([]uint64, error) {
	r := NewReader(path, f)
	var used []uint64
	var last uint64
	use := func(n uint64) {
		used = append(used, n)
		if n <= MaxSequence {
			last = max(last, n)
		}
	}
	for {
		e, err := r.Next()
		for _, id := range r.torn {
			switch {
			case id.Device != device:
			case id.Sequence == 0:
				use(last + 1)
			default:
				use(id.Sequence)
			}
		}
		r.torn = r.torn[:0]
		if err == io.EOF {
			return used, nil
		}
		if err != nil {
			return nil, fmt.Errorf("cannot read %s: %w; nothing was written", path, err)
		}
		if e.Device == device {
			use(e.Sequence)
		}
	}
}

// locked opens a journal and does something while nobody else writes to it.
func locked(path string, do func(*os.File) error) (err error) {
	for {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
		if err != nil {
			return fmt.Errorf("cannot open the journal: %w; give a folder that exists and can be written", err)
		}
		release, err := exclude(path, f)
		if err != nil {
			return errors.Join(err, f.Close())
		}
		// A program that copies files may have put another in its place meanwhile.
		if !stillThere(path, f) {
			if err := errors.Join(release(), f.Close()); err != nil {
				return err
			}
			continue
		}
		return errors.Join(do(f), release(), f.Close())
	}
}

func stillThere(path string, f *os.File) bool {
	there, err := os.Stat(path)
	opened, ferr := f.Stat()
	return err == nil && ferr == nil && os.SameFile(there, opened)
}

// add writes whole lines at the end of a journal and waits for the disk.
func add(f *os.File, data []byte) error {
	if len(data) == 0 {
		return nil
	}
	info, err := f.Stat()
	if err != nil {
		return fmt.Errorf("cannot read %s: %w; nothing was written", f.Name(), err)
	}
	size := info.Size()
	if size == 0 {
		// The name of a new file must be on the disk before its first entry is
		// promised.
		if err := syncFolder(filepath.Dir(f.Name())); err != nil {
			return fmt.Errorf("cannot keep %s: %w; nothing was written", f.Name(), err)
		}
	} else {
		end := make([]byte, 1)
		if _, err := f.ReadAt(end, size-1); err != nil {
			return fmt.Errorf("cannot read %s: %w; nothing was written", f.Name(), err)
		}
		if end[0] != '\n' {
			data = append([]byte{'\n'}, data...)
		}
	}
	if _, err := f.Write(data); err != nil {
		// What was written of it is taken away again; if even that fails, it is a
		// torn line, and the next Append closes it.
		return errors.Join(fmt.Errorf("cannot write %s: %w; make room on the disk and enter it again", f.Name(), err), f.Truncate(size))
	}
	if err := f.Sync(); err != nil {
		return fmt.Errorf("%s may not be safe on the disk: %w; look at the disk and enter it again", f.Name(), err)
	}
	return nil
}

// syncFolder waits until a folder's names are on the disk. Windows offers no such
// thing: its file systems keep their own journal of names.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
