// Starts the app, and keeps the offline copy of the page. Started as a worker it serves the search
// instead: its first message is the app as the page compiled it.
//
// Between this file and the app, events on `window`:
//   page -> app  `tapewright:update-waiting`  a new version is stored and waits
//   app -> page  `tapewright:take-over`       the person said yes: swap and reload this tab
// Whoever listens late can look at `document.documentElement.dataset.update === "waiting"`.
import init from "./tapewright-web.js";

let reloadOnSwap = false;

function announce() {
  document.documentElement.dataset.update = "waiting";
  window.dispatchEvent(new Event("tapewright:update-waiting"));
}

// A version that finished installing while an older one is in charge waits until told.
function watch(registration) {
  if (registration.waiting && navigator.serviceWorker.controller) announce();
  registration.addEventListener("updatefound", () => {
    const incoming = registration.installing;
    incoming?.addEventListener("statechange", () => {
      if (incoming.state === "installed" && navigator.serviceWorker.controller) announce();
    });
  });
  window.addEventListener("tapewright:take-over", () => {
    if (!registration.waiting) return;
    reloadOnSwap = true;
    registration.waiting.postMessage({ type: "take-over" });
  });
}

// Only this tab reloads, and only when its own user asked; other tabs keep what they show.
function keepOffline() {
  if (!("serviceWorker" in navigator)) return; // plain http on the LAN: works, but not offline
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (reloadOnSwap) window.location.reload();
  });
  navigator.serviceWorker
    .register("sw.js", { updateViaCache: "none" })
    .then(watch)
    .catch((error) => console.warn("No offline copy could be kept:", error));
}

function start() {
  init({ module_or_path: new URL("./tapewright-web_bg.wasm", import.meta.url) })
    .catch((error) => {
      const line = document.getElementById("first-paint");
      if (line) line.textContent = `The app could not start: ${error}. Reload the page, or use a current browser.`;
      throw error;
    })
    .finally(keepOffline);
}

// A worker that cannot start says so as an error, which the page hears.
function begin(app) {
  init({ module_or_path: app }).catch((error) => setTimeout(() => { throw error; }));
}

if (globalThis.document) start();
else addEventListener("message", ({ data }) => begin(data), { once: true });
