package web_test

import (
	"context"
	"fmt"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"rowen/examples"
	"rowen/internal/office"
	"rowen/internal/web"
	"rowen/quantity"
)

// press types keys where the focus is.
func (b *browser) press(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		b.do(chromedp.KeyEvent(k))
	}
}

// Keys as the browser's protocol names them.
const (
	keyTab, keyEnter, keyEscape = "\t", "\r", "\u001b"
	keyLeft, keyRight, keyDown  = "\u0302", "\u0303", "\u0301"
)

// tabTo walks with the tabulator to the first element that matches.
func (b *browser) tabTo(selector string) {
	b.t.Helper()
	for range 120 {
		b.press(keyTab)
		if ask[bool](b, fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) {
			return
		}
	}
	b.t.Fatalf("the tabulator never came to %s", selector)
}

// fill writes into a field as a person does.
func (b *browser) fill(selector, text string) {
	b.t.Helper()
	_ = ask[string](b, fmt.Sprintf(`document.querySelector(%q).value = ""; ""`, selector))
	b.do(chromedp.SendKeys(selector, text))
}

// center is the middle of an element in the window.
func (b *browser) center(selector string) (x, y float64) {
	b.t.Helper()
	p := ask[[]float64](b, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`, selector))
	return p[0], p[1]
}

// drag moves the pointer, pressed, from one place to another.
func (b *browser) drag(x, y, dx, dy float64) {
	b.t.Helper()
	b.do(
		chromedp.MouseEvent("mouseMoved", x, y),
		chromedp.MouseEvent("mousePressed", x, y, chromedp.ClickCount(1), chromedp.ButtonType("left")),
		chromedp.MouseEvent("mouseMoved", x+dx/2, y+dy/2, chromedp.ButtonType("left")),
		chromedp.MouseEvent("mouseMoved", x+dx, y+dy, chromedp.ButtonType("left")),
		chromedp.MouseEvent("mouseReleased", x+dx, y+dy, chromedp.ClickCount(1), chromedp.ButtonType("left")),
	)
}

// From an empty book to a farm planned, with a slip on the way.
func TestFirstFarm(t *testing.T) {
	server, book := serve(t, false)
	b := open(t, server.URL)
	b.size(1280, 900, false)
	b.visit("/")
	b.sound("first")
	b.audit("first")
	b.shoot("first-desk")
	b.do(chromedp.Click(`a.door[href="/farms/new"]`))
	b.until(`location.pathname === "/farms/new"`)
	for field, text := range map[string]string{"name": "Sedge Lane", "place": "43.05, -74.48", "animals": "70", "milk": "48 lb/d", "sward": "180 big ones", "cropland": "40 ac", "stored": "250 ton", "turnout": "5 May", "first_year": "2027"} {
		b.fill("#f-"+field, text)
	}
	b.do(chromedp.Click(`.eight button.main`))
	b.until(`document.querySelector("#w-sward") !== null`)
	if kept := ask[string](b, `document.querySelector("#f-sward").value + "|" + document.querySelector("#f-milk").value`); kept != "180 big ones|48 lb/d" {
		t.Errorf("the form kept %q of what was typed", kept)
	}
	b.audit("new-wrong")
	b.shoot("new-wrong-desk")
	b.fill("#f-sward", "180")
	b.do(chromedp.Click(`.eight button.main`))
	b.until(`document.querySelectorAll(".yearchart").length === 3`)
	b.sound("first plan")
	b.shoot("first-plan-desk")
	farms, err := book.Farms(t.Context())
	if err != nil || len(farms) != 1 || farms[0].Name != "Sedge Lane" {
		t.Errorf("the book has %v, %v", farms, err)
	}
}

// A sowing is dragged to another week and field, and its lower edge for a part; undo and
// redo; what the years say follows.
func TestSowingByPointer(t *testing.T) {
	server, book := serve(t, true)
	farm := dairy(t, book)
	b := open(t, server.URL)
	b.size(1280, 800, false)
	b.visit(farm + "/season")
	bar := "#sowing-0"
	was := ask[int](b, `+document.querySelector("#sowing-0").dataset.from`)
	week := ask[float64](b, `document.querySelector(".lane").getBoundingClientRect().width / 53`)
	x, y := b.center(bar)
	b.drag(x, y, 3*week, 0)
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-0").dataset.from === %d`, was+3))
	b.until(`document.querySelector("#sowing-0").classList.contains("fixed")`)
	b.until(`!document.querySelector("#undo").disabled`)
	if at := ask[string](b, `document.querySelector("#sheet").open + ""`); at != "false" {
		t.Error("the drag opened the sheet as a click does")
	}
	b.sound("moved")
	b.shoot("season-moved")
	b.do(chromedp.Click("#undo"))
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-0").dataset.from === %d && !document.querySelector("#redo").disabled`, was))
	b.do(chromedp.Click("#redo"))
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-0").dataset.from === %d`, was+3))
	// To the field below.
	row := ask[float64](b, `document.querySelectorAll(".lane")[8].getBoundingClientRect().top - document.querySelectorAll(".lane")[7].getBoundingClientRect().top`)
	x, y = b.center(bar)
	b.drag(x, y, 0, row*2)
	b.until(`document.querySelector("#sowing-0").dataset.row === "9" || document.querySelector(".wrong[role=alert]") !== null`)
	// Half of the field, by the lower edge.
	x, y = b.center("#sowing-1 .grip")
	high := ask[float64](b, `document.querySelector(".lane").getBoundingClientRect().height`)
	b.drag(x, y, 0, -high/2)
	b.until(`document.querySelector("#sowing-1").dataset.tenths === "5"`)
	// It stays where the hand left it, says what it is, and the answer is in sight.
	if off := ask[float64](b, fmt.Sprintf(`(() => { const r = document.querySelector("#sowing-1 .grip").getBoundingClientRect(); return Math.abs((r.top + r.bottom) / 2 - %f); })()`, y-high/2)); off > high/10 {
		t.Errorf("half of the field ends %.0f px from where it was let go", off)
	}
	if label := ask[string](b, `document.querySelector("#sowing-1").textContent`); !strings.Contains(label, "(half)") {
		t.Errorf("half of the field is called %q", label)
	}
	if !ask[bool](b, `(() => { const s = document.querySelector(".strip"), r = s.getBoundingClientRect(), top = document.elementFromPoint(r.left + 30, r.top + 8); return r.top >= 0 && r.bottom < 110 && s.contains(top); })()`) {
		t.Error("the answer is out of sight while the board is worked on")
	}
	if unit := ask[string](b, `document.querySelector(".yearchart .unit").textContent`); unit != "ton of dry matter in half a month" {
		t.Errorf("the charts' axis is of %q", unit)
	}
	b.sound("resized")
	b.shoot("season-resized")
	// A click on a free place sows there.
	lane := ask[[]float64](b, `(() => { const r = document.querySelectorAll(".lane")[8].getBoundingClientRect(); return [r.left + r.width * 20.5 / 53, r.top + 6]; })()`)
	b.do(chromedp.MouseClickXY(lane[0], lane[1]))
	b.until(`document.querySelector("#sheet").open && document.querySelector("#sheet-body [name=on]")?.value.startsWith("2027-03-2")`)
	b.do(chromedp.SetValue("#sheet-body [name=crop]", "oats"), chromedp.SetValue("#sheet-body [name=use]", "wrap"), chromedp.SetValue("#sheet-body [name=part]", "4"))
	b.do(chromedp.Click("#sheet-body form.form button.main"))
	b.until(`document.activeElement.name === "part" && document.querySelector("#sheet #w-part") !== null`)
	b.audit("sheet-wrong")
	b.do(chromedp.SetValue("#sheet-body [name=part]", "4 ac"))
	b.do(chromedp.Click("#sheet-body form.form button.main"))
	b.until(`!document.querySelector("#sheet").open || document.querySelector("#sheet [role=alert]") !== null`)
	b.shoot("season-added")
	if said := ask[string](b, `document.querySelector("#sheet [role=alert]")?.textContent || ""`); said != "" {
		t.Errorf("the new sowing was refused: %s", said)
	}
	took := ask[[]float64](b, `performance.getEntriesByName("change", "measure").map(m => m.duration)`)
	t.Logf("from letting go to the charts drawn again: %.0f ms", took)
}

