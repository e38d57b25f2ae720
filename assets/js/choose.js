/**
 * Lets rows of a table be chosen and leads on to the page that compares them. Without
 * this script the boxes stay hidden, as they would do nothing.
 */
(function () {
  "use strict";

  const MOST = 24;

  /** @param {HTMLElement} bar the line under the table */
  function prepare(bar) {
    const frame = bar.previousElementSibling;
    const table = frame && frame.querySelector("table");
    const link = bar.querySelector("a");
    const said = bar.querySelector("output");
    if (!frame || !table || !link || !said) {
      return;
    }
    const base = link.href;
    table.classList.add("chooses");
    bar.hidden = false;
    let full = false;
    window.benchRows.giveBoxes(table, (/** @type {HTMLInputElement} */ box) => {
      box.disabled = full;
    });

    /** @param {string} which @returns {HTMLInputElement[]} */
    const boxes = (which) => Array.from(frame.querySelectorAll(`.choose input${which}`));

    function changed() {
      const chosen = boxes(":checked").map((box) => {
        const row = box.closest("tr");
        return (row && row.dataset.c) || "";
      });
      const unique = Array.from(new Set(chosen));
      if (full !== unique.length >= MOST) {
        full = !full;
        boxes("").forEach((box) => {
          box.disabled = full && !box.checked;
        });
      }
      const many = (bar.dataset.many || "").replace("{n}", String(unique.length));
      const count = unique.length === 1 ? bar.dataset.one || "" : many;
      said.textContent = count + (full ? " (" + (bar.dataset.most || "") + ")" : "");
      link.href = unique.length ? base + "?v=1&c=" + unique.join(",") : base;
    }

    // The reader's own numbers go along, as the address has them then.
    link.addEventListener("click", () => {
      changed();
      const own = window.benchOwn;
      const query = own ? own.queryOf(own.pairsIn(window.location.search)) : "";
      if (query) {
        link.href += (link.href.indexOf("?") < 0 ? "?v=1&" : "&") + query;
      }
    });

    frame.addEventListener("change", changed);
    // A browser may have kept what was chosen before.
    changed();
  }

  /** @type {NodeListOf<HTMLElement>} */
  const bars = document.querySelectorAll(".chosen-rows");
  bars.forEach(prepare);
})();
