/**
 * Shows the folder form of the address when the site is served: links spell
 * `index.html` so that they also work opened from disk.
 */
(function () {
  "use strict";

  if (location.protocol !== "http:" && location.protocol !== "https:") {
    return;
  }
  const file = "/index.html";
  if (location.pathname.slice(-file.length) === file) {
    const folder = location.pathname.slice(0, 1 - file.length + 0);
    history.replaceState(history.state, "", folder + location.search + location.hash);
  }
})();