// The keyboard alone: to a sowing, along the weeks, its part, its sheet, and back.
func TestSowingByKeys(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(1280, 800, false)
	b.visit(dairy(t, book) + "/season")
	// What cannot be is said at the window's foot in people's words, covers nothing that has
	// the focus, and is put away by a key.
	_ = ask[string](b, `document.querySelector("#sowing-0").focus(); ""`)
	b.press(keyDown)
	b.until(`document.querySelector(".refusal") !== null`)
	said := ask[string](b, `document.querySelector(".refusal").innerText`)
	if !strings.Contains(said, "cannot stand on Mill Flat then: Corn") || strings.Contains(said, "line") {
		t.Errorf("the refusal says %q", said)
	}
	if !ask[bool](b, `(() => { const bar = document.querySelector(".refusal").getBoundingClientRect(), at = document.activeElement.getBoundingClientRect(); return document.activeElement.id === "sowing-0" && bar.bottom <= innerHeight && bar.top > innerHeight / 2 && at.bottom <= bar.top && at.top >= 0; })()`) {
		t.Error("the refusal is out of sight, or over the sowing that has the focus")
	}
	b.audit("refused")
	b.shoot("season-refused")
	b.press(keyEscape)
	b.until(`document.querySelector(".refusal") === null && document.activeElement.id === "sowing-0"`)
	// Somebody else's change meanwhile: said there too.
	other, err := book.Document(t.Context(), farmID(t, book))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := book.Save(t.Context(), other.Farm, other.Number, append(other.Text, "\n# seen\n"...), "Ann", ""); err != nil {
		t.Fatal(err)
	}
	b.press(keyRight)
	b.until(`document.querySelector(".refusal")?.innerText.includes("Ann changed this farm")`)
	b.do(chromedp.Click(".refusal button"))
	b.until(`document.querySelector(".refusal") === null`)
	b.tabTo("#sowing-1")
	was := ask[int](b, `+document.querySelector("#sowing-1").dataset.from`)
	b.press(keyRight, keyRight)
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-1").dataset.from === %d`, was+2))
	b.until(`document.activeElement.id === "sowing-1"`)
	// A second press while the first is on its way begins with what that one made.
	b.press(keyRight)
	time.Sleep(100 * time.Millisecond)
	b.press(keyRight)
	b.until(fmt.Sprintf(`document.querySelector(".refusal") !== null || +document.querySelector("#sowing-1").dataset.from === %d`, was+4))
	if ask[bool](b, `document.querySelector(".refusal") !== null`) {
		t.Error("two presses of one hand are told as two windows")
	}
	b.press(keyLeft, keyLeft)
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-1").dataset.from === %d`, was+2))
	b.until(`document.activeElement.id === "sowing-1"`)
	b.press("-")
	b.until(`document.querySelector("#sowing-1").dataset.tenths === "9"`)
	b.until(`document.activeElement.id === "sowing-1"`)
	b.press(keyEnter)
	b.until(`document.querySelector("#sheet").open && document.querySelector("#sheet-body select") !== null`)
	b.audit("sheet")
	b.shoot("season-sheet")
	b.press(keyEscape)
	b.until(`!document.querySelector("#sheet").open && document.activeElement.id === "sowing-1"`)
	b.press(keyLeft)
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-1").dataset.from === %d`, was+1))
	b.sound("keys")
	text, err := book.Document(t.Context(), farmID(t, book))
	if err != nil || !strings.Contains(string(text.Text), "part = ") || !strings.Contains(string(text.Text), "on = ") {
		t.Errorf("the document does not say what was done: %v", err)
	}
}

