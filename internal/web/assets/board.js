// The season board: sowings moved by pointer or keys. Nothing is worked out here; each
// change is sent, and the answer shows it.
"use strict";

const lanes = () => [...document.querySelectorAll(".lane")];

// Places are classes, not styles: what the answer puts in their place carries none.
function name(bar, letter, n) {
  bar.className = bar.className.replace(new RegExp(`\\b${letter}\\d+\\b`), letter + n);
}

function place(bar, weeks) {
  const from = +bar.dataset.from, shift = Math.max(-from, Math.min(52 - from, weeks));
  name(bar, "s", from + shift);
  name(bar, "e", Math.min(53, Math.max(from + shift + 1, +bar.dataset.to + shift)));
  return shift;
}

// Keys that come quickly are one change.
let waiting = null;
document.addEventListener("keydown", (e) => {
  if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z" && !e.target.matches("input,textarea,select")) {
    e.preventDefault();
    document.getElementById(e.shiftKey ? "redo" : "undo")?.click();
    return;
  }
  const bar = e.target.closest?.(".sown");
  if (!bar || e.altKey || e.ctrlKey || e.metaKey) return;
  const sowing = bar.dataset.sowing;
  const step = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
  if (step) {
    e.preventDefault();
    if (waiting?.sowing === sowing) clearTimeout(waiting.timer);
    else waiting = { sowing, weeks: 0 };
    waiting.weeks = place(bar, waiting.weeks + step);
    waiting.timer = setTimeout(() => {
      const { weeks } = waiting;
      waiting = null;
      if (weeks) change({ do: "shift", sowing, weeks }, bar.id);
    }, e.repeat ? 45 : 10); // a held key is one change, a pressed one is made at once
    return;
  }
  const rows = lanes().map((l) => +l.dataset.row);
  const row = rows.indexOf(+bar.dataset.row) + ({ ArrowUp: -1, ArrowDown: 1 }[e.key] || 0);
  if ((e.key === "ArrowUp" || e.key === "ArrowDown")) {
    e.preventDefault();
    if (row >= 0 && row < rows.length) change({ do: "shift", sowing, weeks: 0, field: rows[row] }, bar.id);
  } else if (e.key === "+" || e.key === "-" || e.key === "=") {
    e.preventDefault();
    change({ do: "part", sowing, tenths: e.key === "-" ? -1 : 1, by: 1 }, bar.id);
  } else if (e.key === "Delete" || e.key === "Backspace") {
    e.preventDefault();
    change({ do: "remove", sowing }, "undo");
  }
});

// The pointer: the bar follows by whole weeks, and to another field by its row.
// A finger scrolls: it takes a bar up only by resting on it; a tap opens the sheet.
let drag = null, dropped = -1e9;
const rest = 400, slack = 8; // ms; pixels that a resting finger may tremble
const lift = () => { drag.lifted = true; drag.bar.classList.add("lifted"); navigator.vibrate?.(15); };
const setDown = () => { clearTimeout(drag?.timer); drag?.bar.classList.remove("lifted", "dragging"); };
// What follows a drag is no click.
document.addEventListener("click", (e) => {
  if (performance.now() - dropped < 80) { e.preventDefault(); e.stopImmediatePropagation(); }
}, true);
document.addEventListener("pointerdown", (e) => {
  const bar = e.target.closest?.(".sown");
  if (!bar || e.button !== 0) return;
  const lane = bar.closest(".lane").getBoundingClientRect();
  drag = { bar, x: e.clientX, y: e.clientY, week: lane.width / 53, high: lane.height, weeks: 0, tenths: 0, row: +bar.dataset.row, grip: e.target.classList.contains("grip"), moved: false, lifted: e.pointerType !== "touch" };
  if (!drag.lifted) drag.timer = setTimeout(lift, rest);
});
// What is taken up does not scroll, nor open the browser's own menu of a link.
document.getElementById("plan").addEventListener("touchmove", (e) => { if (drag?.lifted) e.preventDefault(); }, { passive: false });
document.addEventListener("contextmenu", (e) => { if (drag && e.target.closest?.(".sown")) e.preventDefault(); });
document.addEventListener("pointermove", (e) => {
  if (!drag) return;
  const dx = e.clientX - drag.x, dy = e.clientY - drag.y;
  if (!drag.lifted) {
    if (Math.hypot(dx, dy) > slack) { setDown(); drag = null; }
    return;
  }
  if (!drag.moved && Math.hypot(dx, dy) < 5) return;
  if (!drag.moved) {
    drag.moved = true;
    drag.bar.setPointerCapture(e.pointerId);
    drag.bar.classList.add("dragging");
  }
  if (drag.grip) {
    drag.tenths = Math.round((10 * dy) / drag.high);
    name(drag.bar, "h", Math.max(1, Math.min(10, +drag.bar.dataset.tenths + drag.tenths)));
    return;
  }
  drag.weeks = place(drag.bar, Math.round(dx / drag.week));
  const over = lanes().find((l) => { const b = l.getBoundingClientRect(); return e.clientY >= b.top - 8 && e.clientY <= b.bottom + 14; });
  drag.row = over ? +over.dataset.row : +drag.bar.dataset.row;
  drag.bar.style.transform = over ? `translateY(${over.getBoundingClientRect().top - drag.bar.closest(".lane").getBoundingClientRect().top}px)` : "";
});
const drop = (e) => {
  if (!drag) return;
  const d = drag;
  setDown();
  drag = null;
  d.bar.removeAttribute("style");
  if (!d.moved) return;
  dropped = performance.now();
  const sowing = d.bar.dataset.sowing;
  const home = d.row === +d.bar.dataset.row;
  if (e.type === "pointercancel" || (home && !d.weeks && !d.tenths)) {
    place(d.bar, 0);
    name(d.bar, "h", d.bar.dataset.high);
  } else if (d.grip) {
    change({ do: "part", sowing, tenths: d.tenths, by: 1 }, d.bar.id);
  } else {
    const values = { do: "shift", sowing, weeks: d.weeks };
    if (!home) values.field = d.row;
    change(values, d.bar.id);
  }
};
document.addEventListener("pointerup", drop);
document.addEventListener("pointercancel", drop);
document.addEventListener("dragstart", (e) => { if (e.target.closest?.(".sown")) e.preventDefault(); });

// A click on a free place of a field opens a new sowing there, in that week.
document.addEventListener("click", (e) => {
  const lane = e.target.closest?.(".lane");
  if (!lane || e.target.closest("a")) return;
  const b = lane.getBoundingClientRect();
  openSheet(lane.dataset.add + "&week=" + Math.max(0, Math.min(52, Math.floor(((e.clientX - b.left) / b.width) * 53))));
});

// A narrow screen begins where the season does, in April.
const wrap = document.querySelector(".board-wrap");
if (wrap && wrap.scrollWidth > wrap.clientWidth) wrap.scrollLeft = wrap.scrollWidth * 0.4;
addEventListener("beforeprint", () => document.querySelector(".board-wrap")?.scrollTo(0, 0)); // paper shows the whole
