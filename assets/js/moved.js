/**
 * Follows the link of a page that has moved, with the query and the fragment that the
 * reader came with: they may choose a row, a figure or a heading.
 */
(function () {
  "use strict";

  const link = document.getElementById("moved-to");
  if (!(link instanceof HTMLAnchorElement)) {
    return;
  }
  const to = new URL(link.href);
  if (!to.search) {
    to.search = location.search;
  }
  if (!to.hash) {
    to.hash = location.hash;
  }
  // Replaced, so that the way back does not lead here again.
  location.replace(to.href);
})();
