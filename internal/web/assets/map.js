// The map of the fields: outlines drawn and changed by pointer or keys. It needs no tiles
// and no network. Areas shown while drawing are worked out on the spot; what is kept is
// worked out again by the program, on the ellipsoid.
"use strict";

const map = document.getElementById("map"), svg = map.querySelector("svg"), edit = document.getElementById("map-edit");
const pick = document.getElementById("map-field"), form = document.getElementById("map-form");
const lat0 = +svg.dataset.lat, lon0 = +svg.dataset.lon, p = (lat0 * Math.PI) / 180;
const north = 111132.92 - 559.82 * Math.cos(2 * p) + 1.175 * Math.cos(4 * p);
const east = 111412.84 * Math.cos(p) - 93.5 * Math.cos(3 * p) + 0.118 * Math.cos(5 * p);
const NS = "http://www.w3.org/2000/svg";
const acres = document.documentElement.dataset.units !== "metric";

let points = null;  // of the outline that is being changed, metres east and south
let at = 0;         // the point that the keys move
let drawing = false; // points are still being added
let cursor = [0, 0];

const view = () => svg.viewBox.baseVal;
const unit = () => 1 / svg.getScreenCTM().a; // metres a pixel
const toMetres = (e) => {
  const m = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [m.x, m.y];
};

function shape(field) { return document.getElementById("shape-" + field); }

function ringOf(field) {
  const s = shape(field);
  return s ? s.dataset.ring.split(" ").map((t) => { const [lon, lat] = t.split(",").map(Number); return [(lon - lon0) * east, (lat0 - lat) * north]; }) : [];
}

function area(ring) {
  let sum = 0;
  ring.forEach((a, i) => { const b = ring[(i + 1) % ring.length]; sum += a[0] * b[1] - b[0] * a[1]; });
  return Math.abs(sum) / 2;
}

function element(name, attributes) {
  const e = document.createElementNS(NS, name);
  for (const k in attributes) e.setAttribute(k, attributes[k]);
  return e;
}

// The scale: a bar of a round length in the person's units, right however near one looks.
const scale = element("g", { id: "map-scale" }), empty = map.querySelector(".mapempty");
svg.append(scale);
function drawScale() {
  const box = svg.getBoundingClientRect(), u = unit(), most = Math.min(160, box.width / 3) * u;
  let [name, length] = acres ? ["ft", 0.3048] : ["m", 1];
  if (acres && most > 1609.344) [name, length] = ["mi", 1609.344];
  if (!acres && most > 1000) [name, length] = ["km", 1000];
  const ten = 10 ** Math.floor(Math.log10(most / length)), n = ten * [5, 2, 1].find((k) => k * ten * length <= most);
  const [x, y] = toMetres({ clientX: box.left + 14, clientY: box.bottom - 14 });
  const words = element("text", { x: x + n * length + 7 * u, y, "font-size": 13 * u });
  words.textContent = n.toLocaleString("en-US") + " " + name;
  scale.replaceChildren(element("path", { d: `M${x} ${y - 7 * u}v${7 * u}h${n * length}v${-7 * u}` }), words);
}
new ResizeObserver(drawScale).observe(svg);

function show() {
  edit.replaceChildren();
  if (empty) empty.hidden = points !== null;
  if (!points) { form.hidden = true; document.getElementById("map-area").textContent = ""; return; }
  const r = 6 * unit();
  const d = points.map((q, i) => (i ? "L" : "M") + q[0].toFixed(1) + " " + q[1].toFixed(1)).join("") + (drawing ? "" : "Z");
  if (points.length) edit.append(element("path", { class: "editline", d }));
  points.forEach((q, i) => edit.append(element("circle", { class: "corner" + (i === at && !drawing ? " now" : ""), cx: q[0], cy: q[1], r: i === at && !drawing ? r * 1.5 : r, "data-corner": i })));
  if (!drawing) points.forEach((q, i) => { const n = points[(i + 1) % points.length]; edit.append(element("circle", { class: "between", cx: (q[0] + n[0]) / 2, cy: (q[1] + n[1]) / 2, r: r * 0.6, "data-between": i })); });
  if (drawing) edit.append(element("path", { class: "cross", d: `M${cursor[0] - 3 * r} ${cursor[1]}h${6 * r}M${cursor[0]} ${cursor[1] - 3 * r}v${6 * r}` }));
  const m2 = points.length > 2 ? area(points) : 0;
  const words = acres ? (m2 / 4046.8564224).toFixed(1) + " ac" : (m2 / 1e4).toFixed(2) + " ha";
  document.getElementById("map-area").textContent = points.length > 2 ? "≈ " + words : "";
  form.hidden = drawing || points.length < 3;
  document.getElementById("map-name-row").hidden = pick.value !== "-1";
  document.getElementById("map-form-field").value = pick.value;
  document.getElementById("map-form-ring").value = JSON.stringify(points.map((q) => [lon0 + q[0] / east, lat0 - q[1] / north]));
}

