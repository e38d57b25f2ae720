/**
 * Sorts tables of results by the column whose head is pressed: numbers as numbers,
 * equal ones in the order in which they stood, rows without a value always last.
 */
(function () {
  "use strict";

  const rowsOf = window.benchRows;

  /** @typedef {string | number | null} Key what a row is sorted by; null for nothing */
  /** @typedef {(row: HTMLTableRowElement, head: HTMLTableCellElement) => Key} KeyOf */

  /** @type {WeakMap<HTMLTableElement, KeyOf>} */
  const keysOf = new WeakMap();

  /**
   * Has a table sorted by numbers that its cells do not carry.
   * @param {HTMLTableElement} table
   * @param {KeyOf} key
   */
  function sortBy(table, key) {
    keysOf.set(table, key);
  }

  /**
   * What a cell itself says: its value, or its words where those are what is sorted by.
   * @param {HTMLTableRowElement} row
   * @param {HTMLTableCellElement} head
   * @returns {Key}
   */
  function written(row, head) {
    const cell = row.cells[head.cellIndex];
    const value = cell.dataset.value;
    if (value !== undefined) {
      return value === "" ? null : value;
    }
    const words = head.classList.contains("words") && !cell.classList.contains("missing");
    return (words && (cell.textContent || "").trim()) || null;
  }

  /**
   * @param {Key[]} keys
   * @returns {(number | null)[]} numbers in the same order: of texts, their places in
   *   the alphabet
   */
  function asNumbers(keys) {
    const numbers = keys.map((key) => (key === null ? null : Number(key)));
    if (!numbers.some(Number.isNaN)) {
      return numbers;
    }
    // Few columns hold as many texts as rows: each is compared once.
    const texts = Array.from(new Set(keys.filter((key) => key !== null).map(String)));
    const order = new Intl.Collator(document.documentElement.lang, { numeric: true });
    texts.sort(order.compare);
    /** @type {Map<string, number>} */
    const places = new Map();
    texts.forEach((text, at) => {
      const same = at > 0 && order.compare(texts[at - 1], text) === 0;
      places.set(text, same ? Number(places.get(texts[at - 1])) : at);
    });
    return keys.map((key) => (key === null ? null : Number(places.get(String(key)))));
  }

  /**
   * @param {HTMLTableElement} table
   * @param {HTMLTableCellElement} head
   * @param {number} way 1 for ascending, -1 for descending
   */
  function sortRows(table, head, way) {
    const key = keysOf.get(table) || written;
    const rows = rowsOf.all(table);
    const keys = asNumbers(rows.map((row) => key(row, head)));
    /** @type {number[]} */
    const present = [];
    /** @type {number[]} */
    const missing = [];
    keys.forEach((each, at) => (each === null ? missing : present).push(at));
    present.sort((a, b) => way * (Number(keys[a]) - Number(keys[b])));
    const focused = /** @type {HTMLElement | null} */ (document.activeElement);
    rowsOf.put(table, [...present, ...missing].map((at) => rows[at]));
    // What is moved loses the focus.
    if (focused && focused !== document.activeElement && table.contains(focused)) {
      focused.focus({ preventScroll: true });
    }
  }

  /**
   * Tells those who cannot see the rows move how they stand now.
   * @param {HTMLTableElement} table
   * @param {HTMLTableCellElement} head
   */
  function tell(table, head) {
    const frame = table.closest(".frame");
    const told = frame && frame.previousElementSibling;
    const name = head.querySelector(".name");
    if (!told || !told.classList.contains("heard") || !name) {
      return;
    }
    const up = head.getAttribute("aria-sort") === "ascending";
    const words = head.classList.contains("words");
    const said = table.dataset;
    const text = words
      ? up ? said.wordsUp : said.wordsDown
      : up ? said.up : said.down;
    told.textContent = (text || "").replace("{name}", (name.textContent || "").trim());
  }

  /**
   * Sorts a table once more by the column that it is sorted by.
   * @param {HTMLTableElement} table
   * @param {HTMLTableCellElement} head
   */
  function again(table, head) {
    sortRows(table, head, head.getAttribute("aria-sort") === "ascending" ? 1 : -1);
  }

  /**
   * @param {HTMLTableCellElement} head
   * @param {boolean} aloud whether a reader pressed it
   */
  function pressed(head, aloud) {
    const table = head.closest("table");
    if (!table) {
      return;
    }
    const now = head.getAttribute("aria-sort");
    const first = head.dataset.first || "ascending";
    const other = first === "ascending" ? "descending" : "ascending";
    const next = now === first ? other : first;
    table.querySelectorAll("thead th[aria-sort]").forEach((cell) => {
      cell.removeAttribute("aria-sort");
    });
    head.setAttribute("aria-sort", next);
    sortRows(table, head, next === "ascending" ? 1 : -1);
    if (aloud) {
      tell(table, head);
    }
    table.dispatchEvent(new CustomEvent("sorted", { bubbles: true }));
  }

  /** @type {NodeListOf<HTMLButtonElement>} */
  const buttons = document.querySelectorAll("table.sorts thead button");
  buttons.forEach((button) => {
    // Without this script it would do nothing, so it came disabled.
    button.disabled = false;
    button.addEventListener("click", (event) => {
      const head = button.closest("th");
      if (head) {
        pressed(head, event.isTrusted);
      }
    });
  });

  // What scrolls sideways shows an edge beside its first column.
  const frames = document.querySelectorAll(".frame");
  let asked = 0;
  function edges() {
    // Once all is laid out, and once however often it is asked for.
    window.cancelAnimationFrame(asked);
    asked = window.requestAnimationFrame(() => frames.forEach((frame) => {
      frame.classList.toggle("scrolls", frame.scrollWidth > frame.clientWidth + 1);
    }));
  }
  // After the scripts that follow: a frame between them would hold them up.
  document.addEventListener("DOMContentLoaded", edges, { once: true });
  window.addEventListener("resize", edges, { passive: true });

  Object.assign(window, { benchSort: { again, sortBy, written } });
})();
