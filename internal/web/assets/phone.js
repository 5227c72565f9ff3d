// The field page: a note in two taps and a number. Notes stay on this device until the
// program has them, or until they are carried to it; each has a name for good, so that
// sending or carrying it twice counts once.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("pocket").textContent);
  const at = (id) => document.getElementById(id);
  const say = (key, ...args) => (data.words[key] || "[" + key + "]").replace(/%[sd]/g, () => args.shift());
  const make = (tag, text, attributes = {}) => {
    const e = document.createElement(tag);
    if (text) e.textContent = text;
    for (const [name, value] of Object.entries(attributes)) e.setAttribute(name, value);
    return e;
  };
  const pad = (n) => String(n).padStart(2, "0");
  // The farm's day, wherever the phone thinks it is: checks and notes are of that.
  const clock = (() => {
    try {
      return new Intl.DateTimeFormat("en-CA", { timeZone: data.zone, year: "numeric", month: "2-digit", day: "2-digit" });
    } catch {
      return null; // a viewer that does not know the zone
    }
  })();
  const day = (d) => clock ? clock.format(d) : `${d.getFullYear()}-${pad(d.getMonth() + 1)}-${pad(d.getDate())}`;

  // --- what is kept on the device ---
  const place = "rowen-notes-" + data.key;
  let inMemory = null; // where the viewer keeps nothing
  const disk = (() => {
    try {
      localStorage.setItem("rowen-try", "1");
      localStorage.removeItem("rowen-try");
      return localStorage;
    } catch { return null; }
  })();
  const newDevice = () => "p-" + [...crypto.getRandomValues(new Uint8Array(10))].map((b) => "abcdefghijkmnpqrstuvwxyz23456789"[b & 31]).join("");
  const load = () => {
    const text = disk ? disk.getItem(place) : inMemory;
    return text ? JSON.parse(text) : { device: newDevice(), next: 1, notes: [] };
  };
  const keep = (state) => {
    const text = JSON.stringify(state);
    if (disk) disk.setItem(place, text); else inMemory = text;
  };
  // Two windows never count at once.
  const alone = (work) => (navigator.locks ? navigator.locks.request(place, work) : Promise.resolve(work()));

  // --- a note as a line of the journal ---
  const table = Uint32Array.from({ length: 256 }, (_, n) => {
    for (let k = 0; k < 8; k++) n = n & 1 ? (n >>> 1) ^ 0x82f63b78 : n >>> 1;
    return n;
  });
  const bytesOf = (text) => new TextEncoder().encode(text);
  const sum = (text) => {
    let c = ~0;
    for (const b of bytesOf(text)) c = (c >>> 8) ^ table[(c ^ b) & 255];
    return (~c >>> 0).toString(16).padStart(8, "0");
  };
  const lineOf = (device, n) => {
    const o = { v: 1, date: n.date, at: n.at, device, seq: n.seq, kind: n.kind };
    for (const name of ["field", "group"]) if (n[name]) o[name] = n[name];
    Object.assign(o, n.values);
    if (n.note) o.note = n.note;
    if (n.corrects) o.corrects = n.corrects;
    const text = JSON.stringify(o).slice(0, -1);
    return `${text},"sum":"${sum(text)}"}`;
  };

  // --- the kinds of notes ---
  const short = data.metric ? "cm" : "in";
  const water = data.metric ? "mm" : "in";
  const warmth = data.metric ? "C" : "F";
  const kinds = [
    { kind: "height", field: true, number: short, needed: true, put: (v) => ({ heights: v.map((x) => `${x} ${short}`) }), several: true },
    { kind: "grazing-in", field: true, group: true, whole: true, put: (v) => (v.length ? { head: Number(v[0]) } : {}), number: "head" },
    { kind: "grazing-out", field: true, number: short, put: (v) => (v.length ? { residual: `${v[0]} ${short}` } : {}) },
    { kind: "cut", field: true, choice: ["wrap", "chop", "hay", "silage"], whole: true, number: "bales", put: (v, c) => ({ ...(c ? { use: c } : {}), ...(v.length ? { bales: Number(v[0]) } : {}) }) },
    { kind: "emergence", field: true, choice: ["yes", "no"], chosen: true, put: (v, c) => ({ emerged: c === "yes" }) },
    { kind: "frost", field: true, farm: true, number: warmth, minus: true, put: (v) => (v.length ? { minimum: `${v[0]} ${warmth}` } : {}) },
    { kind: "rain", farm: true, field: true, number: water, needed: true, put: (v) => ({ rain: `${v[0]} ${water}` }) },
    { kind: "drought", field: true, put: () => ({}) },
    { kind: "hail", field: true, number: "%", put: (v) => (v.length ? { damage: `${v[0]} %` } : {}) },
  ];

  // --- taps ---
  const sheet = at("note-sheet"), body = at("note-body"), heading = at("note-title");
  let field = "";
  const open = (name) => {
    field = name;
    heading.textContent = name || say("wholefarm");
    const list = make("div", "", { class: "kinds" });
    for (const k of kinds) {
      if (name ? !k.field : !k.farm) continue;
      const b = make("button", say("kind_" + k.kind), { type: "button", "data-kind": k.kind });
      b.addEventListener("click", () => form(k));
      list.append(b);
    }
    body.replaceChildren(list);
    if (!sheet.open) sheet.showModal();
    list.firstChild.focus();
  };
  document.addEventListener("click", (event) => {
    const b = event.target.closest("[data-note]");
    if (b) open(b.dataset.note);
  });
  at("note-close").addEventListener("click", () => sheet.close());

  const choices = (name, words, label, checked) => {
    const set = make("fieldset");
    set.append(make("legend", label));
    for (const [value, text] of words) {
      const l = make("label", "", { class: "choice" });
      const input = make("input", "", { type: "radio", name, value });
      if (value === checked) input.checked = true;
      l.append(input, " " + text);
      set.append(l);
    }
    return set;
  };

  const form = (k) => {
    const f = make("form", "", { class: "form", novalidate: "" });
    heading.textContent = `${field || say("wholefarm")}: ${say("kind_" + k.kind)}`;
    if (k.group && data.groups.length) f.append(choices("group", data.groups.map((g) => [g, g]), say("which_group"), data.groups.length === 1 ? data.groups[0] : ""));
    if (k.choice) f.append(choices("choice", k.choice.map((c) => [c, say("choice_" + c)]), say("choose_" + k.kind), k.chosen ? k.choice[0] : ""));
    if (k.number) {
      const label = make("label", say("number_" + k.kind), { for: "note-number" });
      const row = make("div", "", { class: "numberrow" });
      row.append(make("input", "", { id: "note-number", name: "number", inputmode: k.several || k.minus ? "text" : "decimal", autocomplete: "off", enterkeyhint: "done", "aria-describedby": "note-wrong" }), make("span", k.number, { class: "unit" }));
      f.append(label, row);
    }
    f.append(make("p", "", { id: "note-wrong", class: "wrong", role: "alert", hidden: "" }));
    const more = make("details");
    more.append(make("summary", say("more")), make("label", say("date"), { for: "note-date" }), make("input", "", { type: "date", id: "note-date", name: "date", value: day(new Date()), max: day(new Date()) }), make("label", say("word"), { for: "note-word" }), make("input", "", { id: "note-word", name: "word", maxlength: "500", autocomplete: "off" }));
    f.append(more, make("button", say("save"), { class: "main wide" }));
    f.addEventListener("submit", (event) => { event.preventDefault(); save(k, f); });
    body.replaceChildren(f);
    (f.querySelector("[name=group]:not(:checked), [name=choice]:not(:checked)") || f.elements.number || f.querySelector("button")).focus();
    if (f.elements.number && !(k.group && data.groups.length > 1) && !k.choice) f.elements.number.focus();
  };

  const wrong = (text) => {
    const p = at("note-wrong");
    p.textContent = text;
    p.hidden = false;
  };

  const save = async (k, f) => {
    const typed = f.elements.number ? f.elements.number.value.trim() : "";
    const numbers = typed === "" ? [] : typed.replace(/,(?=\d)/g, ".").split(/[\s;]+/);
    const good = k.minus ? /^-?\d{1,4}(\.\d{1,2})?$/ : k.whole ? /^\d{1,5}$/ : /^\d{1,5}(\.\d{1,2})?$/;
    if ((k.needed && !numbers.length) || !numbers.every((n) => good.test(n)) || (numbers.length > 1 && !k.several)) return wrong(say(k.several ? "wrong_numbers" : k.whole ? "wrong_whole" : "wrong_number"));
    const group = k.group ? f.elements.group?.value : "";
    if (k.group && !group) return wrong(say("wrong_group"));
    const choice = k.choice ? f.elements.choice.value : "";
    if (k.chosen && !choice) return wrong(say("wrong_choice"));
    const date = f.elements.date.value;
    if (!date || date > day(new Date())) return wrong(say("wrong_date"));
    try {
      await add({ kind: k.kind, field, group, date, values: k.put(numbers, choice), note: f.elements.word.value.trim().replace(/\s+/g, " ") });
    } catch { return wrong(say("wrong_full")); }
    sheet.close();
    at("said").textContent = say("kept");
    send();
  };

  const add = (note) => alone(() => {
    const state = load();
    note.seq = state.next++;
    note.at = new Date().toISOString().slice(0, 19) + "Z";
    note.state = "waiting";
    state.notes.push(note);
    keep(state);
    show();
  });

  // --- what was noted ---
  const words = (n) => [n.date, n.field || say("wholefarm"), n.kind === "withdrawn" ? say("withdrawn", n.what) : [say("kind_" + n.kind), n.group, ...Object.entries(n.values).map(([, v]) => (Array.isArray(v) ? v.join(", ") : v === true ? say("choice_yes") : v === false ? say("choice_no") : String(v)))].filter(Boolean).join(" "), n.note].filter(Boolean).join(", ");
  const show = () => {
    const state = load();
    const list = at("notes");
    list.replaceChildren();
    for (const n of [...state.notes].reverse()) {
      const li = make("li", "", { class: "note-line " + n.state });
      const text = make("p");
      text.append(make("b", say("state_" + n.state)), " " + words(n));
      li.append(text);
      if (n.why) li.append(make("p", n.why, { class: "why pre" }));
      for (const q of n.asked || []) li.append(make("p", say("asked", q), { class: "why" }));
      const taken = state.notes.some((x) => x.corrects === `${state.device}:${n.seq}`);
      if (n.kind !== "withdrawn" && !taken) {
        const b = make("button", say("takeback"), { type: "button", class: "small" });
        b.addEventListener("click", () => takeBack(n.seq));
        li.append(b);
      }
      list.append(li);
    }
    at("notes-none").hidden = state.notes.length > 0;
    const waiting = state.notes.filter((n) => n.state === "waiting").length;
    at("carry-area").hidden = !data.carried || state.notes.length === 0;
    at("waiting").textContent = !waiting ? "" : data.carried ? say("waiting_carried") : waiting === 1 ? say("waiting_one") : say("waiting_many", waiting);
  };

  // A note that never left is taken away; one that did is taken back by another note.
  const takeBack = (seq) => alone(() => {
    const state = load();
    const n = state.notes.find((x) => x.seq === seq);
    if (!n) return;
    if ((n.state === "waiting" && !n.tried) || n.state === "refused") state.notes = state.notes.filter((x) => x.seq !== seq);
    else state.notes.push({ kind: "withdrawn", field: n.field, group: n.group, date: n.date, values: {}, corrects: `${state.device}:${n.seq}`, what: words(n), seq: state.next++, at: new Date().toISOString().slice(0, 19) + "Z", state: "waiting" });
    keep(state);
    show();
  }).then(send);

  // --- sending, where the program answers ---
  // Where it does not answer it is asked again, soon at first; a network that is new is
  // often not ready at the first asking. now is for when something may have changed: it
  // does not wait for an asking that hangs in a network that is gone.
  let sending = false, again = false, asked = null, timer = 0, wait = 500;
  const later = () => { timer = setTimeout(send, wait); wait = Math.min(10000, 2 * wait); };
  const now = () => { wait = 500; if (sending) asked?.abort(); send(); };
  const send = async () => {
    if (data.carried) return;
    if (sending) { again = true; return; }
    sending = true;
    clearTimeout(timer);
    try {
      let waiting = [], lines = [];
      await alone(() => {
        const state = load();
        waiting = state.notes.filter((n) => n.state === "waiting");
        for (const n of waiting) n.tried = true; // it may arrive though no answer does
        if (waiting.length) keep(state);
        lines = waiting.map((n) => lineOf(state.device, n));
      });
      if (!lines.length) return;
      asked = new AbortController();
      const hung = setTimeout(() => asked.abort(), 20000);
      const answer = await fetch(`/api/farms/${data.farm}/journal`, { method: "POST", headers: { "Content-Type": "application/x-ndjson", "Rowen-Farm": data.key }, body: lines.join("\n") + "\n", signal: asked.signal }).finally(() => clearTimeout(hung));
      const said = await answer.json();
      if (!answer.ok) { at("said").textContent = said.detail; if (answer.status >= 500) later(); return; }
      wait = 500;
      await alone(() => {
        const state = load();
        for (const e of said.entries) {
          const n = state.notes.find((x) => `${state.device}:${x.seq}` === e.id);
          if (!n) continue;
          n.state = { new: "sent", already: "sent", conflict: "conflict", refused: "refused" }[e.state];
          n.why = e.why; n.asked = e.asked;
        }
        for (const p of said.problems) { // lines that could not be read at all
          const n = state.notes.find((x) => x.seq === waiting[p.line - 1]?.seq);
          if (n) { n.state = "refused"; n.why = `${p.thing}: ${p.value} ${p.remedy}`; }
        }
        const old = day(new Date(Date.now() - 40 * 864e5));
        state.notes = state.notes.filter((n) => n.state !== "sent" || n.date > old);
        keep(state);
      });
      at("said").textContent = say(load().notes.some((n) => n.state === "refused" || n.state === "conflict") ? "lookagain" : "sent");
    } catch { at("said").textContent = say("nonetwork"); later(); }
    finally {
      sending = false;
      show();
      if (again) { again = false; send(); }
    }
  };

  // --- carrying, where it does not ---
  const b64 = (bytes) => {
    let text = "";
    for (const b of bytes) text += String.fromCharCode(b);
    return btoa(text).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  };
  const packed = async (text) => {
    let how = "p", bytes = bytesOf(text);
    if (window.CompressionStream) {
      try {
        const stream = new Blob([bytes]).stream().pipeThrough(new CompressionStream("deflate-raw"));
        bytes = new Uint8Array(await new Response(stream).arrayBuffer());
        how = "z";
      } catch { /* an older viewer: plain */ }
    }
    const code = `rowen-notes:1:${data.key}:${how}:${b64(bytes)}`;
    return `${code}:${sum(code)}`;
  };
  const journal = () => {
    const state = load();
    return state.notes.map((n) => lineOf(state.device, n) + "\n").join("");
  };
  const message = async () => `${say("message", data.name, load().notes.length)}\n${await packed(journal())}\n`;
  const name = () => `notes-${day(new Date())}.journal`;
  const handed = () => alone(() => {
    const state = load();
    for (const n of state.notes) if (n.state === "waiting") { n.state = "handed"; n.tried = true; }
    keep(state);
    show();
  });
  const carrying = () => {
    at("carry-share").hidden = !navigator.share;
    at("carry-share").addEventListener("click", async () => {
      try { await navigator.share({ title: name(), text: await message() }); await handed(); } catch { /* not shared */ }
    });
    at("carry-copy").addEventListener("click", async () => {
      const box = at("carry-code");
      box.value = await message();
      box.hidden = false;
      box.focus();
      box.select();
      let copied = false;
      try { await navigator.clipboard.writeText(box.value); copied = true; } catch { copied = document.execCommand("copy"); }
      at("said").textContent = say(copied ? "copied" : "copyhand");
      await handed();
    });
    at("carry-save").addEventListener("click", async () => {
      const a = make("a", "", { href: URL.createObjectURL(new Blob([journal()], { type: "text/plain" })), download: name() });
      document.body.append(a);
      a.click();
      a.remove();
      at("said").textContent = say("saved", name());
      await handed();
    });
  };

  // --- checks grow old ---
  const age = () => Math.round((new Date(day(new Date())) - new Date(data.date)) / 864e5);
  const aged = () => {
    const days = age();
    document.body.classList.toggle("stale", days > 0);
    at("stale").hidden = days <= 0;
    if (days > 0) at("stale").textContent = say(days === 1 ? "stale_one" : "stale_many", days);
  };

  if (!disk) at("nothing-kept").hidden = false;
  if (data.carried) carrying();
  else {
    if ("serviceWorker" in navigator) navigator.serviceWorker.register("/sw.js", { scope: `/farms/${data.farm}/phone` }).catch(() => {});
    window.addEventListener("online", now);
    navigator.connection?.addEventListener?.("change", now);
    setInterval(send, 30000);
  }
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { aged(); show(); now(); } });
  window.addEventListener("storage", show);
  aged();
  show();
  send();
})();
