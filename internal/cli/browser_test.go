package cli_test

import (
	"context"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"rowen/internal/cli"
)

// plan.html in a real browser: nothing runs over the side at phone, tablet and
// desktop width, every chart is drawn, and it prints on A4 and Letter.
func TestPageInBrowser(t *testing.T) {
	found := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
		t.Skip("no Chromium on this machine: the page was not looked at in a browser")
	}
	out := root(t)
	if _, problems, code := run(t, "plan", "examples/dairy.toml", "--years", "2010-2014", "--out", out); code != cli.OK {
		t.Fatal(problems)
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found), chromedp.NoSandbox)
	alloc, stop := chromedp.NewExecAllocator(context.Background(), options...)
	defer stop()
	ctx, end := chromedp.NewContext(alloc)
	defer end()
	if err := chromedp.Do(ctx); err != nil {
		t.Skipf("the browser does not start here: %v", err)
	}
	ctx, cancel := context.WithTimeout(ctx, 2*time.Minute)
	defer cancel()
	url := "file://" + filepath.ToSlash(filepath.Join(out, "plan.html"))
	for _, width := range []int64{360, 768, 1280} {
		size := chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			_, err := cdp.Call(ctx, target, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 900, DeviceScaleFactor: 1, Mobile: width < 500})
			return err
		})
		if err := chromedp.Do(ctx, size, chromedp.Navigate(url)); err != nil {
			t.Fatal(err)
		}
		over, err := chromedp.Run(ctx, chromedp.Evaluate[int](`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
		if err != nil {
			t.Fatal(err)
		}
		charts, err := chromedp.Run(ctx, chromedp.Evaluate[int](`document.querySelectorAll("svg rect").length`))
		if err != nil {
			t.Fatal(err)
		}
		if over > 0 || charts < 100 {
			who, _ := chromedp.Run(ctx, chromedp.Evaluate[string](`[...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > innerWidth && !e.closest(".wide") && !e.closest(".chart")).map(e => e.tagName + ":" + e.textContent.slice(0, 40)).join("; ")`))
			t.Errorf("at %d px the page runs %d px over the side, %d bars; too wide: %s", width, over, charts, who)
		}
	}
	for name, size := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		pdf, err := chromedp.Run(ctx, func(ctx context.Context, target *chromedp.Target) ([]byte, error) {
			r, err := cdp.Call(ctx, target, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: size[0], PaperHeight: size[1]})
			if err != nil {
				return nil, err
			}
			return r.Data, nil
		})
		if err != nil || len(pdf) < 20000 || string(pdf[:5]) != "%PDF-" {
			t.Errorf("%s: %d bytes, %v", name, len(pdf), err)
		}
	}
}
