// Keeps the pages at the lathes openable while the server cannot be reached: the network first, else what was last
// there. Nothing but looks, scripts and these pages is kept, and nothing is ever sent from here. Where the server says
// that this device may not see a page, nothing is kept any more.

const KEPT = "lathe-pages-1";
const PATIENCE = 4000;

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  const ours = pathname === "/lathe" || pathname.startsWith("/lathe/") || pathname.startsWith("/assets/");
  if (method === "GET" && origin === location.origin && ours) event.respondWith(answer(event.request));
});

async function answer(request) {
  const kept = await caches.open(KEPT);
  try {
    const fresh = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    if (fresh.ok) await kept.put(request, fresh.clone());
    if (fresh.status === 401 || fresh.status === 403) await caches.delete(KEPT);
    return fresh;
  } catch (error) {
    const old = await kept.match(request, { ignoreVary: true });
    if (!old) throw error;
    // What is kept is not the present, and the page's scripts must know it.
    if (request.mode !== "navigate" && new URL(request.url).pathname.startsWith("/lathe")) throw error;
    return old;
  }
}
