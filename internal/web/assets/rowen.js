// What every page needs of a script: side sheets, messages copied, lines found. Every
// link and form works without it.
"use strict";

const sheet = document.getElementById("sheet");

// What is wrong is read first, wherever on the page it stands.
const wrong = document.querySelector("main [role=alert]:not(.refusal), main [aria-invalid=true]");
if (wrong) {
  if (!wrong.matches("input, select, textarea")) wrong.tabIndex = -1;
  wrong.focus({ preventScroll: true });
  wrong.scrollIntoView({ block: "center" });
}

// A link marked data-sheet opens beside the page instead of in its place.
document.addEventListener("click", async (e) => {
  const link = e.target.closest("a[data-sheet]");
  if (link && !e.defaultPrevented && !e.ctrlKey && !e.metaKey && !e.shiftKey && e.button === 0) {
    e.preventDefault();
    openSheet(link.href);
    return;
  }
  const copy = e.target.closest("[data-copy]");
  if (copy) {
    await navigator.clipboard.writeText(copy.parentElement.querySelector("p").textContent);
    say("✓");
    copy.classList.add("done");
    return;
  }
  const line = e.target.closest("a[data-line]");
  const text = document.getElementById("text") || document.getElementById("dropped");
  if (line && text) {
    e.preventDefault();
    const lines = text.value.split("\n"), n = +line.dataset.line;
    const start = lines.slice(0, n - 1).join("\n").length + (n > 1 ? 1 : 0);
    text.focus();
    text.setSelectionRange(start, start + lines[n - 1].length);
    text.scrollTop = (n - 4) * (text.scrollHeight / lines.length);
  }
});

// A sheet is begun at its heading: a key that is still down when it opens, or comes a
// second time, must not meet the button that closes it. What is asked for by one source
// waits for what that source asked before, so that sheet and plan are two.
async function openSheet(href) {
  await htmx.ajax("GET", href, { source: sheet, target: "#sheet-body", swap: "innerHTML" });
  if (!sheet.open) sheet.showModal();
  document.getElementById("sheet-title")?.focus();
}

// A form of the plan changes the plan under it: no page is left.
document.addEventListener("submit", (e) => {
  const form = e.target;
  const plan = document.getElementById("plan");
  if (!form.matches("[data-plan]") || !plan) return;
  e.preventDefault();
  const values = Object.fromEntries(new FormData(form, e.submitter));
  change(values);
});

// change makes changes of the plan one after another: each begins with the version that
// the one before it made, unless a form says with which it was begun.
let changing = Promise.resolve();
function change(values, focus) {
  const next = () => send({ base: document.querySelector(".board")?.dataset.base, ...values }, focus);
  return changing = changing.then(next, next);
}

// send sends a change of the plan and shows what comes of it; the keyboard stays where
// it was.
async function send(values, focus) {
  const plan = document.getElementById("plan");
  const at = focus || document.activeElement?.id;
  // What was wrong before says nothing of this.
  sheet.querySelectorAll("[aria-invalid]").forEach((e) => e.removeAttribute("aria-invalid"));
  sheet.querySelectorAll(".wrong").forEach((e) => e.remove());
  // The board stays where it is under the hand, whatever grows or shrinks above it.
  const board = () => document.querySelector(".board-wrap");
  const top = board()?.getBoundingClientRect().top, left = board()?.scrollLeft;
  performance.mark("change");
  await htmx.ajax("POST", plan.dataset.url, { source: plan, target: "#plan", swap: "innerHTML", values });
  performance.measure("change", "change");
  if (board() && top !== undefined) {
    board().scrollLeft = left;
    scrollBy(0, board().getBoundingClientRect().top - top);
  }
  // A form that is wrong came back into its sheet with what is wrong beside the fields.
  const field = sheet.open && sheet.querySelector("[aria-invalid=true]");
  const wrong = field ? field.parentElement.querySelector(".wrong") : (sheet.open && sheet.querySelector("[role=alert]")) || plan.querySelector("[role=alert]");
  if (field) field.focus();
  else if (sheet.open && !wrong) sheet.close();
  else if (sheet.open && plan.contains(wrong)) sheet.querySelector("h2").after(wrong.cloneNode(true));
  if (!wrong?.matches("[role=alert]")) say(wrong ? wrong.textContent : plan.querySelector(".said")?.textContent); // an alert is read by itself
  const el = at && document.getElementById(at);
  if (el && !sheet.open) {
    el.focus({ preventScroll: true });
    if (wrong) {
      wrong.dataset.back = at;
      el.scrollIntoView({ block: "nearest", inline: "nearest" }); // out from under the bar that says so
    }
  }
}

// A refusal is put away by its button or by Escape; the keyboard stays where it was.
function dismiss() {
  const bar = document.querySelector("#plan .refusal");
  const within = bar?.contains(document.activeElement);
  bar?.remove();
  if (within) document.getElementById(bar.dataset.back)?.focus();
  return bar;
}
document.addEventListener("click", (e) => {
  const button = e.target.closest("[data-dismiss]");
  if (button && sheet.contains(button)) button.closest(".refusal").remove();
  else if (button) dismiss();
});
document.addEventListener("keydown", (e) => { if (e.key === "Escape" && !sheet.open && dismiss()) e.preventDefault(); });

function say(text) {
  const live = document.getElementById("live");
  live.textContent = "";
  requestAnimationFrame(() => { live.textContent = text || ""; });
}
