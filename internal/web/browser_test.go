package web_test

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"rowen/internal/office"
	"rowen/internal/web"
)

// pictures is a folder into which the browser tests put what they see, to be looked at.
var pictures = flag.String("pictures", "", "folder for pictures of every page")

// demoDay is a day of the invented valley's season on which much is asked.
const demoDay = "2025-07-10"

// openBook opens an empty book that the test's end closes.
func openBook(t testing.TB) *office.Book {
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
	return book
}

// serve opens a book in a scratch folder, with the invented valley if asked, and serves
// it.
func serve(t testing.TB, demo bool) (*httptest.Server, *office.Book) {
	t.Helper()
	book := openBook(t)
	s, err := web.New(book, web.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if demo {
		if err := s.OpenDemo(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	server := httptest.NewServer(s.Handler())
	t.Cleanup(server.Close)
	return server, book
}

// watch is put into every page before anything of it runs: what goes wrong in a page is
// kept where a test can ask for it.
const watch = `window.wrong = [];
addEventListener("error", (e) => wrong.push("error: " + e.message + " " + (e.target?.src || e.target?.href || "")), true);
addEventListener("unhandledrejection", (e) => wrong.push("rejection: " + e.reason));
document.addEventListener("securitypolicyviolation", (e) => wrong.push("policy: " + e.violatedDirective + " " + e.blockedURI + " " + e.sample));
const logged = console.error; console.error = (...a) => { wrong.push("console: " + a.join(" ")); logged(...a); };`

// browser is a tab at a server.
type browser struct {
	t   testing.TB
	ctx context.Context
	at  string
}

// open starts a browser, or skips the test with the reason.
func open(t testing.TB, at string) *browser {
	t.Helper()
	found := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
		t.Skip("no Chromium on this machine: the pages were not looked at in a browser")
	}
	if _, err := os.Stat("assets/vendor/htmx.min.js"); err != nil {
		t.Skip("the page's script is not in its place; run make assets")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found), chromedp.NoSandbox)
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(alloc)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Skipf("the browser does not start here: %v", err)
	}
	ctx, cancel := context.WithTimeout(ctx, 6*time.Minute)
	t.Cleanup(cancel)
	b := &browser{t, ctx, at}
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: watch})
		return chromedp.Void{}, err
	})
	return b
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *browser) visit(path string) { b.t.Helper(); b.do(chromedp.Navigate(b.at + path)) }

// ask works out an expression in the page.
func ask[T any](b *browser, expression string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// until waits for an expression to hold, also over a page that is left for another.
func (b *browser) until(expression string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 20*time.Second)
	defer cancel()
	for {
		holds, err := chromedp.Run(ctx, chromedp.Evaluate[bool](expression, chromedp.EvalAwaitPromise))
		if err == nil && holds {
			return
		}
		select {
		case <-ctx.Done():
			b.shoot("failed")
			b.t.Fatalf("it never came to: %s: %v; page says %.400s", expression, err, ask[string](b, `document.body.innerText`))
		case <-time.After(30 * time.Millisecond):
		}
	}
}

func (b *browser) size(width, height int64, dark bool) {
	b.t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: height, DeviceScaleFactor: 1, Mobile: width < 500})
		if err == nil {
			_, err = cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}})
		}
		return chromedp.Void{}, err
	})
}

func (b *browser) shoot(name string) {
	if *pictures == "" {
		return
	}
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Logf("no picture of %s: %v", name, err)
		return
	}
	if err := os.MkdirAll(*pictures, 0o755); err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*pictures, name+".png"), png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// sound is a page without an error, a refused file, or anything over its side.
func (b *browser) sound(name string) {
	b.t.Helper()
	if wrong := ask[[]string](b, `window.wrong`); len(wrong) > 0 {
		b.t.Errorf("%s: %s", name, strings.Join(wrong, "\n"))
	}
	if over := ask[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		who := ask[string](b, `[...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest(".wide") && !e.closest(".tabs")).map(e => e.tagName + "." + e.className + ":" + e.textContent.slice(0, 30)).slice(0, 5).join("; ")`)
		b.t.Errorf("%s runs %d px over the side: %s", name, over, who)
	}
	if keys := ask[[]string](b, `[...new Set(document.body.innerText.match(/\[[a-z]+\.[a-z_]+\]/g) || [])]`); len(keys) > 0 && !strings.Contains(name, "document") {
		b.t.Errorf("%s: no text for %v", name, keys)
	}
}

