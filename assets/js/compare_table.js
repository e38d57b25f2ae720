/**
 * The table of everything under what a reader asks for: which rows are shown, what their
 * cells say, and by which numbers they are sorted.
 */
(function () {
  "use strict";

  const cells = window.benchCells;
  const filters = window.benchFilters;
  const SLICE = 100;

  /**
   * Writes a number; what else the cell says of it stays.
   * @param {HTMLElement} cell
   * @param {string} text
   * @param {string} interval
   */
  function write(cell, text, interval) {
    const first = cell.firstChild;
    if (!interval && first && first === cell.lastChild && first.nodeType === Node.TEXT_NODE) {
      first.nodeValue = text;
      return;
    }
    const mark = cell.querySelector(".apart-mark");
    const notes = Array.from(cell.querySelectorAll("small.setting"));
    const drawn = cell.querySelector("small.ranged");
    cell.textContent = text;
    if (mark) {
      cell.prepend(mark, " ");
    }
    if (interval) {
      const small = document.createElement("small");
      // In other units the interval is drawn where it was, being in proportion.
      small.className = drawn ? drawn.className : "";
      small.textContent = interval;
      cell.append(small);
    }
    cell.append(...notes);
  }

  /**
   * What a level is under the reader's cap.
   * @param {HTMLElement} cell
   * @param {any} row
   * @param {any} page
   */
  function warn(cell, row, page) {
    const cap = page.state.cap;
    if (cap === null || row.sound_dba === null) {
      return;
    }
    const over = row.sound_dba > cap;
    if (over || (row.sound_high !== null && row.sound_high > cap)) {
      const small = document.createElement("small");
      small.className = "warns";
      small.textContent = over ? page.words.over_cap : page.words.near_cap;
      cell.append(small);
    }
  }

  /**
   * @param {any} row
   * @param {any} page
   * @returns {{value: string, interval: string} | null} air changes in the reader's room
   */
  function airChanges(row, page) {
    const { data, state, words } = page;
    const ceiling = state.ceiling === null
      ? data.assumed && data.assumed.ceiling
      : state.ceiling;
    if (row.cadr_m3h === null || !ceiling) {
      return null;
    }
    /** @param {number | null} flow */
    const per = (flow) =>
      flow === null ? null : window.benchReckon.airChanges(flow, state.room, ceiling);
    const found = window.benchNumbers.interval(
      per(row.cadr_m3h),
      per(row.cadr_low),
      per(row.cadr_high),
      data.locale,
    );
    const interval = found.low ? cells.said(words.to, found) : "";
    return { value: found.value, interval: interval };
  }

  /**
   * Which of a table's cells a reader's numbers change.
   * @param {any} quantity
   * @param {any} page
   */
  function changes(quantity, page) {
    const { data, state } = page;
    const cost = cells.COSTS.indexOf(quantity.name) >= 0;
    return (cost && cells.reckons(state))
      || (state.rate !== null && quantity.rounding === "money")
      || (state.u !== "" && state.u !== data.units && quantity.unit in data.us)
      || (state.cap !== null && quantity.name === "sound_dba")
      || (state.room !== null && quantity.name === "cadr_m3h");
  }

  /** @param {any} page see compare.js */
  function begin(page) {
    const { data, state, words, lines, heads, quantities, table, part } = page;
    /** @type {Map<any, any>} rows with costs by the reader's numbers */
    let reckoned = new Map();

    /** @param {any} line @returns {any} its numbers as they are now */
    function now(line) {
      if (!cells.reckons(state)) {
        return line.row;
      }
      let row = reckoned.get(line);
      if (!row) {
        row = cells.own(line.row, data, state);
        reckoned.set(line, row);
      }
      return row;
    }

    // Columns of numbers that the data hold are sorted by those, as they are now.
    window.benchSort.sortBy(table, (/** @type {HTMLTableRowElement} */ row,
      /** @type {HTMLTableCellElement} */ head) => {
      const name = head.dataset.name || "";
      const line = lines.of(row);
      return quantities.has(name) ? now(line)[name] : window.benchSort.written(row, head);
    });

    /** Rows that were set off as chosen. @type {any[]} */
    let setOff = [];
    let filtered = false;

    function show() {
      reckoned = new Map();
      const asks = filters.asked(data, state);
      let count = lines.count;
      if (asks || filtered) {
        count = 0;
        lines.all().forEach((/** @type {any} */ line) => {
          const visible = !asks || filters.passes(line, now(line), data, state);
          if (line.line.hidden === visible) {
            line.line.hidden = !visible;
          }
          count += visible ? 1 : 0;
        });
        window.benchRows.settle(table);
      }
      filtered = asks;
      if (part("chosen")) {
        setOff.forEach((line) => line.line.classList.remove("chosen"));
        setOff = lines.named(state.c);
        setOff.forEach((line) => line.line.classList.add("chosen"));
      }
      fillAll();
      heads.forEach((/** @type {HTMLElement} */ head) => {
        const quantity = quantities.get(head.dataset.name || "");
        const unit = head.querySelector(".unit");
        if (quantity && unit) {
          unit.textContent = cells.unitOf(quantity, data, state).unit;
        }
      });
      part("shown").textContent = count
        ? count === lines.count
          ? cells.said(words.all_shown, { n: count })
          : cells.said(words.shown, { n: count, of: lines.count })
        : words.none_shown;
    }

    let waiting = 0;
    /** Places of the cells that say other than the page came with. */
    let written = new Set();

    /**
     * Writes the cells anew, where they say other than they should; of a long table
     * those on top first, so that typing stays quick.
     */
    function fillAll() {
      window.clearTimeout(waiting);
      /** @type {[any, number][]} */
      const due = [];
      heads.forEach((/** @type {HTMLElement} */ head, /** @type {number} */ at) => {
        const quantity = quantities.get(head.dataset.name || "");
        if (quantity && changes(quantity, page)) {
          due.push([quantity, at]);
        }
      });
      const before = written;
      written = new Set([...before, ...due.map((each) => each[1])]);
      if (!written.size) {
        return;
      }
      const all = inOrder();
      /** @param {number} from */
      const next = (from) => {
        all.slice(from, from + SLICE).forEach((line) => fill(line, due));
        if (from + SLICE < all.length) {
          waiting = window.setTimeout(next, 0, from + SLICE);
        } else {
          written = new Set(due.map((each) => each[1]));
        }
      };
      next(0);
    }

    /** The lines as they stand, those shown before the others. */
    function inOrder() {
      const standing = lines.standing();
      return !filtered ? standing : [
        ...standing.filter((/** @type {any} */ line) => !line.line.hidden),
        ...standing.filter((/** @type {any} */ line) => line.line.hidden),
      ];
    }

    /** @param {any} line @param {[any, number][]} due */
    function fill(line, due) {
      const places = new Set(due.map((each) => each[1]));
      line.kept.forEach((/** @type {string} */ kept, /** @type {number} */ at) => {
        if (!places.has(at)) {
          line.line.cells[at].innerHTML = kept;
          line.kept.delete(at);
        }
      });
      const row = now(line);
      due.forEach(([quantity, at]) => {
        const cell = line.line.cells[at];
        if (!line.kept.has(at)) {
          line.kept.set(at, cell.innerHTML);
        }
        const shown = cells.shown(quantity, row, data, state);
        if (shown.value !== null) {
          write(cell, shown.text, shown.interval);
        } else if (cells.COSTS.indexOf(quantity.name) >= 0) {
          write(cell, words.missing, "");
        }
        if (quantity.name === "cadr_m3h" && state.room !== null) {
          beside(cell, row);
        }
        if (quantity.name === "sound_dba") {
          warn(cell, row, page);
        }
      });
    }

    /**
     * Says beside a CADR what it is in the reader's room.
     * @param {HTMLElement} cell
     * @param {any} row
     */
    function beside(cell, row) {
      const found = airChanges(row, page);
      if (found) {
        const small = document.createElement("small");
        small.className = "own";
        small.textContent = cells.said(words.ach_here, { value: found.value });
        cell.append(small);
      }
    }

    /** Sorts the table as the address says, by the same buttons as a reader would. */
    function sortAsAsked() {
      const asked = state.sort || data.order;
      const name = asked.replace(/^-/, "");
      const way = asked[0] === "-" ? "descending" : "ascending";
      const found = heads.find((/** @type {HTMLElement} */ each) =>
        each.dataset.name === name);
      const button = found && found.querySelector("button");
      for (let press = 0; button && press < 2; press += 1) {
        if (found.getAttribute("aria-sort") !== way) {
          button.click();
        }
      }
    }

    return { show, now, sortAsAsked };
  }

  Object.assign(window, { benchTable: { begin, write, warn, airChanges } });
})();
