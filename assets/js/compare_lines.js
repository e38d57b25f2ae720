/**
 * The rows of a page's table with the numbers behind them. Texts and elements of a row
 * are looked up when they are first asked for: a page of thousands answers before.
 */
(function () {
  "use strict";

  const cells = window.benchCells;

  /** A row of the page. */
  class Line {
    /**
     * @param {HTMLTableRowElement} line
     * @param {Record<string, any>} row its numbers
     */
    constructor(line, row) {
      this.line = line;
      this.row = row;
      // What cells said before a reader's own numbers, by their place in the row.
      /** @type {Map<number, string>} */
      this.kept = new Map();
      /** @type {string | null} */
      this.read = null;
    }

    get head() {
      return this.line.cells[0];
    }

    get name() {
      return (this.head.querySelector("a") || this.head).textContent || "";
    }

    get below() {
      const small = this.head.querySelector("small");
      return (small && small.textContent) || "";
    }

    /** All that can be looked for in it. */
    get text() {
      if (this.read === null) {
        const all = `${this.name} ${this.below} ${this.row.maker}`;
        this.read = all.toLocaleLowerCase();
      }
      return this.read;
    }

    get box() {
      return /** @type {HTMLInputElement | null} */ (
        this.head.querySelector(".choose input"));
    }

    get label() {
      // After the setting a row may name its method; a label does without.
      const setting = this.below.split(" · ")[0];
      return setting ? `${this.name.trim()} (${setting})` : this.name.trim();
    }
  }

  /**
   * @param {HTMLTableElement} table in the order in which the data have its rows
   * @param {any} data what the page holds
   */
  function begin(table, data) {
    const rows = cells.rowsOf(data);
    /** @type {Line[] | null} */
    let lines = null;
    /** @type {Map<HTMLTableRowElement, Line>} */
    const byRow = new Map();
    /** @type {Map<string, Line[]>} */
    const byName = new Map();
    /** @type {Set<string> | null} */
    let names = null;

    /** @returns {Line[]} every row, in the order in which the data have them */
    function all() {
      if (lines === null) {
        lines = window.benchRows.all(table).map((line, at) => new Line(line, rows[at]));
        lines.forEach((each) => {
          byRow.set(each.line, each);
          const name = each.row.configuration;
          const same = byName.get(name);
          if (same) {
            same.push(each);
          } else {
            byName.set(name, [each]);
          }
        });
      }
      return lines;
    }

    /** @param {string[]} configurations @returns {Line[]} rows of these, as they stand */
    function named(configurations) {
      if (!configurations.length) {
        return [];
      }
      all();
      const found = configurations.flatMap((name) => byName.get(name) || []);
      return found.sort((a, b) =>
        a.line.compareDocumentPosition(b.line) & Node.DOCUMENT_POSITION_FOLLOWING ? -1 : 1);
    }

    /** @param {HTMLTableRowElement | null} row @returns {Line | undefined} */
    function of(row) {
      all();
      return row ? byRow.get(row) : undefined;
    }

    /** @returns {Line[]} every row as they stand now */
    function standing() {
      return window.benchRows.all(table).map((row) => /** @type {Line} */ (of(row)));
    }

    /** @param {string} name @returns {boolean} whether there is such a configuration */
    function has(name) {
      names = names || new Set(rows.map((row) => row.configuration));
      return names.has(name);
    }

    return { all, named, of, standing, has, count: rows.length, first: rows[0] };
  }

  Object.assign(window, { benchLines: { begin } });
})();
