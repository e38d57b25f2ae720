/**
 * What a reader has chosen: its table, the boxes of the rows, and leaving one out.
 */
(function () {
  "use strict";

  /** @param {string} name @param {string} text @param {string} [unit] */
  function head(name, text, unit) {
    const cell = document.createElement("th");
    cell.scope = "col";
    cell.textContent = text;
    if (name === "notes") {
      cell.className = "words";
    }
    if (unit) {
      const small = document.createElement("span");
      small.className = "unit";
      small.textContent = unit;
      cell.append(small);
    }
    return cell;
  }

  /** @param {any} page see compare.js */
  function begin(page) {
    const { data, state, words, lines, heads, table, part } = page;
    const cells = window.benchCells;
    const { write, warn, airChanges } = window.benchTable;
    const most = window.benchQuery.MOST;
    const drawing = window.benchDrawing.begin(data, state, (line) => line.label);

    function show() {
      const chosen = lines.named(state.c);
      part("chosen").hidden = !chosen.length;
      tick();
      if (!chosen.length) {
        return;
      }
      part("chosen-count").textContent = cells.said(words.chosen, {
        n: state.c.length,
        most: most,
      });
      const families = new Set(chosen.map((/** @type {any} */ line) => line.row.family));
      part("chosen-mixed").textContent = families.size > 1 ? words.mixed : "";
      part("chosen-table").replaceChildren(tableHead(), tableBody(chosen));
      drawing.draw(chosen);
    }

    /** @type {{chosen: string[], full: boolean}} */
    let ticked = { chosen: [], full: false };

    /** Ticks the boxes of what is chosen; all are off while no more can be. */
    function tick() {
      const full = state.c.length >= most;
      const due = full !== ticked.full
        ? lines.all()
        : lines.named(Array.from(new Set([...ticked.chosen, ...state.c])));
      const chosen = new Set(state.c);
      due.forEach((/** @type {any} */ line) => {
        const box = line.box;
        if (box) {
          box.checked = chosen.has(line.row.configuration);
          box.disabled = full && !box.checked;
        }
      });
      ticked = { chosen: state.c.slice(), full: full };
    }

    function tableHead() {
      const made = document.createElement("thead");
      const line = document.createElement("tr");
      line.append(head("device", heads[0].textContent || ""));
      data.quantities.forEach((/** @type {any} */ quantity) => {
        const unit = cells.unitOf(quantity, data, state).unit;
        line.append(head(quantity.name, quantity.label, unit));
      });
      if (state.room !== null) {
        line.append(head("ach", words.ach, "1/h"));
      }
      line.append(head("notes", words.noted));
      made.append(line);
      return made;
    }

    /** @param {any[]} chosen */
    function tableBody(chosen) {
      const made = document.createElement("tbody");
      chosen.forEach((line, at) => {
        const row = page.now(line);
        const shownLine = document.createElement("tr");
        shownLine.append(title(line, at));
        data.quantities.forEach((/** @type {any} */ quantity) => {
          const shown = cells.shown(quantity, row, data, state);
          const cell = number(shown.text, shown.interval, shown.value === null);
          if (quantity.name === "sound_dba") {
            cell.append(...soundNote(line));
            warn(cell, row, page);
          }
          shownLine.append(cell);
        });
        if (state.room !== null) {
          const changes = airChanges(row, page);
          const [text, interval] = changes ? [changes.value, changes.interval] : ["", ""];
          shownLine.append(number(text, interval, !changes));
        }
        const noted = document.createElement("td");
        noted.className = "words";
        noted.textContent = row.notes;
        shownLine.append(noted);
        made.append(shownLine);
      });
      return made;
    }

    /** @param {any} line @param {number} at */
    function title(line, at) {
      const cell = document.createElement("th");
      cell.scope = "row";
      const link = line.head.querySelector("a");
      cell.append(link ? link.cloneNode(true) : line.name);
      const below = document.createElement("small");
      below.textContent = line.below;
      cell.append(below, leaving(line, at));
      return cell;
    }

    /** @param {string} text @param {string} interval @param {boolean} missing */
    function number(text, interval, missing) {
      const cell = document.createElement("td");
      write(cell, text || words.missing, interval);
      cell.classList.toggle("missing", missing);
      return cell;
    }

    /** The button that leaves a row out. @param {any} line @param {number} at */
    function leaving(line, at) {
      const button = document.createElement("button");
      button.type = "button";
      button.className = "leave";
      button.textContent = words.leave_out;
      button.setAttribute("aria-label", cells.said(words.remove, { name: line.label }));
      button.addEventListener("click", () => {
        state.c = state.c.filter((/** @type {string} */ one) =>
          one !== line.row.configuration);
        page.show();
        afterLeaving(at);
      });
      return button;
    }

    /**
     * How a level was measured, where the page says so.
     * @param {any} line
     * @returns {Node[]}
     */
    function soundNote(line) {
      const at = heads.findIndex((/** @type {HTMLElement} */ each) =>
        each.dataset.name === "sound_dba");
      const cell = at < 0 ? null : line.line.cells[at];
      const notes = cell ? Array.from(cell.querySelectorAll("small.setting")) : [];
      return notes.map((note) => /** @type {Node} */ (note).cloneNode(true));
    }

    /** Keeps the keyboard where it was. @param {number} at row that is gone */
    function afterLeaving(at) {
      const left = part("chosen-table").querySelectorAll("button");
      const gone = part("chosen").hidden;
      const next = gone ? part("pick-text") : left[Math.min(at, left.length - 1)];
      next.focus();
    }

    /** What can be chosen by typing: each configuration once, in the data's order. */
    function choices() {
      const [up, across] = ["cadr_m3h", "sound_dba"].map((name) =>
        page.quantities.get(name));
      const seen = new Set();
      return lines.all().filter((/** @type {any} */ line) => {
        const fresh = !seen.has(line.row.configuration);
        seen.add(line.row.configuration);
        return fresh;
      }).map((/** @type {any} */ line) => ({
        name: line.row.configuration,
        label: line.label,
        text: window.benchPick.plain(
          `${line.name.trim()} ${line.below} ${line.row.maker}`),
        // Told of the few that are offered.
        get said() {
          return [up, across].map((quantity) => {
            const shown = cells.shown(quantity, line.row, data, state);
            const unit = cells.unitOf(quantity, data, state).unit;
            return shown.text ? `${shown.text} ${unit}` : "";
          }).filter(Boolean).join(", ");
        },
      }));
    }

    table.classList.add("chooses");
    window.benchRows.giveBoxes(table, (
      /** @type {HTMLInputElement} */ box,
      /** @type {HTMLTableRowElement} */ row,
    ) => {
      box.checked = state.c.indexOf(row.dataset.c) >= 0;
      box.disabled = state.c.length >= most && !box.checked;
    });
    table.addEventListener("change", (/** @type {Event} */ event) => {
      const box = /** @type {HTMLInputElement} */ (event.target);
      const line = lines.of(box.closest("tr"));
      if (!line || !box.closest("label.choose")) {
        return;
      }
      const name = line.row.configuration;
      state.c = state.c.filter((/** @type {string} */ one) => one !== name);
      if (box.checked && state.c.length < most) {
        state.c.push(name);
      }
      page.show();
    });
    part("chosen-clear").addEventListener("click", () => {
      state.c = [];
      page.show();
      part("pick-text").focus();
    });
    /** @type {any[] | null} */
    let offered = null;
    window.benchPick.begin(part("pick"), () => offered || (offered = choices()), {
      words: words,
      taken: (name) => state.c.indexOf(name) >= 0,
      full: () => state.c.length >= most,
      choose: (name) => {
        state.c.push(name);
        page.show();
      },
    });

    return { show, showCode: drawing.showCode };
  }

  Object.assign(window, { benchChosen: { begin } });
})();
