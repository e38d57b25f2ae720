/**
 * Offers what a table shows as a file: the visible rows, in their order, in the columns
 * shown, with what costs were reckoned from. Other scripts offer files in the same way.
 */
(function () {
  "use strict";

  const FIXED = ["device", "filter", "speed", "method", "fraction"];

  /** @param {string | number | null | undefined} value */
  function quoted(value) {
    const text = value === null || value === undefined ? "" : String(value);
    // A text that a spreadsheet would run as a formula is made a plain one.
    const safe = typeof value === "string" && /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
    return /[",\r\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
  }

  /**
   * Costs stand in the archive's currency; what they were reckoned from says so.
   * @param {any} data
   * @param {any} state
   * @returns {[string, any][]}
   */
  function reckonedFrom(data, state) {
    const assumed = data.assumed || {};
    /** @param {string} name */
    const or = (name) => (state[name] === null ? assumed[name] : state[name]);
    return [
      ["currency", data.currency],
      ["tariff_per_kwh", or("tariff")],
      ["hours_per_day", or("hours")],
      ["years", or("years")],
      ["discount_pct", or("discount")],
      ["filter_months", state.life],
    ];
  }

  /**
   * @param {any} page see compare.js
   * @returns {(string | number | null | undefined)[][]} heads and rows of the file
   */
  function shown(page) {
    const { data, state, lines, heads, quantities } = page;
    const columns = heads
      .filter((/** @type {HTMLElement} */ each) => !each.hidden)
      .map((/** @type {HTMLElement} */ each) => quantities.get(each.dataset.name || ""))
      .filter(Boolean)
      .flatMap((/** @type {any} */ each) => [each.name, each.low, each.high])
      .filter(Boolean);
    const costed = columns.some((/** @type {string} */ name) =>
      window.benchCells.COSTS.indexOf(name) >= 0);
    const last = costed ? reckonedFrom(data, state) : [];
    const rows = lines.standing()
      .filter((/** @type {any} */ line) => !line.line.hidden)
      .map((/** @type {any} */ line) => {
        const row = page.now(line);
        const values = [...FIXED, ...columns].map((name) => row[name]);
        return [...values, ...last.map((each) => each[1])];
      });
    return [[...FIXED, ...columns, ...last.map((each) => each[0])], ...rows];
  }

  /** @param {Blob} blob @param {string} name */
  function offer(blob, name) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    // Not at once: a browser may still be reading it.
    window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  /**
   * @param {(string | number | null | undefined)[][]} rows
   * @param {string} name of the file
   */
  function csv(rows, name) {
    const text = rows.map((row) => row.map(quoted).join(",")).join("\r\n");
    offer(new Blob([`${text}\r\n`], { type: "text/csv" }), name);
  }

  /** @param {any} page see compare.js */
  function begin(page) {
    const button = page.part("download");
    button.addEventListener("click", () => {
      csv(shown(page), button.dataset.name || "results.csv");
    });
  }

  Object.assign(window, { benchDownload: { begin, csv, offer } });
})();
