package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math/rand/v2"
	"net/http"
	"slices"
	"sync"
	"time"
)

var client = &http.Client{Timeout: 2 * time.Minute, Transport: &http.Transport{MaxIdleConnsPerHost: 400}}

// times is how long answers took, by page.
type times struct {
	mu    sync.Mutex
	began time.Time
	by    map[string][]time.Duration
	bad   map[string]int
	order []string
}

func newTimes() *times {
	return &times{began: time.Now(), by: map[string][]time.Duration{}, bad: map[string]int{}}
}

func (t *times) add(page string, took time.Duration, err error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if _, ok := t.by[page]; !ok {
		t.order = append(t.order, page)
	}
	t.by[page] = append(t.by[page], took)
	if err != nil {
		if t.bad[page]++; t.bad[page] < 4 {
			fmt.Printf("%s: %v\n", page, err)
		}
	}
}

func (t *times) failed() (n int) {
	for _, k := range t.bad {
		n += k
	}
	return n
}

func (t *times) print() {
	fmt.Println("| page | answers | middle | p95 | p99 | longest | failed |\n|---|---|---|---|---|---|---|")
	var all []time.Duration
	row := func(name string, d []time.Duration, bad int) {
		slices.Sort(d)
		at := func(share float64) time.Duration {
			return d[min(len(d)-1, int(share*float64(len(d))))].Round(100 * time.Microsecond)
		}
		fmt.Printf("| %s | %d | %s | %s | %s | %s | %d |\n", name, len(d), at(0.5), at(0.95), at(0.99), at(1), bad)
	}
	for _, page := range t.order {
		row(page, slices.Clone(t.by[page]), t.bad[page])
		all = append(all, t.by[page]...)
	}
	if len(all) > 0 {
		row("all", all, t.failed())
		fmt.Printf("%.1f answers a second\n", float64(len(all))/time.Since(t.began).Seconds())
	}
}

// fetch asks for a page and reads it whole.
func (t *times) fetch(page, url string) {
	began := time.Now()
	answer, err := client.Get(url)
	t.ended(page, began, answer, err)
}

func (t *times) ended(page string, began time.Time, answer *http.Response, err error) {
	if err == nil {
		_, err = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close()
		if answer.StatusCode != http.StatusOK && err == nil {
			err = fmt.Errorf("answer %d", answer.StatusCode)
		}
	}
	t.add(page, time.Since(began), err)
}

// pages are what is looked at, with how often in a hundred; of the rest nine are the list
// of farms and one a note: at 200 users some 900 an hour, many times what a day brings.
var pages = []struct {
	name, path string
	share      int
}{
	{"today", "today", 22}, {"in the field", "phone", 22}, {"season", "season", 18}, {"animals", "animals", 6}, {"stores", "store", 8},
	{"a figure", "figures/gap.bad", 6}, {"document", "document", 4}, {"ground", "ground", 4},
}

func pagesAlone(at string, farms int) *times {
	t := newTimes()
	for _, p := range pages {
		for _, visit := range []string{"first", "later"} {
			for farm := 1; farm <= farms; farm++ {
				t.fetch(p.name+", "+visit, fmt.Sprintf("%s/farms/%d/%s", at, farm, p.path))
			}
		}
	}
	return t
}

// allRead waits until every farm's day and plan have been read, as the list of farms has it done
// behind the page, and tells how long that took; then the list is timed.
func (t *times) allRead(at string) error {
	began := time.Now()
	t.fetch("farms, first", at+"/")
	for {
		var needs struct{ Reading, Behind int }
		answer, err := client.Get(at + "/api/needs")
		if err != nil {
			return err
		}
		err = json.NewDecoder(answer.Body).Decode(&needs)
		if err := errors.Join(err, answer.Body.Close()); err != nil {
			return err
		}
		if needs.Reading+needs.Behind == 0 {
			break
		}
		time.Sleep(500 * time.Millisecond)
	}
	fmt.Printf("every farm's day and plan read after %.0f s\n", time.Since(began).Seconds())
	for range 10 {
		t.fetch("farms, later", at+"/")
	}
	return nil
}

// together lets users look at pages and note things, each on a farm of their own.
func together(at string) *times {
	t := newTimes()
	var all sync.WaitGroup
	end := time.Now().Add(*lasting)
	for user := range *users {
		all.Go(func() {
			random := rand.New(rand.NewPCG(*seed, uint64(user)))
			farm := user%*farms + 1
			time.Sleep(time.Duration(random.Int64N(int64(*think))))
			for n := 1; time.Now().Before(end); n++ {
				t.look(at, farm, user, n, random)
				time.Sleep(time.Duration(float64(*think) * (0.5 + random.Float64())))
			}
		})
	}
	all.Wait()
	return t
}

func (t *times) look(at string, farm, user, n int, random *rand.Rand) {
	pick := random.IntN(100)
	for _, p := range pages {
		if pick -= p.share; pick < 0 {
			t.fetch(p.name, fmt.Sprintf("%s/farms/%d/%s", at, farm, p.path))
			return
		}
	}
	if pick < 9 {
		t.fetch("farms", at+"/")
		return
	}
	now := time.Now().UTC()
	line := fmt.Sprintf(`{"v":1,"date":"%s","at":"%s","device":"u%d-%d","seq":%d,"kind":"height","field":"Barn Pasture","heights":["%d in"]`, now.Format(time.DateOnly), now.Format(time.RFC3339), user, now.UnixNano()%1e6, n, 4+random.IntN(3))
	body := fmt.Appendf(nil, "%s,\"sum\":\"%08x\"}\n", line, crc32.Checksum([]byte(line), crc32.MakeTable(crc32.Castagnoli)))
	began := time.Now()
	answer, err := client.Post(fmt.Sprintf("%s/api/farms/%d/journal", at, farm), "application/x-ndjson", bytes.NewReader(body))
	t.ended("a note", began, answer, err)
}
