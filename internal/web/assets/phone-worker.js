// Keeps the field page for days without the program: the page as it was last seen, and
// its own files, whose addresses carry their hashes.
"use strict";
const cacheName = "rowen-field-" + "VERSION";
const files = ["KEEP"];
const isFieldPage = (url) => /^\/farms\/\d+\/phone$/.test(url.pathname) && url.search === "";

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(cacheName).then((cache) => cache.addAll(files)).then(() => self.skipWaiting()));
});

// A new version takes over what was kept: a page that was seen with the old one still
// finds the old one's files.
self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(cacheName);
    for (const name of await caches.keys()) {
      if (!name.startsWith("rowen-field-") || name === cacheName) continue;
      const old = await caches.open(name);
      for (const request of await old.keys()) {
        if (!(await cache.match(request))) await cache.put(request, await old.match(request));
      }
      await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (isFieldPage(url)) event.respondWith(fresh(event.request, url.pathname));
  else if (url.pathname.startsWith("/assets/")) event.respondWith(kept(event.request));
});

// fresh is the page from the program, or as it was last seen where that does not answer.
async function fresh(request, path) {
  const cache = await caches.open(cacheName);
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(8000) });
    if (answer.ok && answer.type === "basic" && !answer.redirected) await cache.put(path, answer.clone());
    return answer;
  } catch (error) {
    const seen = await cache.match(path);
    if (seen) return seen;
    throw error;
  }
}

async function kept(request) {
  const cache = await caches.open(cacheName);
  return (await cache.match(request)) || fetch(request);
}
