/**
 * The rows of a table. A long one has them in several bodies, because what is out of
 * sight is left out of layout a body at a time: one by one, thousands of rows would each
 * have to be watched.
 */
(function () {
  "use strict";

  // What a row takes before it was laid out once; the stylesheet says the same.
  const ROW_REM = 5.5;

  /**
   * @param {HTMLTableElement} table
   * @returns {HTMLTableRowElement[]} its rows as they stand
   */
  function all(table) {
    /** @type {HTMLTableRowElement[]} */
    const rows = [];
    for (const body of Array.from(table.tBodies)) {
      rows.push(...Array.from(body.rows));
    }
    return rows;
  }

  /**
   * @param {HTMLTableElement} table
   * @param {HTMLTableRowElement[]} rows all of them, in the order in which they are to
   *   stand
   */
  function put(table, rows) {
    const bodies = Array.from(table.tBodies);
    const counts = bodies.map((body) => body.rows.length);
    let at = 0;
    bodies.forEach((body, each) => {
      // From place to place: by way of a fragment takes twice as long.
      const until = at + counts[each];
      for (; at < until; at += 1) {
        body.append(rows[at]);
      }
    });
    settle(table);
  }

  /**
   * Gives each body the height of the rows that it shows; to be called when rows were
   * hidden or moved.
   * @param {HTMLTableElement} table
   */
  function settle(table) {
    const bodies = Array.from(table.tBodies);
    if (bodies.length < 2) {
      return;
    }
    for (const body of bodies) {
      let shown = 0;
      let row = /** @type {HTMLElement | null} */ (body.firstElementChild);
      for (; row; row = /** @type {HTMLElement | null} */ (row.nextElementSibling)) {
        shown += row.hidden ? 0 : 1;
      }
      const height = shown === body.childElementCount ? "" : `auto ${shown * ROW_REM}rem`;
      if (body.dataset.height !== height) {
        body.dataset.height = height;
        body.hidden = !shown;
        body.style.setProperty("contain-intrinsic-block-size", height);
      }
    }
  }

  /**
   * Gives the rows of a table that comes without them their boxes, a body at a time, as it
   * comes into sight: browsers look through every field of a page when it has loaded, and
   * thousands would hold it up.
   * @param {HTMLTableElement} table with `data-choose`, what a box is called
   * @param {(box: HTMLInputElement, row: HTMLTableRowElement) => void} made is told of
   *   each box
   */
  function giveBoxes(table, made) {
    const called = table.dataset.choose;
    if (!called) {
      return;
    }
    /** @param {HTMLTableRowElement} row */
    function give(row) {
      const head = row.cells[0];
      if (head.querySelector(".choose")) {
        return;
      }
      const label = document.createElement("label");
      label.className = "choose";
      const box = document.createElement("input");
      box.type = "checkbox";
      const name = head.getAttribute("aria-label") || "";
      box.setAttribute("aria-label", called ? called.replace("{name}", name) : name);
      made(box, row);
      label.append(box);
      head.prepend(label);
    }
    const watch = new IntersectionObserver((entries) => {
      entries.filter((entry) => entry.isIntersecting).forEach((entry) => {
        watch.unobserve(entry.target);
        const body = /** @type {HTMLTableSectionElement} */ (entry.target);
        Array.from(body.rows).forEach(give);
      });
    }, { rootMargin: "50% 0px" });
    const again = () => Array.from(table.tBodies).forEach((body) => {
      watch.unobserve(body);
      watch.observe(body);
    });
    // Another order brings rows without a box into bodies that had theirs.
    table.addEventListener("sorted", again);
    again();
  }

  Object.assign(window, { benchRows: { all, giveBoxes, put, settle } });
})();
