// evenfall site: keeps the page, so that it opens with no network.
'use strict';
const own = 'evenfall ' + self.registration.scope + ' ', edition = own + 'EDITION';
const files = ['./', 'manifest.webmanifest', 'icon-192.png', 'icon-512.png'];

self.addEventListener('install', (event) => event.waitUntil((async () => {
  const cache = await caches.open(edition);
  await cache.addAll(files.map((file) => new Request(file, { cache: 'reload' })));
  await self.skipWaiting();
})()));

self.addEventListener('activate', (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) {
    if (name.startsWith(own) && name !== edition) await caches.delete(name);
  }
  await self.clients.claim();
})()));

self.addEventListener('fetch', (event) => {
  if (event.request.method !== 'GET') return;
  event.respondWith((async () => {
    const cache = await caches.open(edition);
    const page = event.request.mode === 'navigate' ? './' : event.request;
    return await cache.match(page) || fetch(event.request);
  })());
});