// touch puts a finger down, moves it, or takes it up.
func (b *browser) touch(kind input.DispatchTouchEventType, x, y float64) {
	b.t.Helper()
	points := []*input.TouchPoint{}
	if kind != input.DispatchTouchEventTypeTouchEnd {
		points = append(points, &input.TouchPoint{X: x, Y: y})
	}
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return chromedp.Void{}, err
	})
}

// A finger that swipes over a sowing scrolls and changes nothing; one that rests on it
// takes it up.
func TestSowingByFinger(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(390, 844, false)
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, target, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 1})
		return chromedp.Void{}, err
	})
	b.visit(dairy(t, book) + "/season")
	x, y := b.center("#sowing-1")
	was := ask[int](b, `+document.querySelector("#sowing-1").dataset.from`)
	at := ask[float64](b, `document.querySelector(".board-wrap").scrollLeft`)
	b.touch(input.DispatchTouchEventTypeTouchStart, x, y)
	for _, dx := range []float64{20, 40, 60, 80, 100} {
		b.touch(input.DispatchTouchEventTypeTouchMove, x-dx, y)
	}
	b.touch(input.DispatchTouchEventTypeTouchEnd, 0, 0)
	b.until(fmt.Sprintf(`document.querySelector(".board-wrap").scrollLeft > %f`, at+20))
	if v, err := book.Document(t.Context(), farmID(t, book)); err != nil || v.Number != 1 {
		t.Errorf("a swipe was kept as version %d, %v", v.Number, err)
	}
	// The names of the fields stay over what is scrolled, and over what has the focus.
	if !ask[bool](b, `(() => { const bar = document.querySelector("#sowing-1"), name = bar.closest(".boardrow").querySelector(".name"), w = document.querySelector(".board-wrap"); bar.focus(); w.scrollLeft += bar.getBoundingClientRect().left - name.getBoundingClientRect().left - 20; const n = name.getBoundingClientRect(); return name.contains(document.elementFromPoint(n.right - 8, n.top + n.height / 2)); })()`) {
		t.Error("the focused sowing lies over its field's name")
	}
	b.visit(dairy(t, book) + "/season") // nothing rolls on from the swipe
	x, y = b.center("#sowing-1")
	week := ask[float64](b, `document.querySelector(".lane").getBoundingClientRect().width / 53`)
	b.touch(input.DispatchTouchEventTypeTouchStart, x, y)
	b.until(`document.querySelector("#sowing-1").classList.contains("lifted")`)
	b.shoot("season-lifted")
	b.touch(input.DispatchTouchEventTypeTouchMove, x+week, y)
	b.touch(input.DispatchTouchEventTypeTouchMove, x+2*week, y)
	b.touch(input.DispatchTouchEventTypeTouchEnd, 0, 0)
	b.until(fmt.Sprintf(`+document.querySelector("#sowing-1").dataset.from === %d`, was+2))
	b.until(`document.querySelector(".board-wrap").scrollLeft > 0`) // not back in autumn
	b.sound("finger")
}

