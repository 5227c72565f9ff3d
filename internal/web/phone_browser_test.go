package web_test

import (
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"rowen/internal/office"
	"rowen/internal/web"
	"rowen/journal"
)

// way leads to a server and can break.
type way struct {
	inner    http.Handler
	state    atomic.Int32
	stumbles atomic.Int32
}

const (
	up        = iota
	down      // nothing arrives
	oneWay    // what is sent arrives, the answer does not
	stuck     // nothing arrives and nothing says so
	stumbling // the next askings fail, then it is up
)

func (n *way) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	switch n.state.Load() {
	case down:
		panic(http.ErrAbortHandler)
	case stuck:
		_, _ = io.Copy(io.Discard, r.Body) // only then is it seen that nobody waits any more
		<-r.Context().Done()
		panic(http.ErrAbortHandler)
	case stumbling:
		if n.stumbles.Add(1) >= 4 { // a browser asks twice by itself
			n.state.Store(up)
		}
		panic(http.ErrAbortHandler)
	case oneWay:
		n.inner.ServeHTTP(httptest.NewRecorder(), r)
		panic(http.ErrAbortHandler)
	}
	n.inner.ServeHTTP(w, r)
}

// field serves the invented valley over a network that can break.
func field(t *testing.T) (*way, *httptest.Server, *office.Book) {
	t.Helper()
	book, err := office.Open(t.Context(), filepath.Join(t.TempDir(), "test.book"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	s, err := web.New(book, web.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.OpenDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	n := &way{inner: s.Handler()}
	server := httptest.NewServer(n)
	t.Cleanup(server.Close)
	return n, server, book
}

func (b *browser) tap(selector string) {
	b.t.Helper()
	b.until(`document.querySelector(` + "`" + selector + "`" + `) !== null`)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector(` + "`" + selector + "`" + `).click()`))
}

// leave taps what opens another page, and waits until something holds there.
func (b *browser) leave(selector, expression string) {
	b.t.Helper()
	b.tap(selector)
	for range 100 {
		ctx, cancel := context.WithTimeout(b.ctx, time.Second)
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`document.readyState === "complete" && (`+expression+`)`))
		cancel()
		if err == nil && ok {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	b.t.Fatalf("it never came to: %s", expression)
}

func (b *browser) keys(text string) { b.t.Helper(); b.do(chromedp.KeyEvent(text)) }

// height notes a height by two taps, a number and Enter.
func (b *browser) height(field, number string) {
	b.t.Helper()
	b.tap(`[data-note="` + field + `"]`)
	b.tap(`[data-kind="height"]`)
	b.until(`document.activeElement.id === "note-number"`)
	b.keys(number + "\r")
	b.until(`!document.getElementById("note-sheet").open`)
}

// offline takes the network from the browser, or gives it back.
func (b *browser) offline(off bool) {
	b.t.Helper()
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: off, DownloadThroughput: -1, UploadThroughput: -1})
		return chromedp.Void{}, err
	})
}

func entriesOf(t *testing.T, book *office.Book, farm int64, device string) (out []journal.Entry, conflicts []journal.Conflict) {
	t.Helper()
	all, conflicts, err := book.Journal(t.Context(), farm)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range all {
		if strings.HasPrefix(e.Device, device) {
			out = append(out, e)
		}
	}
	return out, conflicts
}

func dairyOf(t *testing.T, book *office.Book) int64 {
	t.Helper()
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range farms {
		if f.Name == "Fallow Brook" {
			return f.ID
		}
	}
	t.Fatal("the invented dairy is not in the book")
	return 0
}

// Without a network the field page opens and takes notes; with one they arrive once and
// in order, whatever was lost on the way.
func TestFieldPageWithoutNetwork(t *testing.T) {
	n, server, book := field(t)
	b := open(t, server.URL)
	at := dairy(t, book) + "/phone"
	farm := dairyOf(t, book)
	b.size(390, 844, false)
	b.visit(at)
	b.do(chromedp.Evaluate[chromedp.Void](`navigator.serviceWorker.ready.then(() => { window.ready = true })`))
	b.until(`window.ready === true`)
	b.do(chromedp.Evaluate[chromedp.Void](`caches.keys().then(k => { window.cached = k.some(n => n.startsWith("rowen-field-")) })`))
	b.until(`window.cached === true`)
	b.visit(at) // seen under the worker's eyes
	b.until(`navigator.serviceWorker.controller !== null`)
	b.visit(at)
	b.sound("field page")
	b.audit("field page")
	b.shoot("phone-hand")

	n.state.Store(down)
	b.visit(at)
	b.until(`document.querySelectorAll("[data-note]").length > 3`)
	b.height("Barn Pasture", "7 8 6")
	b.until(`document.querySelector(".note-line.waiting") !== null`)
	b.tap(`[data-note=""]`)
	b.tap(`[data-kind="rain"]`)
	b.until(`document.activeElement.id === "note-number"`)
	b.audit("field sheet")
	b.shoot("phone-sheet")
	// Within a thumb's reach: what is pressed lies in the lower half.
	const high = `[...document.querySelectorAll("#note-sheet button")].filter((e) => { const r = e.getBoundingClientRect(); return r.top < innerHeight / 2 || r.bottom > innerHeight }).map((e) => e.textContent)`
	if out := ask[[]string](b, high); len(out) > 0 {
		t.Errorf("out of a thumb's reach: %s", out)
	}
	b.tap("#note-close")
	b.tap(`[data-note="Barn Pasture"]`)
	b.until(`document.querySelectorAll(".kinds button").length > 5`)
	b.shoot("phone-kinds")
	if out := ask[[]string](b, high); len(out) > 0 {
		t.Errorf("out of a thumb's reach: %s", out)
	}
	b.tap("#note-close")
	b.tap(`[data-note=""]`)
	b.tap(`[data-kind="rain"]`)
	b.until(`document.activeElement.id === "note-number"`)
	b.keys("much\r")
	b.until(`!document.getElementById("note-wrong").hidden`)
	b.shoot("phone-wrong")
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("note-number").value = ""`))
	b.keys("0.6\r")
	b.until(`document.querySelectorAll(".note-line.waiting").length === 2`)
	b.visit(at) // closed and opened again, still without a network
	b.until(`document.querySelectorAll(".note-line.waiting").length === 2`)
	b.shoot("phone-waiting")
	if got, _ := entriesOf(t, book, farm, "p-"); len(got) != 0 {
		t.Fatalf("arrived without a network: %v", got)
	}

	n.state.Store(oneWay)
	b.do(chromedp.Evaluate[chromedp.Void](`dispatchEvent(new Event("online"))`))
	b.until(`document.getElementById("said").textContent.includes("does not answer")`)
	n.state.Store(up)
	b.do(chromedp.Evaluate[chromedp.Void](`dispatchEvent(new Event("online"))`))
	b.until(`document.querySelectorAll(".note-line.sent").length === 2`)
	got, conflicts := entriesOf(t, book, farm, "p-")
	if len(got) != 2 || len(conflicts) > 0 || got[0].Sequence != 1 || got[1].Sequence != 2 {
		t.Fatalf("arrived: %v, conflicts %v", got, conflicts)
	}
	if h, ok := got[0].Fact.(journal.Height); !ok || len(h.Heights) != 3 || h.Heights[1].String() != "8 in" || got[0].Field != "Barn Pasture" {
		t.Errorf("the height is %v", got[0])
	}
	if r, ok := got[1].Fact.(journal.Rain); !ok || r.Depth.String() != "0.6 in" || got[1].Field != "" {
		t.Errorf("the rain is %v", got[1])
	}

	// Taken back after it was sent: another note says so.
	b.tap(`.note-line.sent:last-child button`)
	b.until(`document.querySelectorAll(".note-line.sent").length === 3`)
	if got, _ = entriesOf(t, book, farm, "p-"); len(got) != 3 || got[2].Kind() != journal.KindWithdrawn || got[2].Corrects != got[0].ID {
		t.Errorf("taken back: %v", got)
	}
	// A device that counts from the beginning again, as after a copy, is told.
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const k = Object.keys(localStorage).find(k => k.startsWith("rowen-notes-")); const s = JSON.parse(localStorage[k]); s.next = 1; s.notes = []; localStorage[k] = JSON.stringify(s) })()`))
	b.height("Barn Pasture", "9")
	b.until(`document.querySelector(".note-line.conflict") !== null`)
	if _, conflicts = entriesOf(t, book, farm, "p-"); len(conflicts) != 1 {
		t.Errorf("conflicts %v, want one", conflicts)
	}
	b.shoot("phone-conflict")
	// What cannot be is told with its reason, holds nothing up and is not in the book.
	b.do(chromedp.Evaluate[chromedp.Void](`(() => { const k = Object.keys(localStorage).find(k => k.startsWith("rowen-notes-")); const s = JSON.parse(localStorage[k]); s.next = 8; s.notes.push({...s.notes[0], seq: 7, state: "waiting", values: {heights: ["9 lb"]}}); localStorage[k] = JSON.stringify(s) })()`))
	b.height("Barn Pasture", "8")
	b.until(`document.querySelector(".note-line.refused .why") !== null`)
	if got, _ = entriesOf(t, book, farm, "p-"); len(got) != 5 || got[4].Sequence != 8 {
		t.Errorf("%d entries, want 5: %v", len(got), got)
	}
	// The network comes back: what waits is sent though the asking before it hangs and the
	// first ones after it fail; the page is not touched, and its half-minute does not help.
	b.do(chromedp.Evaluate[chromedp.Void](`for (let i = 0; i < 2000; i++) clearInterval(i); AbortSignal.timeout = () => new AbortController().signal`))
	n.state.Store(stuck)
	b.height("Barn Pasture", "6")
	b.until(`document.querySelectorAll(".note-line.waiting").length === 1`)
	b.offline(true)
	n.state.Store(stumbling)
	b.offline(false)
	b.until(`document.querySelectorAll(".note-line.waiting").length === 0 && document.getElementById("waiting").textContent === ""`)
	if got, _ = entriesOf(t, book, farm, "p-"); len(got) != 6 || n.state.Load() != up {
		t.Errorf("%d entries after the network came back, want 6", len(got))
	}
	b.sound("field page at the end")
	b.audit("field page at the end")

	// Checks that are not of today say so.
	b.visit(at + "?date=" + demoDay)
	b.until(`!document.getElementById("stale").hidden`)
	b.sound("stale")
	b.audit("stale")
	b.shoot("phone-stale")
}

// The carried file works with nothing but itself and can send nothing; its notes come
// back by message, through what a mail program does to it, and count once.
func TestCarriedFile(t *testing.T) {
	_, server, book := field(t)
	b := open(t, server.URL)
	farm := dairyOf(t, book)
	answer, err := http.Get(server.URL + dairy(t, book) + "/phone/carry")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	path := filepath.Join(t.TempDir(), "field.html")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	size, err := f.ReadFrom(answer.Body)
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if err != nil || !strings.Contains(answer.Header.Get("Content-Disposition"), "fallow-brook-") {
		t.Fatal(err, answer.Header)
	}
	t.Logf("the carried file is %d bytes", size)
	downloads := t.TempDir()
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.CallBrowser(ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: downloads})
		return chromedp.Void{}, err
	})
	b.size(390, 844, true)
	b.do(chromedp.Navigate("file://" + filepath.ToSlash(path)))
	b.until(`document.querySelectorAll("[data-note]").length > 3`)
	b.height("Barn Pasture", "7")
	b.tap(`[data-note="Barn Pasture"]`)
	b.tap(`[data-kind="grazing-out"]`)
	b.until(`document.activeElement.id === "note-number"`)
	b.keys("4\r")
	b.until(`document.querySelectorAll(".note-line.waiting").length === 2`)
	b.sound("carried file")
	b.audit("carried file")
	b.shoot("carried-hand-dark")
	b.do(chromedp.Evaluate[chromedp.Void](`fetch("` + server.URL + `/healthz", {mode: "no-cors"}).then(() => { window.went = "sent" }, () => { window.went = "refused" })`))
	b.until(`window.went !== undefined`)
	if got := ask[string](b, `window.went`); got != "refused" {
		t.Errorf("the carried file could send: %q", got)
	}
	b.tap("#carry-copy")
	b.until(`document.querySelectorAll(".note-line.handed").length === 2`)
	message := ask[string](b, `document.getElementById("carry-code").value`)
	b.tap("#carry-save")
	b.until(`document.getElementById("said").textContent.includes(".journal")`)

	var quoted strings.Builder // as a mail program sends it on
	for i, c := range message {
		if i%68 == 67 {
			quoted.WriteString("\r\n> ")
		}
		quoted.WriteRune(c)
	}
	b.size(1280, 900, false)
	for i, want := range []string{"new", "already in the book"} {
		b.visit(dairy(t, book) + "/notes")
		text, err := json.Marshal(quoted.String())
		if err != nil {
			t.Fatal(err)
		}
		b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("f-text").value = ` + string(text)))
		b.leave(`button[value="look"]`, `document.querySelectorAll("tbody tr").length === 2`)
		if got := ask[string](b, `document.querySelector("tbody td").textContent`); got != want {
			t.Errorf("time %d: the note is %q, want %q", i+1, got, want)
		}
		b.sound("notes")
		b.audit("notes")
		b.shoot("notes")
		if i > 0 {
			break
		}
		b.leave("#take", `document.querySelector(".note[role=status]") !== null`)
		b.sound("notes taken")
		b.audit("notes taken")
	}
	got, conflicts := entriesOf(t, book, farm, "p-")
	if len(got) != 2 || len(conflicts) > 0 || got[0].Kind() != journal.KindHeight || got[1].Kind() != journal.KindGrazingOut {
		t.Errorf("came back: %v, conflicts %v", got, conflicts)
	}
	saved, _ := filepath.Glob(filepath.Join(downloads, "*.journal"))
	if len(saved) != 1 {
		t.Fatalf("saved: %v", saved)
	}
	log, err := journal.Read(saved[0])
	if err != nil || len(log.Entries) != 2 || len(log.Problems)+len(log.Torn) > 0 || !log.Entries[0].Equal(got[0]) {
		t.Errorf("the saved file holds %+v, %v", log, err)
	}
}
