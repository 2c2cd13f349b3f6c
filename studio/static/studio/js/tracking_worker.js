// The tracking page's service worker. It keeps the tracking pages that were opened on this device, and
// the files that they use, so that they open while the network or the server is away. Nothing else is
// kept, and whoever is signed in gets the server's page as long as the server answers.

const PAGES = "tracking-pages"; // emptied at the sign-out: forget_pages.js
const FILES = "tracking-files";
const MOST = 40; // pages kept
const PATIENCE = 3000; // ms for the server's page
const PAGE = /^\/sessions\/\d+\/takes\/(live\/)?$/;
const NAMED_BY_CONTENT = /\.[0-9a-f]{12}\.\w+$/;
const USED = /(?:(?:src|href)=|url\(|from )["']?((?:\/static|\.{1,2})\/[^"')\s>]+)/g; // in HTML, CSS, modules

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  if (PAGE.test(pathname)) event.respondWith(page(event));
  else if (pathname.startsWith("/static/")) event.respondWith(file(event.request));
});

// A page that was opened before there was a worker.
self.addEventListener("message", (event) => {
  const { keep: address } = event.data;
  event.waitUntil(fetch(address).then((answer) => keep(address, answer)).catch(() => {}));
});

function page(event) {
  const { request } = event;
  const network = fetch(request).then((answer) => {
    if ([502, 503, 504].includes(answer.status)) throw new Error("The server is away.");
    return answer;
  });
  const keeping = network.then((answer) => keep(request.url, answer.clone()));
  event.waitUntil(keeping.catch(() => {}));
  const late = new Promise((_, fail) => setTimeout(fail, PATIENCE));
  return Promise.race([network, late]).catch(
    async () => (await kept(request)) ?? network.catch(() => notKept(request)),
  );
}

async function file(request) {
  const found = await caches.match(request.url, { cacheName: FILES, ignoreVary: true });
  if (found && NAMED_BY_CONTENT.test(request.url)) return found;
  return fetch(request).catch(() => found ?? Response.error());
}

async function keep(address, answer) {
  if (!answer.ok || answer.redirected) return;
  await keepFiles(address, await answer.clone().text()); // first: a page without them is of no use
  const pages = await caches.open(PAGES);
  await pages.put(address, answer);
  for (const old of (await pages.keys()).slice(0, -MOST)) await pages.delete(old);
}

async function keepFiles(address, text, seen = new Set()) {
  const used = [...text.matchAll(USED)].map(([, name]) => new URL(name, address).href);
  const next = used.filter((file) => !seen.has(file));
  for (const file of next) seen.add(file);
  await Promise.all(next.map((file) => keepFile(file, seen)));
}

async function keepFile(address, seen) {
  const files = await caches.open(FILES);
  if (NAMED_BY_CONTENT.test(address) && (await files.match(address))) return;
  const answer = await fetch(address);
  if (!answer.ok) return;
  await files.put(address, answer.clone());
  if (/\.(css|js)$/.test(address)) await keepFiles(address, await answer.text(), seen);
}

// It says that it is not the server's answer of now.
async function kept({ url }) {
  const page = await caches.match(url, { cacheName: PAGES, ignoreVary: true });
  if (!page) return undefined;
  const headers = new Headers(page.headers);
  headers.set("X-Kept", "1");
  return new Response(page.body, { headers });
}

// Who names no song gets the page of the session that was kept last; who does is not shown another.
async function notKept({ url, mode }) {
  if (mode !== "navigate") return Response.error();
  const { pathname, search } = new URL(url);
  const addresses = (await (await caches.open(PAGES)).keys()).map((request) => request.url);
  const last = addresses.findLast((address) => new URL(address).pathname === pathname);
  if (last && !search) return Response.redirect(last);
  const instead = last ? `<p><a href="${last.replaceAll("&", "&amp;")}">Open the page kept last</a></p>` : "";
  return new Response(
    `<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>Server away</title>
<meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark">
<h1>The server can’t be reached</h1>
<p>This page was not opened on this device since you signed in, so it is not kept here.</p>${instead}
<p><a href="${url.replaceAll("&", "&amp;")}">Try again</a></p></html>`,
    {
      status: 503,
      headers: {
        "Content-Type": "text/html; charset=utf-8",
        "Content-Security-Policy": "default-src 'none'",
      },
    },
  );
}
