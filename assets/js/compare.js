/**
 * The page on which readers compare: what its address chooses is shown, sorted,
 * filtered and reckoned as it says, and whatever is changed goes into the address.
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
  const cells = window.benchCells;
  const filters = window.benchFilters;
  const numbers = window.benchNumbers;
  const columns = window.benchColumns;
  const data = JSON.parse(source.textContent || "{}");
  const words = data.words;
  const measured = cells.rowsOf(data);
  const known = Object.assign({}, data.query, {
    configurations: new Set(measured.map((row) => row.configuration)),
    shown: columns.names(table),
  });
  const read = queries.read(window.location.search, known);
  const state = read.state;
  const served = window.location.protocol !== "file:";
  const DEFAULT_SORT = data.order;

  /** @param {string} text @param {Record<string, string | number>} values */
  function said(text, values) {
    return text.replace(/\{([a-z_]+)\}/g, (whole, name) =>
      name in values ? String(values[name]) : whole);
  }

  /** @param {string} id @returns {any} */
  function part(id) {
    return document.getElementById(id);
  }

  /**
   * A row of the page; its texts are read when they are first asked for.
   */
  class Line {
    /**
     * @param {HTMLTableRowElement} line
     * @param {Record<string, any>} row its numbers
     */
    constructor(line, row) {
      this.line = line;
      this.row = row;
      // What its cells said before a reader's own numbers; nothing while they still do.
      /** @type {string[] | null} */
      this.kept = null;
      // Whether its costs are sorted by as a reader's own numbers make them.
      this.valued = false;
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
  }

  // The rows of the page, in the order in which the data have them.
  const lines = Array.from(table.tBodies[0].rows, (line, at) =>
    new Line(line, measured[at]));
  const heads = Array.from(table.tHead ? table.tHead.rows[0].cells : []);
  /** @type {[string, number][]} */
  const costHeads = [];
  heads.forEach((head, at) => {
    if (cells.COSTS.indexOf(head.dataset.name) >= 0) {
      costHeads.push([head.dataset.name || "", at]);
    }
  });
  const quantities = new Map(
    data.quantities.map((/** @type {any} */ each) => [each.name, each]),
  );

  /** @param {any} line */
  function label(line) {
    // After the setting a row may name its method; a label does without.
    const setting = line.below.split(" · ")[0];
    return setting ? `${line.name.trim()} (${setting})` : line.name.trim();
  }

  const drawing = part("chosen") ? window.benchDrawing.begin(data, state, label) : null;

  function showEverything() {
    let count = 0;
    const changed = state.u !== "" || ["rate", "room", "cap", ...cells.OWN]
      .some((name) => state[name] !== null);
    const chooses = Boolean(part("chosen"));
    const chosen = new Set(state.c);
    lines.forEach((line) => {
      const row = cells.own(line.row, data, state);
      const visible = filters.passes(line, row, data, state);
      if (line.line.hidden === visible) {
        line.line.hidden = !visible;
      }
      count += visible ? 1 : 0;
      if (chooses) {
        line.line.classList.toggle("chosen", chosen.has(line.row.configuration));
      }
      valueCosts(line, row);
    });
    fillAll(changed);
    heads.forEach((head) => {
      const quantity = quantities.get(head.dataset.name || "");
      const unit = head.querySelector(".unit");
      if (quantity && unit) {
        unit.textContent = cells.unitOf(quantity, data, state).unit;
      }
    });
    part("shown").textContent = count
      ? count === lines.length
        ? said(words.all_shown, { n: count })
        : said(words.shown, { n: count, of: lines.length })
      : words.none_shown;
  }

  /**
   * Costs are sorted by as they are now.
   * @param {any} line
   * @param {any} row
   */
  function valueCosts(line, row) {
    if (row === line.row && !line.valued) {
      return;
    }
    line.valued = row !== line.row;
    costHeads.forEach(([name, at]) => {
      const value = row[name];
      line.line.cells[at].dataset.value = value === null ? "" : String(value);
    });
  }

  const SLICE = 250;
  let waiting = 0;

  /**
   * Writes the cells anew, where they say other than they should; of a long table those
   * on top first, so that typing stays quick.
   * @param {boolean} changed
   */
  function fillAll(changed) {
    window.clearTimeout(waiting);
    const all = lines.length > SLICE ? inOrder() : lines;
    const due = changed ? all : all.filter((line) => line.kept);
    /** @param {number} from */
    const next = (from) => {
      due.slice(from, from + SLICE).forEach((line) => fill(line, changed));
      if (from + SLICE < due.length) {
        waiting = window.setTimeout(next, 0, from + SLICE);
      }
    };
    next(0);
  }

  /** The lines as they stand, those shown before the others. */
  function inOrder() {
    const by = new Map(lines.map((line) => [line.line, line]));
    const now = Array.from(/** @type {HTMLTableElement} */ (table).tBodies[0].rows).map(
      (line) => /** @type {(typeof lines)[number]} */ (by.get(line)));
    return [
      ...now.filter((line) => !line.line.hidden),
      ...now.filter((line) => line.line.hidden),
    ];
  }

  /** @param {any} line @param {boolean} changed */
  function fill(line, changed) {
    if (changed && !line.kept) {
      line.kept = Array.from(line.line.cells, (cell) => cell.innerHTML);
    }
    const kept = line.kept;
    if (!changed) {
      line.kept = null;
    }
    const row = cells.own(line.row, data, state);
    heads.forEach((head, at) => {
      const quantity = quantities.get(head.dataset.name || "");
      if (!quantity) {
        return;
      }
      const cell = line.line.cells[at];
      if (!changed) {
        cell.innerHTML = kept[at];
      } else {
        const shown = cells.shown(quantity, row, data, state);
        if (shown.value !== null) {
          write(cell, shown.text, shown.interval);
        } else if (cells.COSTS.indexOf(quantity.name) >= 0) {
          write(cell, words.missing, "");
        }
      }
      if (changed && quantity.name === "cadr_m3h" && state.room !== null) {
        beside(cell, row);
      }
      if (changed && quantity.name === "sound_dba") {
        warn(cell, row);
      }
    });
  }

  /**
   * Writes a number; what else the cell says of it stays.
   * @param {HTMLElement} cell
   * @param {string} text
   * @param {string} interval
   */
  function write(cell, text, interval) {
    const mark = cell.querySelector(".apart-mark");
    const bar = cell.querySelector("svg.bar");
    const notes = Array.from(cell.querySelectorAll("small.setting"));
    cell.textContent = text;
    if (mark) {
      cell.prepend(mark, " ");
    }
    if (interval) {
      const small = document.createElement("small");
      small.textContent = interval;
      cell.append(small);
    }
    if (bar) {
      cell.append(bar);
    }
    cell.append(...notes);
  }

  // What is chosen

  function chosenLines() {
    const order = new Map(
      Array.from(/** @type {HTMLTableElement} */ (table).tBodies[0].rows).map(
        (line, at) => [line, at],
      ),
    );
    return lines
      .filter((line) => state.c.indexOf(line.row.configuration) >= 0)
      .sort((a, b) => (order.get(a.line) || 0) - (order.get(b.line) || 0));
  }

  function showChosen() {
    if (!part("chosen")) {
      return;
    }
    const chosen = state.c.length ? chosenLines() : [];
    part("chosen").hidden = !chosen.length;
    tick();
    if (!chosen.length) {
      return;
    }
    part("chosen-count").textContent = said(words.chosen, {
      n: state.c.length,
      most: queries.MOST,
    });
    const families = new Set(chosen.map((line) => line.row.family));
    part("chosen-mixed").textContent = families.size > 1 ? words.mixed : "";
    part("chosen-table").replaceChildren(chosenHead(), chosenBody(chosen));
    if (drawing) {
      drawing.draw(chosen);
    }
  }

  /** @type {{chosen: Set<string>, full: boolean}} */
  let ticked = { chosen: new Set(), full: false };

  /** Ticks the boxes of what is chosen; all are off while no more can be. */
  function tick() {
    const chosen = new Set(state.c);
    const full = state.c.length >= queries.MOST;
    const all = full !== ticked.full;
    lines.forEach((line) => {
      const name = line.row.configuration;
      const box = all || chosen.has(name) || ticked.chosen.has(name) ? line.box : null;
      if (box) {
        box.checked = chosen.has(name);
        box.disabled = full && !box.checked;
      }
    });
    ticked = { chosen: chosen, full: full };
  }

  /** @param {string} name @param {string} text @param {string} [unit] */
  function head(name, text, unit) {
    const cell = document.createElement("th");
    cell.scope = "col";
    cell.textContent = text;
    if (unit) {
      const small = document.createElement("span");
      small.className = "unit";
      small.textContent = unit;
      cell.append(small);
    }
    return cell;
  }

  function chosenHead() {
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
    const noted = head("notes", words.noted);
    noted.className = "words";
    line.append(noted);
    made.append(line);
    return made;
  }

  /** @param {any[]} chosen */
  function chosenBody(chosen) {
    const made = document.createElement("tbody");
    chosen.forEach((line, at) => {
      const row = cells.own(line.row, data, state);
      const shownLine = document.createElement("tr");
      const title = document.createElement("th");
      title.scope = "row";
      const link = line.line.querySelector("th a");
      if (link) {
        title.append(link.cloneNode(true));
      } else {
        title.append(line.name);
      }
      const below = document.createElement("small");
      below.textContent = line.below;
      title.append(below, leaving(line, at));
      shownLine.append(title);
      data.quantities.forEach((/** @type {any} */ quantity) => {
        const cell = document.createElement("td");
        const shown = cells.shown(quantity, row, data, state);
        write(cell, shown.text || words.missing, shown.interval);
        cell.classList.toggle("missing", shown.value === null);
        if (quantity.name === "sound_dba") {
          cell.append(...soundNote(line));
          warn(cell, row);
        }
        shownLine.append(cell);
      });
      if (state.room !== null) {
        const changes = airChanges(row);
        const cell = document.createElement("td");
        cell.classList.toggle("missing", !changes);
        write(cell, changes ? changes.value : words.missing, changes ? changes.interval : "");
        shownLine.append(cell);
      }
      const noted = document.createElement("td");
      noted.className = "words";
      noted.textContent = row.notes;
      shownLine.append(noted);
      made.append(shownLine);
    });
    return made;
  }

  /** The button that leaves a row out. @param {any} line @param {number} at */
  function leaving(line, at) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "leave";
    button.textContent = words.leave_out;
    button.setAttribute("aria-label", said(words.remove, { name: label(line) }));
    button.addEventListener("click", () => {
      state.c = state.c.filter((/** @type {string} */ one) =>
        one !== line.row.configuration);
      show();
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
    const at = heads.findIndex((each) => each.dataset.name === "sound_dba");
    const cell = at < 0 ? null : line.line.cells[at];
    const notes = cell ? cell.querySelectorAll("small.setting") : [];
    return Array.from(notes, (note) => note.cloneNode(true));
  }

  /** Keeps the keyboard where it was. @param {number} at row that is gone */
  function afterLeaving(at) {
    const left = part("chosen-table").querySelectorAll("button");
    const gone = part("chosen").hidden;
    const next = gone ? part("pick-text") : left[Math.min(at, left.length - 1)];
    next.focus();
  }

  /** @param {HTMLElement} cell @param {any} row */
  function warn(cell, row) {
    const cap = state.cap;
    if (cap === null || row.sound_dba === null) {
      return;
    }
    const over = row.sound_dba > cap;
    if (over || (row.sound_high !== null && row.sound_high > cap)) {
      const small = document.createElement("small");
      small.className = "warns";
      small.textContent = over ? words.over_cap : words.near_cap;
      cell.append(small);
    }
  }

  /**
   * Says beside a CADR what it is in the reader's room.
   * @param {HTMLElement} cell
   * @param {any} row
   */
  function beside(cell, row) {
    const found = airChanges(row);
    if (found) {
      const small = document.createElement("small");
      small.className = "own";
      small.textContent = said(words.ach_here, { value: found.value });
      cell.append(small);
    }
  }

  /** @param {any} row @returns {{value: string, interval: string} | null} */
  function airChanges(row) {
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
    const interval = found.low
      ? words.to.replace("{low}", found.low).replace("{high}", found.high)
      : "";
    return { value: found.value, interval: interval };
  }

  // The form

  /** @type {[string, string][]} */
  const NUMBERS = [
    ["in-room", "room"],
    ["in-ceiling", "ceiling"],
    ["in-ach", "ach"],
    ["in-cap", "cap"],
    ["in-tariff", "tariff"],
    ["in-hours", "hours"],
    ["in-years", "years"],
    ["in-discount", "discount"],
    ["in-life", "life"],
  ];

  /**
   * Reads one field through the grammar of the address, so that both take the same.
   * @param {string} key
   * @param {string} text
   * @returns {any} the state that it gives, or null where it is no value
   */
  function through(key, text) {
    const typed = numbers.plain(text);
    const found = queries.read(`${key}=${encodeURIComponent(typed)}`, known);
    return found.notes.length ? null : found.state;
  }

  /** @param {HTMLElement} field @param {boolean} good */
  function mark(field, good) {
    if (good) {
      field.removeAttribute("aria-invalid");
    } else {
      field.setAttribute("aria-invalid", "true");
    }
  }

  /** A currency takes both its code and its rate. */
  function rateFromForm() {
    const fields = [part("in-currency"), part("in-rate")];
    const [code, amount] = fields.map((field) => numbers.plain(field.value));
    const both = code !== "" && amount !== "";
    const found = both ? through("rate", `${code.toUpperCase()}:${amount}`) : null;
    fields.forEach((field) => mark(field, !both || found !== null));
    state.rate = found === null ? null : found.rate;
  }

  function fromForm() {
    NUMBERS.forEach(([id, name]) => {
      const field = part(id);
      const found = through(name, field.value);
      mark(field, found !== null);
      state[name] = found === null ? null : found[name];
    });
    rateFromForm();
    filters.fromForm(state, through, mark);
    state.q = part("in-text").value.trim().slice(0, 100);
    const units = part("in-units").value;
    state.u = units === data.units ? "" : units;
    if (part("chosen")) {
      state.figure = part("in-figure").value;
      state.scale = part("in-scale").value;
      state.x = part("in-x").value;
      state.y = part("in-y").value;
    }
    show();
  }

  function toForm() {
    NUMBERS.forEach(([id, name]) => {
      part(id).value = state[name] === null ? "" : numbers.entered(state[name]);
    });
    part("in-currency").value = state.rate ? state.rate.code : "";
    part("in-rate").value = state.rate ? numbers.entered(state.rate.value) : "";
    filters.toForm(state);
    part("in-text").value = state.q;
    part("in-units").value = state.u || data.units;
    if (part("chosen")) {
      part("in-figure").value = state.figure || "ranked";
      part("in-scale").value = state.scale || "log";
      part("in-x").value = state.x || "sound_dba";
      part("in-y").value = state.y || "cadr_m3h";
    }
    const own = state.rate || NUMBERS.some(([, name]) => state[name] !== null);
    const more = part("own-numbers");
    if (more && own) {
      more.setAttribute("open", "");
    }
    const around = part("settings").closest("details");
    if (around && window.location.search) {
      around.open = true;
    }
  }

  function showOwn() {
    const parts = [];
    const number = (/** @type {number} */ value) =>
      new Intl.NumberFormat(data.locale, { maximumFractionDigits: 9 }).format(value);
    if (state.tariff !== null) {
      const values = { value: number(state.tariff), currency: data.currency };
      parts.push(said(words.tariff, values));
    }
    ["hours", "years", "discount", "life", "room", "ceiling", "cap"].forEach((name) => {
      if (state[name] !== null) {
        parts.push(said(words[name], { value: number(state[name]) }));
      }
    });
    if (state.ach !== null) {
      const said_ = state.room === null ? words.ach_no_room : words.ach_wanted;
      parts.push(said(said_, { value: number(state.ach) }));
    }
    if (state.rate) {
      const values = {
        value: number(state.rate.value),
        code: state.rate.code,
        currency: data.currency,
      };
      parts.push(said(words.rate, values));
    }
    if (state.u && state.u !== data.units) {
      parts.push(state.u === "us" ? words.in_us : words.in_metric);
    }
    ownChanged(
      ownQuery(),
      parts.length ? said(words.own, { what: parts.join("; ") }) : "",
    );
  }

  // The reader's own numbers, which the device may remember

  function ownQuery() {
    const own = queries.empty();
    window.benchOwn.KEYS.forEach((/** @type {string} */ key) => {
      own[key] = state[key];
    });
    return queries.write(own);
  }

  /** @param {string} query */
  function takeOwn(query) {
    const taken = queries.read(query, known).state;
    window.benchOwn.KEYS.forEach((/** @type {string} */ key) => {
      state[key] = taken[key];
    });
  }

  let begun = false;
  const ownChanged = window.benchOwn.begin({
    words: words.own_line,
    keys: window.benchOwn.KEYS,
    asks: Boolean(part("settings").dataset.asks),
    put: (/** @type {HTMLElement} */ line) => {
      const frame = /** @type {HTMLElement} */ (table.closest(".frame"));
      (frame.previousElementSibling || frame).before(line);
    },
    take: (/** @type {string} */ query) => {
      takeOwn(query);
      if (begun) {
        toForm();
        show();
      }
    },
    clear: () => {
      takeOwn("");
      toForm();
      show();
    },
  });

  // The address

  function showAddress() {
    const address = part("page-address");
    const base = address.dataset.base || (address.dataset.base = address.textContent);
    const kept = Object.assign({}, state);
    // What the page does anyway need not be said.
    if (kept.sort === DEFAULT_SORT) {
      kept.sort = "";
    }
    if (kept.figure === "ranked") {
      kept.figure = "";
    }
    if (kept.figure !== "decay" || kept.scale === "log") {
      kept.scale = "";
    }
    if (kept.figure !== "scatter" || kept.x === "sound_dba") {
      kept.x = "";
    }
    if (kept.y === "cadr_m3h" || kept.figure === "decay") {
      kept.y = "";
    }
    const query = queries.write(kept);
    address.textContent = query ? `${base}?${query}` : base;
    if (served) {
      showInBar(query ? `?${query}` : "");
    }
    if (drawing) {
      drawing.showCode();
    }
  }

  let toBar = 0;

  /** @param {string} query what the address bar is to say after the page's path */
  function showInBar(query) {
    window.clearTimeout(toBar);
    const now = () => {
      if (query !== window.location.search) {
        // A link may lead to a part of the page; that part stays in the address.
        const here = window.location.pathname + query + window.location.hash;
        window.history.replaceState(null, "", here);
      }
    };
    // Browsers look at every link of the page again, which in a long table takes a while.
    if (lines.length > SLICE) {
      toBar = window.setTimeout(now, 0);
    } else {
      now();
    }
  }

  /** Offers the visible rows, in their order, as a file of the columns shown. */
  function download() {
    const fixed = ["device", "filter", "speed", "method", "fraction"];
    const shown = heads
      .filter((each) => !each.hidden)
      .map((each) => quantities.get(each.dataset.name || ""));
    const columns = shown
      .filter(Boolean)
      .flatMap((quantity) => [quantity.name, quantity.low, quantity.high])
      .filter(Boolean);
    const by = new Map(lines.map((line) => [line.line, line]));
    // Costs stand in the archive's currency; what they were reckoned from says so.
    const assumed = data.assumed || {};
    const costed = columns.some((name) => cells.COSTS.indexOf(name) >= 0);
    /** @type {[string, any][]} */
    const reckoned = [
      ["currency", data.currency],
      ["tariff_per_kwh", state.tariff === null ? assumed.tariff : state.tariff],
      ["hours_per_day", state.hours === null ? assumed.hours : state.hours],
      ["years", state.years === null ? assumed.years : state.years],
      ["discount_pct", state.discount === null ? assumed.discount : state.discount],
      ["filter_months", state.life],
    ];
    const last = costed ? reckoned : [];
    const rows = Array.from(/** @type {HTMLTableElement} */ (table).tBodies[0].rows)
      .filter((line) => !line.hidden)
      .map((line) => {
        const row = cells.own((by.get(line) || lines[0]).row, data, state);
        const values = [...fixed, ...columns].map((name) => row[name]);
        return [...values, ...last.map((each) => each[1])].map(quoted).join(",");
      });
    const names = [...fixed, ...columns, ...last.map((each) => each[0])];
    const text = [names.join(","), ...rows, ""].join("\r\n");
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
    link.download = part("download").dataset.name || "results.csv";
    link.click();
    URL.revokeObjectURL(link.href);
  }

  /** @param {string | number | null | undefined} value */
  function quoted(value) {
    const text = value === null || value === undefined ? "" : String(value);
    // A text that a spreadsheet would run as a formula is made a plain one.
    const safe = typeof value === "string" && /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
    return /[",\r\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
  }

  function showNotes() {
    const box = part("notes");
    const told = read.notes.map((note) =>
      said(words.notes[note.trouble], { key: note.key, value: note.value }));
    if (state.figure && !part("chosen")) {
      told.push(words.fixed_figure);
    }
    Object.keys(state.filters).forEach((field) => {
      if (measured.length && !(field in measured[0])) {
        told.push(said(words.notes.unknown, { key: `f.${field}` }));
      }
    });
    if (told.length && !served) {
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

  /** Offers the columns, those ticked that are shown. */
  function showColumns() {
    columns.apply(table, state.cols);
    columns.offer(table, state.cols, (/** @type {string[]} */ chosen) => {
      state.cols = chosen;
      columns.apply(table, chosen);
      showAddress();
    });
  }

  function show() {
    showEverything();
    showChosen();
    showOwn();
    showAddress();
  }

  /** Sorts the table as the address says, by the same buttons as a reader would. */
  function sortAsAsked() {
    const asked = state.sort || DEFAULT_SORT;
    const name = asked.replace(/^-/, "");
    const way = asked[0] === "-" ? "descending" : "ascending";
    const found = heads.find((each) => each.dataset.name === name);
    const button = found && found.querySelector("button");
    for (let press = 0; button && press < 2; press += 1) {
      if (found.getAttribute("aria-sort") !== way) {
        button.click();
      }
    }
  }

  if (part("chosen")) {
    const byRow = new Map(lines.map((line) => [line.line, line]));
    table.querySelectorAll("label.choose").forEach((holder) => {
      holder.removeAttribute("hidden");
    });
    table.addEventListener("change", (event) => {
      const box = /** @type {HTMLInputElement} */ (event.target);
      const line = byRow.get(/** @type {HTMLTableRowElement} */ (box.closest("tr")));
      if (!line || !box.closest("label.choose")) {
        return;
      }
      const name = line.row.configuration;
      state.c = state.c.filter((/** @type {string} */ one) => one !== name);
      if (box.checked && state.c.length < queries.MOST) {
        state.c.push(name);
      }
      show();
    });
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
  part("settings").addEventListener("submit", (/** @type {Event} */ event) => {
    event.preventDefault();
  });
  ["input", "change"].forEach((kind) => {
    part("settings").addEventListener(kind, fromForm);
    if (part("chosen")) {
      part("chosen-settings").addEventListener(kind, fromForm);
    }
  });
  part("download").addEventListener("click", download);
  part("settings-clear").addEventListener("click", () => {
    const chosen = state.c;
    Object.assign(state, queries.empty(), { c: chosen });
    toForm();
    showColumns();
    show();
    sortAsAsked();
  });
  if (part("chosen")) {
    part("chosen-clear").addEventListener("click", () => {
      state.c = [];
      show();
      part("pick-text").focus();
    });
    /** @type {any[] | null} */
    let choices = null;
    window.benchPick.begin(part("pick"), () => choices || (choices = choicesOf()), {
      words: words,
      taken: (name) => state.c.indexOf(name) >= 0,
      full: () => state.c.length >= queries.MOST,
      choose: (name) => {
        state.c.push(name);
        show();
      },
    });
  }

  /** What can be chosen by typing: each configuration once, in the table's order. */
  function choicesOf() {
    const up = quantities.get("cadr_m3h");
    const across = quantities.get("sound_dba");
    const seen = new Set();
    return lines.filter((line) => {
      const fresh = !seen.has(line.row.configuration);
      seen.add(line.row.configuration);
      return fresh;
    }).map((line) => ({
      name: line.row.configuration,
      label: label(line),
      text: window.benchPick.plain(`${line.name.trim()} ${line.below} ${line.row.maker}`),
      said: [up, across].map((quantity) => {
        const shown = cells.shown(quantity, line.row, data, state);
        const unit = cells.unitOf(quantity, data, state).unit;
        return shown.text ? `${shown.text} ${unit}` : "";
      }).filter(Boolean).join(", "),
    }));
  }
  begun = true;
  toForm();
  showNotes();
  showColumns();
  show();
  sortAsAsked();
})();