function choose(field) {
  pick.value = field;
  document.querySelectorAll(".fieldshape").forEach((s) => s.classList.toggle("picked", s.dataset.field === String(field)));
}

function take(field) { // an outline up to be changed
  choose(field);
  points = ringOf(field);
  drawing = points.length === 0;
  at = 0;
  cursor = [view().x + view().width / 2, view().y + view().height / 2];
  show();
  map.focus();
}

function close() {
  drawing = false;
  at = 0;
  show();
  // After the key that closed it is up: it must not press what it comes to.
  setTimeout(() => form.querySelector(pick.value === "-1" ? "#map-name" : "button.main")?.focus(), 60);
}
function stop() { points = null; drawing = false; show(); map.focus(); }

document.getElementById("map-draw").addEventListener("click", () => take(pick.value));
document.getElementById("map-cancel").addEventListener("click", stop);
pick.addEventListener("change", () => { choose(pick.value); if (points) stop(); pick.focus(); });
choose(pick.value);

function zoom(k, about) {
  const v = view(), c = about || [v.x + v.width / 2, v.y + v.height / 2];
  const w = Math.max(40, Math.min(40000, v.width * k)), f = w / v.width;
  svg.setAttribute("viewBox", `${c[0] - (c[0] - v.x) * f} ${c[1] - (c[1] - v.y) * f} ${w} ${v.height * f}`);
  drawScale();
  show();
}
function pan(dx, dy) { const v = view(); svg.setAttribute("viewBox", `${v.x + dx} ${v.y + dy} ${v.width} ${v.height}`); drawScale(); show(); }
document.getElementById("map-in").addEventListener("click", () => zoom(0.7));
document.getElementById("map-out").addEventListener("click", () => zoom(1 / 0.7));
svg.addEventListener("wheel", (e) => { if (!e.ctrlKey && !points) return; e.preventDefault(); zoom(e.deltaY > 0 ? 1.15 : 1 / 1.15, toMetres(e)); }, { passive: false });

// The pointer: corners are dragged, a point between two becomes a corner, a click while
// drawing adds one; the ground itself is dragged to look elsewhere.
let held = null;
svg.addEventListener("pointerdown", (e) => {
  if (e.button !== 0) return;
  if (placing) { held = { picture: true, from: [e.clientX, e.clientY] }; svg.setPointerCapture(e.pointerId); return; }
  const corner = e.target.dataset?.corner, between = e.target.dataset?.between;
  if (points && !drawing && corner !== undefined) { at = +corner; held = { corner: at }; }
  else if (points && !drawing && between !== undefined) { at = +between + 1; points.splice(at, 0, toMetres(e)); held = { corner: at }; }
  else held = { from: [e.clientX, e.clientY], moved: false, target: e.target };
  svg.setPointerCapture(e.pointerId);
  if (points) show();
});
svg.addEventListener("pointermove", (e) => {
  if (!held) return;
  if (held.corner !== undefined) { points[held.corner] = toMetres(e); show(); return; }
  const dx = e.clientX - held.from[0], dy = e.clientY - held.from[1];
  if (held.picture) { held.from = [e.clientX, e.clientY]; movePicture(dx * unit(), dy * unit()); return; }
  if (!held.moved && Math.hypot(dx, dy) < 5) return;
  held.moved = true;
  held.from = [e.clientX, e.clientY];
  pan(-dx * unit(), -dy * unit());
});
svg.addEventListener("pointerup", (e) => {
  const h = held;
  held = null;
  if (!h || h.picture || h.corner !== undefined || h.moved) return;
  if (points && drawing) {
    const q = toMetres(e), first = points[0];
    if (points.length > 2 && Math.hypot(q[0] - first[0], q[1] - first[1]) < 12 * unit()) { close(); return; }
    points.push(q);
    cursor = q;
    show();
  } else if (!points && h.target.dataset?.field) {
    choose(h.target.dataset.field);
    const row = document.getElementById("field-" + h.target.dataset.field);
    if (row) { document.querySelectorAll(".fieldform[open]").forEach((d) => { d.open = false; }); row.open = true; row.scrollIntoView({ block: "nearest" }); }
  }
});

