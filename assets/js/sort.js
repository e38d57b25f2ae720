/**
 * Sorts tables of results by the column whose head is pressed: numbers as numbers,
 * equal ones in the order in which they stood, rows without a value always last.
 */
(function () {
  "use strict";

  /**
   * @typedef {{row: HTMLTableRowElement, text: string, number: number}} Entry
   */

  /**
   * @param {HTMLTableElement} table
   * @param {number} column
   * @param {number} way 1 for ascending, -1 for descending
   */
  function sortRows(table, column, way) {
    const body = table.tBodies[0];
    const missing = [];
    /** @type {Entry[]} */
    const present = [];
    let numbers = true;
    for (const row of Array.from(body.rows)) {
      const text = row.cells[column].dataset.value;
      if (text === undefined || text === "") {
        missing.push(row);
        continue;
      }
      const number = Number(text);
      numbers = numbers && !Number.isNaN(number);
      present.push({ row: row, text: text, number: number });
    }
    if (numbers) {
      present.sort((a, b) => way * (a.number - b.number));
    } else {
      const order = new Intl.Collator(document.documentElement.lang, { numeric: true });
      present.sort((a, b) => way * order.compare(a.text, b.text));
    }
    const focused = /** @type {HTMLElement | null} */ (document.activeElement);
    // One by one from place to place: by way of a fragment takes twice as long.
    for (const entry of present) {
      body.append(entry.row);
    }
    for (const row of missing) {
      body.append(row);
    }
    // What is moved loses the focus.
    if (focused && body.contains(focused)) {
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
    table.querySelectorAll("th[aria-sort]").forEach((cell) => {
      cell.removeAttribute("aria-sort");
    });
    head.setAttribute("aria-sort", next);
    sortRows(table, head.cellIndex, next === "ascending" ? 1 : -1);
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
  /** @param {Element} frame */
  function edge(frame) {
    frame.classList.toggle("scrolls", frame.scrollWidth > frame.clientWidth + 1);
  }
  const frames = document.querySelectorAll(".frame");
  // Once all is laid out; to ask now would have it laid out twice.
  window.requestAnimationFrame(() => frames.forEach(edge));
  window.addEventListener("resize", () => frames.forEach(edge), { passive: true });
})();