// A figure opens beside the page with its formula, inputs and sources.
func TestFigureOpens(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(1280, 900, false)
	b.visit(dairy(t, book) + "/season")
	b.until(`document.readyState === "complete" && typeof htmx === "object"`)
	b.tabTo(`[id="fig-gap.bad"]`)
	b.press(keyEnter)
	b.until(`document.querySelector("#sheet").open && document.querySelector("#sheet .formula") !== null`)
	b.press(keyEnter) // the same key once more, as when it is held
	if !ask[bool](b, `document.querySelector("#sheet").open && document.activeElement.id === "sheet-title"`) {
		t.Error("a key that is held closes the sheet that it opened")
	}
	if rows := ask[int](b, `document.querySelectorAll("#sheet tbody tr").length`); rows != 24 {
		t.Errorf("the gap is made of %d half-months", rows)
	}
	b.audit("figure-sheet")
	b.shoot("figure-sheet")
	// What it is made from opens in its turn: a half-month, by what was short and bought.
	b.do(chromedp.Click(`#sheet tbody tr:nth-child(5) a`))
	b.until(`document.querySelector("#sheet").open && document.querySelectorAll("#sheet tbody tr").length === 3`)
	b.press(keyEscape)
	b.until(`document.activeElement.id === "fig-gap.bad"`)
	b.sound("figure")
}

