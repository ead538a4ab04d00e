// On a site of its own the page is kept by a service worker, and says when a
// newer edition has come.
if ('serviceWorker' in navigator) {
  const kept = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.register('sw.js').catch(() => {});
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (kept) document.getElementById('newer').hidden = false;
  });
}
