// Command load makes an office's book as large as one gets, serves it with the rowen
// given, and reports how long pages take: each alone, and under many users at once.
//
//	cd tools && go run ./load -rowen ../rowen -dir /var/tmp/load
//
// It goes the way that anybody can: it writes plain files, has rowen book import read
// them, and asks for pages by HTTP. It ends with an error if any answer was not a page.
package main

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

var (
	program = flag.String("rowen", "../rowen", "the program to load")
	dir     = flag.String("dir", "", "scratch folder for the book; kept, and used again if it is there")
	farms   = flag.Int("farms", 200, "farms")
	fields  = flag.Int("fields", 40, "fields of a farm")
	seasons = flag.Int("seasons", 5, "seasons of each journal")
	users   = flag.Int("users", 200, "users at once")
	lasting = flag.Duration("for", 5*time.Minute, "how long they go on")
	think   = flag.Duration("think", 8*time.Second, "a user's mean time between two pages")
	alone   = flag.Int("alone", 20, "farms on which each page is timed alone; 0 leaves that out")
	seed    = flag.Uint64("seed", 1, "what users do")
)

func main() {
	flag.Parse()
	if *dir == "" {
		log.Fatal("load: give a scratch folder with -dir")
	}
	if err := run(); err != nil {
		log.Fatal("load: ", err)
	}
}

func run() error {
	book := filepath.Join(*dir, "office.book")
	if _, err := os.Stat(book); err != nil {
		if err := makeBook(book); err != nil {
			return err
		}
	}
	info, err := os.Stat(book)
	if err != nil {
		return err
	}
	fmt.Printf("book: %d farms x %d fields x %d seasons, %d MB\n", *farms, *fields, *seasons, info.Size()>>20)
	s, err := serve(book)
	if err != nil {
		return err
	}
	defer s.stop()
	if *alone > 0 {
		fmt.Printf("\nEach page alone, one user, %d farms; first and later visits\n", *alone)
		t := pagesAlone(s.at, *alone)
		if err := t.allRead(s.at); err != nil {
			return err
		}
		t.print()
	}
	fmt.Printf("memory: %s\n", s.memory())
	if *users > 0 {
		fmt.Printf("\n%d users for %s, a page every %s\n", *users, *lasting, *think)
		seen := together(s.at)
		seen.print()
		fmt.Printf("memory: %s\n", s.memory())
		if n := seen.failed(); n > 0 {
			return fmt.Errorf("%d answers were no pages", n)
		}
	}
	return nil
}

// makeBook writes plain files and reads them into a book.
func makeBook(book string) error {
	plain := filepath.Join(*dir, "plain")
	if err := os.RemoveAll(plain); err != nil {
		return err
	}
	entries, err := writePlain(plain)
	if err != nil {
		return err
	}
	for _, args := range [][]string{{"book", "import", plain, "--book", book}, {"book", "check", "--book", book}} {
		began := time.Now()
		out, err := exec.Command(*program, args...).CombinedOutput()
		if err != nil {
			return fmt.Errorf("%s: %w: %s", strings.Join(args[:2], " "), err, out)
		}
		fmt.Printf("%s of %d entries: %.1f s\n", strings.Join(args[:2], " "), entries, time.Since(began).Seconds())
	}
	return nil
}

// server is the program serving a book.
type server struct {
	at  string
	cmd *exec.Cmd
}

func serve(book string) (*server, error) {
	c := exec.CommandContext(context.Background(), *program, "serve", "--book", book, "--listen", "127.0.0.1:0", "--no-open")
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := c.Start(); err != nil {
		return nil, err
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if _, at, ok := strings.Cut(lines.Text(), "http://"); ok {
			go func() {
				for lines.Scan() {
				}
			}()
			return &server{"http://" + strings.TrimSuffix(at, "/"), c}, nil
		}
	}
	return nil, fmt.Errorf("rowen serve ended without an address: %w", c.Wait())
}

func (s *server) stop() {
	_ = s.cmd.Process.Signal(os.Interrupt)
	_ = s.cmd.Wait()
}

// memory is what the program has in memory now and had at most, where the system tells.
func (s *server) memory() string {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	if err != nil {
		return "not told by this system"
	}
	var out []string
	for _, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(line, "VmRSS") || strings.HasPrefix(line, "VmHWM") {
			out = append(out, strings.Join(strings.Fields(line), " "))
		}
	}
	return strings.Join(out, ", ")
}