// Need is drawn again as head is typed, before anything is kept.
func TestAnimalsTyped(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(1280, 900, false)
	b.visit(dairy(t, book) + "/animals")
	before := ask[string](b, `document.querySelector("#demand .big").textContent`)
	b.fill(`[name="p0.head"]`, "90")
	b.until(fmt.Sprintf(`document.querySelector("#demand .big").textContent !== %q`, before))
	b.fill(`[name="p0.weight"]`, "1250")
	b.until(`document.querySelector("#demand .wrong") !== null`)
	b.sound("typed")
	if v, err := book.Document(t.Context(), farmID(t, book)); err != nil || v.Number != 1 {
		t.Errorf("typing was kept as version %d, %v", v.Number, err)
	}
}

// A field drawn by keys alone, and a corner moved by the pointer.
func TestFieldDrawn(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(1280, 900, false)
	farm := dairy(t, book)
	b.visit(farm + "/ground")
	_ = ask[string](b, `document.querySelector("#map-field").value = "-1"; document.querySelector("#map-field").dispatchEvent(new Event("change", {bubbles: true})); document.querySelector("#map").focus(); ""`)
	b.press(keyEnter, " ")
	for _, way := range []string{keyRight, keyDown, keyLeft} {
		for range 12 {
			b.press(way)
		}
		b.press(" ")
	}
	b.press(keyEnter)
	b.until(`document.activeElement.id === "map-name"`)
	b.shoot("ground-drawn")
	b.audit("ground-drawn")
	b.do(chromedp.SendKeys("#map-name", "New Paddock"), chromedp.Click("#map-form button.main"))
	b.until(`[...document.querySelectorAll(".fieldname")].some(e => e.textContent === "New Paddock")`)
	b.sound("drawn")
	area := fieldArea(t, book, "New Paddock")
	if area <= 0 || area > 200*quantity.Acre {
		t.Errorf("the drawn field measures %v", area)
	}
	// A corner pulled outwards makes a field larger.
	before := fieldArea(t, book, "Hill Pasture")
	_ = ask[string](b, `document.querySelector("#map-field").value = "2"; document.querySelector("#map-field").dispatchEvent(new Event("change", {bubbles: true})); document.querySelector("#map-draw").click(); ""`)
	b.until(`document.querySelector(".corner") !== null`)
	p := ask[[]float64](b, `(() => { document.querySelector("#map").scrollIntoView({block: "center"}); const all = [...document.querySelectorAll(".corner")].map(c => { const r = c.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; }); const m = all.reduce((a, q) => [a[0] + q[0] / all.length, a[1] + q[1] / all.length], [0, 0]); all.sort((a, q) => Math.hypot(q[0] - m[0], q[1] - m[1]) - Math.hypot(a[0] - m[0], a[1] - m[1])); return [...all[0], all[0][0] - m[0], all[0][1] - m[1]]; })()`)
	b.drag(p[0], p[1], p[2]*0.4, p[3]*0.4)
	b.do(chromedp.Click("#map-form button.main"))
	b.until(`document.querySelector("#map-form").hidden`)
	if after := fieldArea(t, book, "Hill Pasture"); after <= before {
		t.Errorf("a corner pulled out: %v before, %v after", before, after)
	}
}

