"use strict";
// The service worker: keeps one whole version of the site for use without the
// network. The build puts one line before this file:
//   const site = {version, pages: [path], start, files: {address: sha256}};
//
// A version is stored whole or not at all, and every file but the pages is
// asked for by an address that holds its own hash, so that a page never runs
// with a file of another version, however the host or a proxy caches. The new
// worker takes over as soon as its version is complete: the next load gets it.
// The version before is kept until the one after next, for pages still open.

const scope = new URL("./", self.location).href;
const prefix = `stampmill ${scope} `; // several sites may share one origin
const cacheName = prefix + site.version;
const notFound = "404.html";
const kept = 2;

self.addEventListener("install", (event) => event.waitUntil(store().then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(forget().then(() => self.clients.claim())));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || !request.url.startsWith(scope)) return;
  event.respondWith(request.mode === "navigate" ? page(request) : file(request));
});

async function store() {
  const cache = await caches.open(cacheName);
  try {
    await Promise.all([
      ...Object.entries(site.files).map(([address, hash]) => storeFile(cache, scope + address, hash)),
      ...[...site.pages, notFound].map((path) => storePage(cache, scope + path)),
    ]);
  } catch (problem) {
    await caches.delete(cacheName);
    throw problem;
  }
}

async function storeFile(cache, address, hash) {
  const had = await caches.match(address);
  if (had) return cache.put(address, had);
  for (const mode of ["default", "reload"]) {
    const response = await fetch(address, { cache: mode });
    const body = response.ok ? await response.arrayBuffer() : new ArrayBuffer(0);
    if ((await sha256(body)) === hash) return cache.put(address, plain(body, response));
  }
  throw new Error(`${address} is not the file of version ${site.version}`);
}

// A host may add to a page on its way, so it is known by the start file it names.
async function storePage(cache, address) {
  const response = await fetch(address, { cache: "reload" });
  const body = await response.text();
  const is404 = address.endsWith(notFound);
  if (!is404 && !(response.ok && body.includes(site.start))) {
    throw new Error(`${address} is not the page of version ${site.version}`);
  }
  return cache.put(address, plain(body, response));
}

// A response without the marks of a redirect, which navigations would refuse.
function plain(body, response) {
  const headers = new Headers();
  for (const name of ["Content-Type", "Content-Security-Policy"]) {
    if (response.headers.has(name)) headers.set(name, response.headers.get(name));
  }
  return new Response(body, { headers });
}

async function sha256(body) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

async function forget() {
  const ours = (await caches.keys()).filter((name) => name.startsWith(prefix) && name !== cacheName);
  const old = ours.slice(0, Math.max(0, ours.length - (kept - 1)));
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function page(request) {
  const address = new URL(request.url);
  const path = address.href.split(/[?#]/)[0].slice(scope.length).replace(/(^|\/)index\.html$/, "$1");
  const cache = await caches.open(cacheName);
  if (site.pages.includes(path)) {
    return (await cache.match(scope + path)) ?? fetch(request);
  }
  if (site.pages.includes(path + "/")) {
    return Response.redirect(scope + path + "/" + address.search);
  }
  try {
    return await fetch(request);
  } catch {
    return await cache.match(scope + notFound);
  }
}

async function file(request) {
  const exact = await caches.match(request, { ignoreVary: true });
  if (exact) return exact;
  const cache = await caches.open(cacheName);
  const address = new URL(request.url);
  const byName = address.search === "" && (await cache.match(request, { ignoreSearch: true, ignoreVary: true }));
  return byName || fetch(request);
}
