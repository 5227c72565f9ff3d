package cli

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"

	"rowen/internal/desk"
	"rowen/internal/office"
	"rowen/internal/web"
)

type serveCommand struct {
	Book     string `help:"The office's book; made with the invented valley in it if it is missing. Default: rowen.book in your configuration folder." placeholder:"FILE"`
	Listen   string `help:"Address and port; this machine alone." default:"127.0.0.1:8377"`
	Years    int    `help:"Plan over so many of the latest feed years, where the weather has them." default:"30" placeholder:"N"`
	Language string `help:"The file of a language, begun with rowen words; pages and papers speak it." type:"existingfile" placeholder:"FILE"`
	NoOpen   bool   `help:"Do not open a browser."`
	Log      string `help:"debug, info, warn or error." default:"warn" enum:"debug,info,warn,error"`
}

// Help shows examples.
func (serveCommand) Help() string { return examples("serve") }

// Run serves the book until it is interrupted.
func (c serveCommand) Run(f *face) error {
	address, err := web.Loopback(c.Listen)
	if err != nil {
		return err
	}
	if c.Years < 1 || c.Years > desk.MostYears {
		return fmt.Errorf("--years %d: write a number from 1 to %d", c.Years, desk.MostYears)
	}
	path := c.Book
	if path == "" {
		if path, err = usualBook(); err != nil {
			return err
		}
	}
	_, missing := os.Stat(path)
	book, err := office.Open(f.ctx, path)
	if err != nil {
		return err
	}
	err = c.serve(f, book, address, path, errors.Is(missing, os.ErrNotExist))
	return errors.Join(err, book.Close())
}

func (c serveCommand) serve(f *face, book *office.Book, address, path string, fresh bool) error {
	var level slog.Level
	if err := level.UnmarshalText([]byte(c.Log)); err != nil {
		return fmt.Errorf("--log: %w", err)
	}
	var language []byte
	if c.Language != "" {
		var err error
		if language, err = os.ReadFile(c.Language); err != nil {
			return fmt.Errorf("--language: %w", err)
		}
	}
	s, err := web.New(book, web.Options{Years: c.Years, Language: language, Log: slog.New(slog.NewTextHandler(f.err, &slog.HandlerOptions{Level: level}))})
	if err != nil {
		return err
	}
	if fresh {
		if err := s.OpenDemo(f.ctx); err != nil {
			return err
		}
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w; another Rowen may be running: open it, or give another port with --listen 127.0.0.1:0", address, err)
	}
	at := "http://" + l.Addr().String() + "/"
	if _, err := fmt.Fprintf(f.out, "The book %s is open at %s\nClose it with Ctrl+C.\n", path, at); err != nil {
		return errors.Join(err, l.Close())
	}
	if !c.NoOpen {
		openBrowser(at)
	}
	spareMemory()
	return s.Serve(f.ctx, l)
}

// The program stands open all day beside others: it collects sooner than a program that
// ends, and hard before it takes more than this.
const (
	collectAt   = 40        // percent of what is in use
	memoryLimit = 220 << 20 // of Go's own; SQLite's pages come on top
)

// spareMemory holds the program to its memory, where the person has not said otherwise.
func spareMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(collectAt)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryLimit)
	}
}

// usualBook is where a person's book lies when no path is given.
func usualBook() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for the book: %w; give one with --book FILE", err)
	}
	dir = filepath.Join(dir, "rowen")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("cannot make the book's folder: %w; give a place with --book FILE", err)
	}
	return filepath.Join(dir, "rowen.book"), nil
}

// openBrowser asks the system to show an address. Where it cannot, the address was
// printed.
func openBrowser(at string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		c = exec.Command("open", at)
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", at)
	default:
		c = exec.Command("xdg-open", at)
	}
	if c.Start() == nil {
		go func() { _ = c.Wait() }()
	}
}
