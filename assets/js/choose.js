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
    const link = bar.querySelector("a");
    const said = bar.querySelector("output");
    if (!frame || !link || !said) {
      return;
    }
    const base = link.href;
    /** @type {HTMLInputElement[]} */
    const boxes = Array.from(frame.querySelectorAll(".choose input"));
    boxes.forEach((box) => {
      const label = box.closest("label");
      if (label) {
        label.hidden = false;
      }
    });
    bar.hidden = false;

    function changed() {
      const chosen = boxes.filter((box) => box.checked).map((box) => box.value);
      const unique = Array.from(new Set(chosen));
      const full = unique.length >= MOST;
      boxes.forEach((box) => {
        box.disabled = full && !box.checked;
      });
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
