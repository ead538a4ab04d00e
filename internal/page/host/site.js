// On a site of its own the page is kept by a service worker, and says when a
// newer edition has come.
if ('serviceWorker' in navigator) {
  const note = document.getElementById('newer');
  // The worker keeps one edition; where that is another, it came after this page.
  const look = async () => {
    const kept = 'evenfall ' + (await navigator.serviceWorker.ready).scope + ' ';
    const editions = (await caches.keys()).filter((name) => name.startsWith(kept));
    note.hidden = editions.length === 0 || editions.includes(kept + note.dataset.edition);
  };
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    // The older edition goes only while the new worker is being activated.
    navigator.serviceWorker.controller.addEventListener('statechange', look);
    look();
  });
  navigator.serviceWorker.register('sw.js').then(look, () => {});
}
