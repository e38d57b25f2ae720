/**
 * Says on a page with a table of results which of the reader's own numbers it shows, and
 * takes those that the device remembers.
 */
(function () {
  "use strict";

  const queries = window.benchQuery;
  const own = window.benchOwn;
  const said = window.benchCells.said;

  /** @param {any} page see compare.js */
  function begin(page) {
    const { data, state, words, known, table, part } = page;
    let begun = false;

    /** @param {string} query */
    function take(query) {
      const taken = queries.read(query, known).state;
      own.KEYS.forEach((/** @type {string} */ key) => {
        state[key] = taken[key];
      });
    }

    const changed = own.begin({
      words: words.own_line,
      keys: own.KEYS,
      asks: Boolean(part("settings").dataset.asks),
      put: (/** @type {HTMLElement} */ line) => {
        const frame = /** @type {HTMLElement} */ (table.closest(".frame"));
        (frame.previousElementSibling || frame).before(line);
      },
      take: (/** @type {string} */ query) => {
        take(query);
        if (begun) {
          page.form.fill();
          page.show();
        }
      },
      clear: () => {
        take("");
        page.form.fill();
        page.show();
      },
    });
    begun = true;

    /** @param {number} value */
    function number(value) {
      return new Intl.NumberFormat(data.locale, { maximumFractionDigits: 9 }).format(value);
    }

    /** @returns {string[]} what each of the reader's numbers is */
    function parts() {
      const found = [];
      if (state.tariff !== null) {
        const values = { value: number(state.tariff), currency: data.currency };
        found.push(said(words.tariff, values));
      }
      ["hours", "years", "discount", "life", "room", "ceiling", "cap"].forEach((name) => {
        if (state[name] !== null) {
          found.push(said(words[name], { value: number(state[name]) }));
        }
      });
      if (state.ach !== null) {
        const text = state.room === null ? words.ach_no_room : words.ach_wanted;
        found.push(said(text, { value: number(state.ach) }));
      }
      if (state.rate) {
        const values = {
          value: number(state.rate.value),
          code: state.rate.code,
          currency: data.currency,
        };
        found.push(said(words.rate, values));
      }
      if (state.u && state.u !== data.units) {
        found.push(state.u === "us" ? words.in_us : words.in_metric);
      }
      return found;
    }

    function show() {
      const kept = queries.empty();
      own.KEYS.forEach((/** @type {string} */ key) => {
        kept[key] = state[key];
      });
      const found = parts();
      changed(
        queries.write(kept),
        found.length ? said(words.own, { what: found.join("; ") }) : "",
      );
    }

    return { show };
  }

  Object.assign(window, { benchOwnLine: { begin } });
})();
