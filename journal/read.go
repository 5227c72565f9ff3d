package journal

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"regexp"
	"strconv"
	"unicode/utf8"

	"rowen/internal/document"
)

// Reader reads a journal line by line. Bad lines are gathered, good ones given.
type Reader struct {
	// Problems are lines that cannot be read, and so were left out.
	Problems document.Problems
	// Torn are lines cut off while they were written, as after a power cut. Such
	// an entry was never confirmed to whoever wrote it; all others are whole.
	Torn document.Problems

	file string
	in   *bufio.Reader
	line int
	torn []ID // what torn lines were called, as far as they tell; sequence 0: cut off before it was whole
}

// NewReader reads a journal; file is the name for problems.
func NewReader(file string, in io.Reader) *Reader {
	return &Reader{file: file, in: bufio.NewReaderSize(in, 64<<10)}
}

// Next is the next good entry, io.EOF at the end, or the error of the source
// itself. Problems and Torn are whole when io.EOF has come.
func (r *Reader) Next() (Entry, error) {
	for {
		line, last, err := r.read()
		if err != nil {
			return Entry{}, err
		}
		if e, ok := r.entry(line, last); ok {
			return e, nil
		}
	}
}

// read takes one line without its end. Of a line that is too long only the
// beginning is kept; last tells that no line feed ended it.
func (r *Reader) read() (line []byte, last bool, err error) {
	r.line++
	for {
		part, err := r.in.ReadSlice('\n')
		if room := maxLine + 2 - len(line); room > 0 {
			line = append(line, part[:min(room, len(part))]...)
		}
		switch {
		case err == nil:
			return bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r")), false, nil
		case errors.Is(err, bufio.ErrBufferFull):
		case err == io.EOF && len(line) > 0:
			return line, true, nil
		default:
			return nil, false, err
		}
	}
}

// entry reads one line, or reports it.
func (r *Reader) entry(line []byte, last bool) (Entry, bool) {
	if r.line == 1 {
		line = bytes.TrimPrefix(line, []byte("\ufeff"))
	}
	if len(bytes.TrimSpace(line)) == 0 {
		return Entry{}, false
	}
	if len(line) > maxLine {
		r.report(line, "it is longer than a million bytes; give the right file")
		return Entry{}, false
	}
	members, err := membersOf(line)
	if err == nil {
		return r.whole(line, members)
	}
	if tornLine(line) {
		remedy := "cut off while it was written, and never confirmed; nothing else is lost: look whether its fact is missing, and enter it again"
		if last {
			remedy += "; the next entry will begin on a line of its own"
		}
		if id, ok := tornID(line); ok {
			r.torn = append(r.torn, id)
		}
		r.Torn = append(r.Torn, document.Problem{File: r.file, Line: r.line, Thing: "torn line", Value: excerpt(line), Remedy: remedy})
		return Entry{}, false
	}
	r.report(line, "not a line of a journal; take the file from another device or a copy, or enter the fact again")
	return Entry{}, false
}

// calls finds the identity in a line; what stands before it holds no free text.
var calls = regexp.MustCompile(`^\{"v":[0-9]+,"date":"[^"]*","at":"[^"]*","device":"([^"]+)"(?:,"seq":([0-9]+),)?`)

// tornID is what a torn line was called. The sequence is 0 where it was cut off
// before its end, since the beginning of a number is another number.
func tornID(line []byte) (ID, bool) {
	m := calls.FindSubmatch(line)
	if m == nil || !isDevice(string(m[1])) {
		return ID{}, false
	}
	n, err := strconv.ParseUint(string(m[2]), 10, 64)
	if err != nil {
		n = 0
	}
	return ID{string(m[1]), n}, true
}

// whole reads a line that is a JSON object: its checksum first.
func (r *Reader) whole(line []byte, members []jsonMember) (Entry, bool) {
	n := len(line) - sumBytes
	if n < 1 || !bytes.HasPrefix(line[n:], []byte(sumOpens)) {
		r.report(line, "no checksum ends it: it was not written by this program; enter the fact again")
		return Entry{}, false
	}
	if want := fmt.Sprintf("%08x", crc32.Checksum(line[:n], castagnoli)); want != string(line[n+len(sumOpens):len(line)-2]) {
		r.report(line, "its checksum is wrong: it was damaged, or changed by hand; take it from another device or a copy, or enter the fact again as a correction")
		return Entry{}, false
	}
	if !utf8.Valid(line) {
		r.report(line, "not valid UTF-8 text; take it from another device or a copy")
		return Entry{}, false
	}
	e, problems := decode(members)
	for _, p := range problems {
		p.File, p.Line = r.file, r.line
		r.Problems = append(r.Problems, p)
	}
	return e, len(problems) == 0
}

func (r *Reader) report(line []byte, remedy string) {
	r.Problems = append(r.Problems, document.Problem{File: r.file, Line: r.line, Thing: "line", Value: excerpt(line), Remedy: remedy})
}

// excerpt is the beginning of a line, enough to find it by.
func excerpt(line []byte) string {
	return string(bytes.ToValidUTF8(line[:min(len(line), 60)], []byte("?")))
}

// Log is a journal read whole: its entries in the order of the file, the lines
// that could not be read, and the lines cut off in mid-write.
type Log struct {
	Entries  []Entry
	Problems document.Problems
	Torn     document.Problems
}

// ReadAll reads a journal whole; file is the name for problems. The error is that
// of the source; bad lines are in the log.
func ReadAll(file string, in io.Reader) (Log, error) {
	r := NewReader(file, in)
	var log Log
	for {
		e, err := r.Next()
		if err != nil {
			log.Problems, log.Torn = r.Problems, r.Torn
			if err == io.EOF {
				err = nil
			}
			return log, err
		}
		log.Entries = append(log.Entries, e)
	}
}

// Read reads the journal of a path. A missing file is an error that fits
// os.ErrNotExist.
func Read(path string) (log Log, err error) {
	f, err := os.Open(path)
	if err != nil {
		return Log{}, fmt.Errorf("cannot read the journal: %w; give its path", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	share(f) // released by closing
	return ReadAll(path, f)
}