// The keys can do all that the pointer can.
map.addEventListener("keydown", (e) => {
  if (e.altKey || e.ctrlKey || e.metaKey) return;
  const step = (e.shiftKey ? 20 : 2) * unit();
  const go = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[e.key];
  if (placing && (go || e.key === "Escape" || e.key === "Enter")) {
    e.preventDefault();
    if (go) movePicture(...go); else place(false);
    return;
  }
  if (go) {
    e.preventDefault();
    if (!points) pan(go[0] * 8, go[1] * 8);
    else if (drawing) { cursor = [cursor[0] + go[0] * 4, cursor[1] + go[1] * 4]; show(); }
    else { points[at] = [points[at][0] + go[0], points[at][1] + go[1]]; show(); }
    return;
  }
  const done = () => e.preventDefault();
  if (e.key === "+" || e.key === "=") { done(); zoom(0.7); }
  else if (e.key === "-") { done(); zoom(1 / 0.7); }
  else if (!points && e.key === "Enter") { done(); take(pick.value); }
  else if (!points) return;
  else if (e.key === "Escape") { done(); stop(); }
  else if (drawing && e.key === " ") { done(); points.push([...cursor]); show(); }
  else if (drawing && e.key === "Backspace") { done(); points.pop(); show(); }
  else if (drawing && e.key === "Enter") { done(); if (points.length > 2) close(); }
  else if (drawing) return;
  else if (e.key === "n" || e.key === "PageDown") { done(); at = (at + 1) % points.length; show(); }
  else if (e.key === "p" || e.key === "PageUp") { done(); at = (at + points.length - 1) % points.length; show(); }
  else if (e.key === "Insert" || e.key === "i") { done(); const n = points[(at + 1) % points.length]; points.splice(at + 1, 0, [(points[at][0] + n[0]) / 2, (points[at][1] + n[1]) / 2]); at++; show(); }
  else if (e.key === "Delete" || e.key === "d") { done(); if (points.length > 3) { points.splice(at, 1); at %= points.length; show(); } }
  else if (e.key === "Enter") { done(); close(); }
});

// A picture from above that the person has: it stays in this window and is not kept. It
// is placed by dragging it, or with the arrow keys, while its button is pressed.
const file = document.getElementById("map-image"), placer = document.getElementById("map-place");
const wide = document.getElementById("map-image-width"), clear = document.getElementById("map-image-opacity");
const foot = 0.3048;
let picture = null, placing = false;
function place(on) {
  placing = on && picture !== null;
  placer.setAttribute("aria-pressed", placing);
  map.classList.toggle("placing", placing);
  if (placing) map.focus();
}
function movePicture(dx, dy) { picture.middle[0] += dx; picture.middle[1] += dy; drawPicture(); }
// A width is a number in the person's unit, or with its own: 1,200 ft or 400 m.
function metresOf(text) {
  const m = text.trim().match(/^([\d,]*\.?\d+)\s*(ft|m)?$/i);
  return m ? +m[1].replaceAll(",", "") * ((m[2] ? m[2].toLowerCase() === "ft" : acres) ? foot : 1) : NaN;
}
function drawPicture() {
  if (!picture) return;
  const w = metresOf(wide.value), good = w >= 5 && w <= 40000;
  wide.setAttribute("aria-invalid", !good);
  if (good) picture.width = w;
  const h = picture.width * picture.ratio, [x, y] = picture.middle;
  for (const [k, v] of Object.entries({ x: x - picture.width / 2, y: y - h / 2, width: picture.width, height: h, opacity: clear.value / 100 })) picture.element.setAttribute(k, v);
}
wide.value = Math.round(view().width / (acres ? foot : 1)).toLocaleString("en-US") + (acres ? " ft" : " m");
file.addEventListener("change", () => {
  picture?.element.remove();
  picture = null;
  place(false);
  placer.disabled = true;
  if (!file.files[0]) return;
  const url = URL.createObjectURL(file.files[0]), probe = new Image();
  probe.onload = () => {
    const v = view();
    picture = { element: element("image", { href: url, preserveAspectRatio: "none" }), ratio: probe.naturalHeight / probe.naturalWidth, middle: [v.x + v.width / 2, v.y + v.height / 2], width: v.width };
    svg.prepend(picture.element);
    map.classList.add("on-picture");
    placer.disabled = false;
    drawPicture();
  };
  probe.src = url;
});
placer.addEventListener("click", () => place(!placing));
for (const e of [wide, clear]) e.addEventListener("input", drawPicture);
