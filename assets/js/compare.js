/**
 * A page with a table of results: what its address chooses is shown, sorted, filtered and
 * reckoned as it says, and whatever is changed goes into the address.
 */
(function () {
  "use strict";

  const source = document.getElementById("rows");
  const table = /** @type {HTMLTableElement | null} */ (
    document.querySelector("#everything table")
  );
  if (!source || !table) {
    return;
  }
  const queries = window.benchQuery;
  const columns = window.benchColumns;
  const said = window.benchCells.said;
  const data = JSON.parse(source.textContent || "{}");
  const lines = window.benchLines.begin(table, data);
  const heads = Array.from(table.tHead ? table.tHead.rows[0].cells : []);
  const known = Object.assign({}, data.query, {
    configurations: lines,
    shown: columns.names(table),
  });
  const read = queries.read(window.location.search, known);
  const state = read.state;

  /** @param {string} id @returns {any} */
  function part(id) {
    return document.getElementById(id);
  }

  /**
   * What the scripts of the page share: what it holds (`data`, `words`, `quantities` by
   * name), its table with `heads` and `lines`, the `state` that the address tells and what
   * that is read against (`known`), elements by id (`part`), and to `show` it all anew;
   * `now` gives a line's numbers under the reader's own.
   * @type {any}
   */
  const page = {
    data,
    words: data.words,
    quantities: new Map(
      data.quantities.map((/** @type {any} */ each) => [each.name, each]),
    ),
    table,
    heads,
    lines,
    state,
    known,
    part,
    show,
  };
  const everything = window.benchTable.begin(page);
  page.now = everything.now;
  const chosen = part("chosen") ? window.benchChosen.begin(page) : null;
  page.form = window.benchForm.begin(page);
  const own = window.benchOwnLine.begin(page);
  const address = window.benchAddress.begin(page);
  window.benchDownload.begin(page);

  // The reader's own numbers by which the rows stand in their order.
  let sortedBy = "";

  /** Sorts anew what is sorted by amounts, once these are other ones. */
  function sortByOwn() {
    const by = JSON.stringify(window.benchCells.OWN.map((/** @type {string} */ name) =>
      state[name]));
    const head = heads.find((each) => each.hasAttribute("aria-sort"));
    if (by !== sortedBy && head && window.benchCells.COSTS.includes(head.dataset.name)) {
      window.benchSort.again(table, head);
    }
    sortedBy = by;
  }

  function show() {
    everything.show();
    sortByOwn();
    showChosen();
    own.show();
    showAddress();
  }

  function showChosen() {
    if (chosen) {
      chosen.show();
    }
  }

  function showAddress() {
    address.show();
    if (chosen) {
      chosen.showCode();
    }
  }

  /** Offers the columns, those ticked that are shown. */
  function showColumns() {
    columns.apply(table, state.cols);
    columns.offer(table, state.cols, (/** @type {string[]} */ chosen_) => {
      state.cols = chosen_;
      columns.apply(table, chosen_);
      showAddress();
    });
  }

  function showNotes() {
    const box = part("notes");
    const words = page.words;
    const told = read.notes.map((note) =>
      said(words.notes[note.trouble], { key: note.key, value: note.value }));
    if (state.figure && !chosen) {
      told.push(words.fixed_figure);
    }
    Object.keys(state.filters).forEach((field) => {
      if (lines.first && !(field in lines.first)) {
        told.push(said(words.notes.unknown, { key: `f.${field}` }));
      }
    });
    if (told.length && !window.benchAddress.served) {
      told.push(words.no_address);
    }
    box.hidden = !told.length;
    box.replaceChildren(
      ...told.map((text) => {
        const line = document.createElement("p");
        line.textContent = text;
        return line;
      }),
    );
  }

  table.addEventListener("sorted", () => {
    const by = heads.find((each) => each.hasAttribute("aria-sort"));
    if (by) {
      const sign = by.getAttribute("aria-sort") === "descending" ? "-" : "";
      state.sort = sign + (by.dataset.name || "");
      showChosen();
      showAddress();
    }
  });
  part("settings").hidden = false;
  part("settings-clear").addEventListener("click", () => {
    Object.assign(state, queries.empty(), { c: state.c });
    page.form.fill();
    showColumns();
    show();
    everything.sortAsAsked();
  });
  page.form.fill();
  showNotes();
  showColumns();
  show();
  everything.sortAsAsked();
})();
