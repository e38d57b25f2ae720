/**
 * Says on a page with a table of results which of the reader's own numbers it shows, and
 * takes those that the device remembers.
 */
(function () {
  "use strict";

  const queries = window.benchQuery;
  const own = window.benchOwn;
  const fields = window.benchOwnFields;

  /** @param {any} page see compare.js */
  function begin(page) {
    const { data, state, words, known, table, part } = page;
    // There air changes choose rows: what hides rows is not remembered.
    const keys = own.KEYS.filter((/** @type {string} */ key) => key !== "ach");

    /** @param {string} query */
    function take(query) {
      const taken = queries.read(query, known).state;
      keys.forEach((/** @type {string} */ key) => {
        state[key] = taken[key];
      });
    }

    const changed = own.begin({
      words: words.own_line,
      keys: keys,
      notes: true,
      asks: Boolean(part("settings").dataset.asks),
      put: (/** @type {HTMLElement} */ line) => {
        const frame = /** @type {HTMLElement} */ (table.closest(".frame"));
        (frame.previousElementSibling || frame).before(line);
      },
      take: take,
      changed: () => {
        page.form.fill();
        page.show();
      },
    });

    /** @returns {string[]} what each of the reader's numbers is */
    function parts() {
      const found = fields.said(state, words, data.locale, data.currency);
      if (state.u && state.u !== data.units) {
        found.push(state.u === "us" ? words.in_us : words.in_metric);
      }
      return found;
    }

    function show() {
      const kept = queries.empty();
      keys.forEach((/** @type {string} */ key) => {
        kept[key] = state[key];
      });
      const found = parts();
      changed(
        queries.write(kept),
        found.length ? fields.filled(words.own, { what: found.join("; ") }) : "",
      );
    }

    return { show };
  }

  Object.assign(window, { benchOwnLine: { begin } });
})();