// A map that is empty yet: four clicks are four corners, the scale is right however near
// one looks, and a picture is placed by hand and by keys.
func TestEmptyMap(t *testing.T) {
	server, book := serve(t, false)
	text, err := examples.Files.ReadFile("dairy.toml")
	if err != nil {
		t.Fatal(err)
	}
	farm, err := book.Create(t.Context(), "Bare", text, "")
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, server.URL)
	b.size(1280, 800, false)
	b.visit(fmt.Sprintf("/farms/%d/ground", farm.ID))
	b.do(chromedp.SetValue("#map-field", "0"), chromedp.Click("#map-draw"))
	b.until(`document.querySelector(".mapempty").hidden`)
	x, y := b.center("#map svg")
	for n, at := range [][2]float64{{-60, -40}, {60, -40}, {60, 40}, {-60, 40}} {
		b.do(chromedp.MouseClickXY(x+at[0], y+at[1]))
		b.until(fmt.Sprintf(`document.querySelectorAll(".corner").length === %d`, n+1))
	}
	const length = `(() => { const [, n, unit] = document.querySelector("#map-scale text").textContent.replace(",", "").match(/^([\d.]+) (ft|mi)$/), a = document.querySelector("#map svg").getScreenCTM().a; return document.querySelector("#map-scale path").getBoundingClientRect().width / a / (n * (unit === "ft" ? 0.3048 : 1609.344)); })()`
	for _, button := range []string{"", "#map-in", "#map-out", "#map-out", "#map-out"} {
		if button != "" {
			b.do(chromedp.Click(button))
		}
		if k := ask[float64](b, length); k < 0.95 || k > 1.05 {
			t.Errorf("after %q the scale is %.2f of what it says", button, k)
		}
	}
	b.shoot("ground-empty")
	b.sound("empty map")
	_ = ask[string](b, `document.querySelector("#map").focus(); ""`)
	b.press(keyEnter)
	b.until(`!document.querySelector("#map-form").hidden`)
	b.do(chromedp.Click("#map-form button.main"))
	b.until(`/22.0 ac written, [0-9.,]+ ac drawn/.test(document.querySelector(".note[role=status]")?.textContent)`)

	_ = ask[string](b, `(async () => { const c = document.createElement("canvas"); c.width = 40; c.height = 20; const d = new DataTransfer(); d.items.add(new File([await new Promise((r) => c.toBlob(r))], "a.png", { type: "image/png" })); const f = document.querySelector("#map-image"); f.closest("details").open = true; f.files = d.files; f.dispatchEvent(new Event("change")); })(); ""`)
	b.until(`document.querySelector("#map image") !== null`)
	b.fill("#map-image-width", "1,000 ft")
	b.until(`document.querySelector("#map image").getAttribute("width") == 304.8`)
	b.do(chromedp.Click("#map-place"))
	b.until(`document.querySelector("#map-place").getAttribute("aria-pressed") === "true"`)
	left := ask[float64](b, `+document.querySelector("#map image").getAttribute("x")`)
	x, y = b.center("#map svg")
	b.drag(x, y, 50, 0)
	b.until(fmt.Sprintf(`Math.abs(+document.querySelector("#map image").getAttribute("x") - %f - 50 / document.querySelector("#map svg").getScreenCTM().a) < 1`, left))
	left = ask[float64](b, `document.querySelector("#map").focus(); +document.querySelector("#map image").getAttribute("x")`)
	b.press(keyLeft)
	b.until(fmt.Sprintf(`+document.querySelector("#map image").getAttribute("x") < %f`, left))
	b.audit("picture placed")
	b.shoot("ground-picture")
	b.sound("picture placed")
}

