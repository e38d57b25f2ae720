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

  Object.assign(window, { benchRows: { all, put, settle } });
})();