// audit holds a page against the accessibility rules of WCAG 2.2 A and AA.
func (b *browser) audit(name string) {
	b.t.Helper()
	script, err := os.ReadFile(filepath.Join("..", "..", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		b.t.Skip("axe-core is not here; run npm ci --ignore-scripts")
	}
	if ask[string](b, `typeof window.axe`) == "undefined" {
		b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
			_, err := chromedp.Run(ctx, chromedp.Evaluate[string](string(script)+`;"there"`))
			return chromedp.Void{}, err
		})
	}
	found := ask[string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => { window.axed = JSON.stringify(r.violations.map(v => ({id: v.id, help: v.help, where: v.nodes.slice(0, 4).map(n => n.target.join(" ") + " | " + n.failureSummary)}))) }); "asked"`)
	_ = found
	b.until(`window.axed !== undefined`)
	var violations []struct {
		ID, Help string
		Where    []string
	}
	if err := json.NewDecoder(strings.NewReader(ask[string](b, `(() => { const a = window.axed; window.axed = undefined; return a; })()`))).Decode(&violations); err != nil {
		b.t.Fatal(err)
	}
	for _, v := range violations {
		b.t.Errorf("%s: %s: %s\n  %s", name, v.ID, v.Help, strings.Join(v.Where, "\n  "))
	}
}

// dairy is the address of the invented dairy.
func dairy(t testing.TB, book *office.Book) string {
	t.Helper()
	farms, err := book.Farms(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range farms {
		if f.Name == "Fallow Brook" {
			return fmt.Sprintf("/farms/%d", f.ID)
		}
	}
	t.Fatal("the invented dairy is not in the book")
	return ""
}

// Every page in a real browser: sound and without a violation of the accessibility
// rules, on a desk and in a hand, by day and by night.
func TestPagesInBrowser(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	farm := dairy(t, book)
	for _, view := range []struct {
		name          string
		width, height int64
		dark          bool
	}{{"desk", 1280, 900, false}, {"hand", 390, 844, false}, {"desk-dark", 1280, 900, true}, {"hand-dark", 390, 844, true}} {
		b.size(view.width, view.height, view.dark)
		for _, p := range []struct{ name, path string }{
			{"farms", "/?date=" + demoDay}, {"new", "/farms/new"}, {"guide", "/guide"}, {"settings", "/settings"},
			{"season", farm + "/season"}, {"plans", farm + "/plans"}, {"sowing", farm + "/season/sowing/0"}, {"figure", farm + "/figures/gap.bad"},
			{"today", farm + "/today?date=" + demoDay}, {"ground", farm + "/ground"}, {"animals", farm + "/animals"}, {"store", farm + "/store?date=" + demoDay},
			{"print", farm + "/print"}, {"assumed", farm + "/assumed"}, {"document", farm + "/document"}, {"lost", "/nowhere"},
		} {
			name := p.name + "-" + view.name
			b.visit(p.path)
			b.until(`!document.querySelector("#farmlist[hx-get]")`) // every farm is read
			b.shoot(name)
			b.sound(name)
			b.audit(name)
		}
	}
}

// What two windows see of one another, an earlier version and farms put away, at both
// widths: audited and looked at, the first thing wrong in sight.
func TestRefusalsInBrowser(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	farm := dairy(t, book)
	for i, view := range []struct {
		name          string
		width, height int64
	}{{"desk", 1280, 900}, {"hand", 390, 844}} {
		b.size(view.width, view.height, i == 1) // the second in the dark
		for _, form := range []struct{ page, first, other, value string }{
			{"store", "store0.capacity", "store1.capacity", "321 ton"},
			{"animals", "p0.head", "p1.head", "61"},
		} {
			b.visit(farm + "/" + form.page)
			value := strings.Replace(form.value, "1", strconv.Itoa(5+i), 1)
			v, err := book.Document(t.Context(), farmID(t, book))
			if err != nil {
				t.Fatal(err)
			}
			if status, body := post(t, server.URL+farm+"/"+form.page, url.Values{"do": {"save"}, "base": {strconv.Itoa(v.Number)}, form.first: {value}}); status != http.StatusSeeOther {
				t.Fatalf("the other window: status %d: %.300s", status, body)
			}
			b.fill(`[name="`+form.other+`"]`, value)
			b.do(chromedp.Click(`main form button.main`))
			b.until(`document.querySelector("main [role=alert]") !== null`)
			name := "conflict-" + form.page + "-" + view.name
			if !ask[bool](b, `(() => { const at = document.querySelector("main [role=alert]").getBoundingClientRect(); return at.top < innerHeight && at.bottom > 0; })()`) {
				t.Errorf("%s: what is wrong is out of sight", name)
			}
			b.shoot(name)
			b.audit(name)
		}
		for name, path := range map[string]string{"version": farm + "/versions/1", "away": "/"} {
			b.visit(path)
			b.shoot(name + "-" + view.name)
			b.sound(name)
			b.audit(name + "-" + view.name)
		}
	}
}
