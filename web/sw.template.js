// The service worker: one stored copy of the whole page, served first, from a cold start too.
//
// The finishing step (`cargo xtask finish`) fills VERSION and FILES from what was built, sorted,
// with the SHA-256 of each file's bytes; the same build always gives the same text.
// A new version is stored beside the old one and waits: it takes over only on the message
// { type: "take-over" }, which the page sends when the person agrees, or when no tab is open.
"use strict";

const VERSION = "@VERSION@";
const FILES = @FILES@;

const PREFIX = "tapewright-";
const CACHE = PREFIX + VERSION;
const at = (path) => new URL(path, self.registration.scope).href;
const START = at("index.html");
const KNOWN = new Set(Object.keys(FILES).map(at));

// A server may be half way through a new release: a file whose bytes are not the ones this
// version was built with stops the install, and the old version stays.
async function fetchExactly(path, wanted) {
  const answer = await fetch(new Request(at(path), { cache: "no-cache" }));
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  const bytes = await answer.clone().arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const got = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (got !== wanted) throw new Error(`${path} is not of version ${VERSION}`);
  // A redirected answer may not be used for a navigation, so keep only what it carried.
  return new Response(bytes, { headers: answer.headers });
}

self.addEventListener("install", (event) => {
  event.waitUntil(
    (async () => {
      const cache = await caches.open(CACHE);
      await Promise.all(
        Object.entries(FILES).map(async ([path, wanted]) => {
          await cache.put(at(path), await fetchExactly(path, wanted));
        }),
      );
    })(),
  );
});

self.addEventListener("message", (event) => {
  if (event.data?.type === "take-over") self.skipWaiting();
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    (async () => {
      const old = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
      await Promise.all(old.map((name) => caches.delete(name)));
      await self.clients.claim();
    })(),
  );
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  const url = new URL(event.request.url);
  if (url.origin !== self.location.origin) return;
  url.search = "";
  url.hash = "";
  const wanted = event.request.mode === "navigate" && !KNOWN.has(url.href) ? START : url.href;
  if (!KNOWN.has(wanted)) return;
  event.respondWith(
    (async () => {
      const cache = await caches.open(CACHE);
      return (await cache.match(wanted)) ?? fetch(event.request);
    })(),
  );
});