// In a hand nothing that is typed or asked lies over the side: periods and stores stand as
// cards with room for a number and its unit, and writing down is at the top of the day.
func TestNarrowPages(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	b.size(390, 844, false)
	farm := dairy(t, book)
	for _, page := range []string{"animals", "store?date=" + demoDay} {
		b.visit(farm + "/" + page)
		if over := ask[[]string](b, `[...document.querySelectorAll(".cards input, .cards td")].filter((e) => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.right > innerWidth || e.matches("input") && r.width < 95) }).map((e) => e.outerHTML.slice(0, 80))`); len(over) > 0 {
			t.Errorf("%s: over the side, or too narrow for a number: %s", page, over[:min(len(over), 4)])
		}
		if n := ask[int](b, `document.querySelectorAll(".cards [data-label]").length`); n < 6 {
			t.Errorf("%s has only %d cells with a heading of their own", page, n)
		}
	}
	b.visit(farm + "/today?date=" + demoDay)
	if y := ask[float64](b, `document.querySelector(".jump a").getBoundingClientRect().bottom`); y <= 0 || y > 844 {
		t.Errorf("writing down lies %.0f px down", y)
	}
	b.do(chromedp.Click(".jump a"))
	b.until(`(() => { const r = document.querySelector("#phrase").getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight })()`)
}

// The ledger's cells are links; opened, the table stands the same rules on a desk and in a
// hand.
func TestLedgerInBrowser(t *testing.T) {
	server, book := serve(t, true)
	b := open(t, server.URL)
	for _, width := range []int64{1280, 390} {
		b.size(width, 900, false)
		b.visit(dairy(t, book) + "/season")
		if n := ask[int](b, `document.querySelector("details.table").open = true; document.querySelectorAll("details.table a").length`); n != 24*10 {
			t.Errorf("%d cells open", n)
		}
		name := fmt.Sprintf("ledger-%d", width)
		b.shoot(name)
		b.sound(name)
		b.audit(name)
	}
}

// BenchmarkMove is a sowing moved along the weeks by a key in the browser, until the
// charts are drawn again: 30 fields over 40 weather years, no move answered from what is
// kept.
func BenchmarkMove(b *testing.B) {
	text, err := examples.LargeDairy(3)
	if err != nil {
		b.Fatal(err)
	}
	book, err := office.Open(b.Context(), filepath.Join(b.TempDir(), "bench.book"))
	if err != nil {
		b.Fatal(err)
	}
	defer func() { _ = book.Close() }()
	s, err := web.New(book, web.Options{Years: 40})
	if err != nil {
		b.Fatal(err)
	}
	server := httptest.NewServer(s.Handler())
	defer server.Close()
	tab := open(b, server.URL)
	tab.size(1280, 1000, false)
	// The move has ended when the answer stands in the page and a frame was drawn of it.
	const move = `void (async () => {
  window.took = 0
  const bar = document.querySelector("#sowing-0"), was = bar.dataset.from, began = performance.now()
  bar.focus()
  bar.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true, cancelable: true }))
  while (!document.querySelector(".years svg") || (document.querySelector("#sowing-0") ?? bar) === bar) await new Promise((r) => setTimeout(r, 2))
  await new Promise((r) => requestAnimationFrame(() => setTimeout(r, 0)))
  window.took = performance.now() - began
})()`
	var took []float64
	for b.Loop() {
		farm, err := book.Create(b.Context(), "Large", fmt.Appendf(nil, "# %d\n%s", len(took), text), "")
		if err != nil {
			b.Fatal(err)
		}
		tab.visit(fmt.Sprintf("/farms/%d/season", farm.ID))
		if n := ask[int](tab, `document.querySelectorAll(".board .boardrow[data-row]").length`); n != 30 {
			b.Fatalf("%d fields", n)
		}
		for range 10 {
			tab.do(chromedp.Evaluate[chromedp.Void](move))
			tab.until(`window.took > 0`)
			took = append(took, ask[float64](tab, `window.took`))
		}
		if versions, err := book.Versions(b.Context(), farm.ID); err != nil || len(versions) != 11 {
			b.Fatalf("%d versions after ten moves, %v", len(versions), err)
		}
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2], "ms-middle")
	b.ReportMetric(took[int(0.95*float64(len(took)))], "ms-p95")
}
