/**
 * Which columns of a table are shown: offered as boxes to tick, kept in the address.
 * The first column, which names the rows, always stays.
 */
(function () {
  "use strict";

  /** @param {HTMLTableElement} table */
  function heads(table) {
    return Array.from(table.tHead ? table.tHead.rows[0].cells : []).slice(1);
  }

  /**
   * @param {HTMLTableElement} table
   * @returns {string[]} names of the columns that may be left out, in order
   */
  function names(table) {
    return heads(table).map((head) => head.dataset.name || "");
  }

  /**
   * @param {HTMLTableElement} table
   * @param {string[]} chosen names of the columns shown; none for all
   */
  function apply(table, chosen) {
    let changed = false;
    heads(table).forEach((head) => {
      const shown = !chosen.length || chosen.indexOf(head.dataset.name || "") >= 0;
      if (head.hidden === !shown) {
        return;
      }
      changed = true;
      head.hidden = !shown;
      const at = head.cellIndex;
      for (const row of window.benchRows.all(table)) {
        row.cells[at].hidden = !shown;
      }
    });
    if (changed) {
      window.dispatchEvent(new Event("resize"));
    }
  }

  /** @param {HTMLElement} head */
  function label(head) {
    const name = head.querySelector(".name");
    return ((name || head).textContent || "").trim();
  }

  /**
   * Puts a box for each column into the form.
   * @param {HTMLTableElement} table
   * @param {string[]} chosen
   * @param {(chosen: string[]) => void} changed told which are shown; none for all
   */
  function offer(table, chosen, changed) {
    const holder = document.getElementById("in-columns");
    if (!holder) {
      return;
    }
    holder.querySelectorAll("label").forEach((each) => each.remove());
    const boxes = heads(table).map((head) => {
      const box = document.createElement("input");
      box.type = "checkbox";
      box.value = head.dataset.name || "";
      box.checked = !chosen.length || chosen.indexOf(box.value) >= 0;
      const around = document.createElement("label");
      around.append(box, ` ${label(head)}`);
      holder.append(around);
      return box;
    });
    function limit() {
      const left = boxes.filter((box) => box.checked);
      // A table without a column would say nothing.
      boxes.forEach((box) => {
        box.disabled = left.length === 1 && box.checked;
      });
      return left.map((box) => box.value);
    }
    boxes.forEach((box) => {
      box.addEventListener("change", () => {
        const left = limit();
        changed(left.length === boxes.length ? [] : left);
      });
    });
    limit();
  }

  Object.assign(window, { benchColumns: { names, apply, offer } });
})();
