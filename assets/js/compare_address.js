/**
 * The address of what a page shows: in the line to copy and, where the page is served, in
 * the address bar.
 */
(function () {
  "use strict";

  const MANY = 250;
  const served = window.location.protocol !== "file:";

  /** @param {any} page see compare.js @returns {any} its state but for what goes unsaid */
  function toSay(page) {
    const kept = Object.assign({}, page.state);
    // What the page does anyway need not be said.
    if (kept.sort === page.data.order) {
      kept.sort = "";
    }
    if (kept.figure === "ranked") {
      kept.figure = "";
    }
    if (kept.figure !== "decay" || kept.scale === "log") {
      kept.scale = "";
    }
    if (kept.figure !== "scatter" || kept.x === "sound_dba") {
      kept.x = "";
    }
    if (kept.y === "cadr_m3h" || kept.figure === "decay") {
      kept.y = "";
    }
    return kept;
  }

  /** @param {any} page see compare.js */
  function begin(page) {
    let toBar = 0;

    /** @param {string} query what the address bar is to say after the page's path */
    function showInBar(query) {
      window.clearTimeout(toBar);
      const now = () => {
        if (query !== window.location.search) {
          // A link may lead to a part of the page; that part stays in the address.
          const here = window.location.pathname + query + window.location.hash;
          window.history.replaceState(null, "", here);
        }
      };
      // Browsers look at every link of the page again, which in a long table takes a
      // while.
      if (page.lines.count > MANY) {
        toBar = window.setTimeout(now, 0);
      } else {
        now();
      }
    }

    function show() {
      const address = page.part("page-address");
      const base = address.dataset.base || (address.dataset.base = address.textContent);
      const query = window.benchQuery.write(toSay(page));
      address.textContent = query ? `${base}?${query}` : base;
      if (served) {
        showInBar(query ? `?${query}` : "");
      }
    }

    return { show };
  }

  Object.assign(window, { benchAddress: { begin, served } });
})();
