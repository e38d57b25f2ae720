/**
 * The finder of the home page: takes a reader's room and what they accept, and puts the
 * answer above the rooms reckoned beforehand. The address keeps what was typed.
 */
(function () {
  "use strict";

  const form = /** @type {HTMLFormElement | null} */ (
    document.getElementById("finder-form"));
  const table = /** @type {HTMLTableElement | null} */ (
    document.getElementById("finder-table"));
  const more = /** @type {HTMLAnchorElement | null} */ (
    document.getElementById("finder-more"));
  const find = /** @type {any} */ (window).benchFind;
  const numbers = /** @type {any} */ (window).benchNumbers;
  if (!form || !table || !more) {
    return;
  }
  // A currency and its rate are read together; all else is a number of its own.
  const fields = /** @type {HTMLInputElement[]} */ (
    Array.from(form.querySelectorAll("input[data-factor]")));
  const currency = /** @type {any} */ (window).benchOwnFields.begin("find-", []);
  /** @type {{rate: {code: string, value: number} | null}} */
  const own = { rate: null };
  const rooms = Array.from(table.tBodies);
  const compare = more.getAttribute("href") || "";
  const bounds = { room: [1, 1e5], volume: [1, 1e6], ceiling: [1, 30], cap: [0, 150],
    budget: [0, 1e9], ach: [0.1, 100], hours: [0, 24], tariff: [0, 1e6],
    years: [1, 50] };
  /** @type {HTMLTableSectionElement | null} */
  let answer = null;
  let asked = false;
  form.hidden = false;

  /**
   * @param {HTMLInputElement} field
   * @returns {number | null} in metric units; null when empty, NaN when odd
   */
  function typed(field) {
    const value = numbers.measured(field, Number(field.dataset.factor));
    if (value === null) {
      return null;
    }
    const [least, most] = bounds[/** @type {"room"} */ (field.name)];
    if (field.name === "years" && !Number.isInteger(value)) {
      return NaN;
    }
    return value >= least && value <= most ? value : NaN;
  }

  function read() {
    /** @type {Record<string, number | null>} */
    const values = {};
    /** @type {string[]} */
    const odd = [];
    fields.forEach((field) => {
      const value = typed(field);
      const bad = value !== null && Number.isNaN(value);
      field.setAttribute("aria-invalid", String(bad));
      values[field.name] = bad ? null : value;
      if (bad) {
        odd.push(/** @type {any} */ (window).benchOwnFields.labelOf(field));
      }
    });
    return { values, odd };
  }

  /** Brings the numbers, once, when they are first wanted. */
  function bring() {
    if (/** @type {any} */ (window).benchFinder) {
      show();
      return;
    }
    if (!asked && form) {
      asked = true;
      const script = document.createElement("script");
      script.src = form.dataset.rows || "";
      script.addEventListener("load", show);
      document.head.append(script);
    }
  }

  function changed() {
    currency.read(own);
    addressOwn.address(NAMES, query(NAMES));
    tellOwn();
    bring();
  }

  /** Says whose numbers are shown, and which fields hold none. */
  function tellOwn() {
    const { values, odd } = read();
    const given = /** @type {HTMLFormElement} */ (form).dataset;
    const wanted = values.room !== null || values.volume !== null;
    const any = own.rate || Object.values(values).some((value) => value !== null);
    const text = wanted ? given.own : any ? given.lacking : "";
    ownChanged(query(OWN), text || "", [...odd, ...currency.refused()]);
  }

  const addressOwn = /** @type {any} */ (window).benchOwn;
  const values = /** @type {any} */ (window).benchOwnValues;
  // What of the reader's own numbers the finder asks for, and all that it asks for.
  const OWN = ["tariff", "hours", "years", "room", "ceiling", "ach", "cap", "rate"];
  const NAMES = [...fields.map((field) => field.name), "rate"];

  /**
   * @param {string[]} names
   * @returns {string} what is typed, in metric units
   */
  function query(names) {
    /** @type {[string, string][]} */
    const found = [];
    fields.filter((field) => names.indexOf(field.name) >= 0).forEach((field) => {
      const value = typed(field);
      if (value !== null && !Number.isNaN(value)) {
        found.push([field.name, String(Number(value.toFixed(6)))]);
      }
    });
    if (own.rate) {
      found.push(["rate", values.text(own.rate)]);
    }
    return found.map((pair) => pair.join("=")).join("&");
  }

  /**
   * @param {string} text a query in metric units
   * @param {string[]} names of the fields that it fills, or empties
   */
  function fill(text, names) {
    const taken = new URLSearchParams(text);
    fields.forEach((field) => {
      if (names.indexOf(field.name) < 0) {
        return;
      }
      const given = (taken.get(field.name) || "").slice(0, 20);
      const value = numbers.typed(given);
      if (value === null || Number.isNaN(value)) {
        // What is misread of a reader's own numbers is said below them.
        field.value = OWN.indexOf(field.name) < 0 ? given : "";
      } else {
        numbers.measure(field, value, Number(field.dataset.factor));
      }
    });
    own.rate = values.value("rate", taken.get("rate") || "");
    currency.fill(own);
  }

  function show() {
    const data = /** @type {any} */ (window).benchFinder;
    if (!data || !more || !table) {
      return;
    }
    const { values } = read();
    const assumed = data.assumed;
    const ceiling = values.ceiling === null ? assumed.ceiling : values.ceiling;
    const volume = values.volume !== null
      ? values.volume
      : values.room === null ? null : values.room * ceiling;
    if (answer) {
      answer.remove();
      answer = null;
    }
    rooms.forEach((room) => {
      room.hidden = volume !== null;
    });
    more.hidden = volume === null;
    if (volume === null) {
      return;
    }
    /** @param {string} name */
    const value = (name) => (values[name] === null ? assumed[name] : values[name]);
    const wanted = {
      volume: volume,
      ach: value("ach"),
      cap: value("cap"),
      budget: values.budget,
      hours: value("hours"),
      tariff: value("tariff"),
      years: value("years"),
    };
    answer = document.createElement("tbody");
    answer.append(head(data, values, wanted));
    const found = find.picks(data, wanted);
    found.forEach((/** @type {any} */ pick) =>
      answer && answer.append(line(data, pick, Number(wanted.years))));
    if (!found.length) {
      answer.append(nothing(data));
    }
    table.insertBefore(answer, rooms[0]);
    const area = values.volume !== null ? values.volume / ceiling : values.room;
    // Air changes would leave out there what takes several machines.
    const rest = query(OWN.filter((name) => name !== "room" && name !== "ach"));
    const turned = units && units.value !== data.units ? `u=${units.value}` : "";
    more.href = [`${compare}?v=1&room=${Number(Number(area).toFixed(2))}`, rest, turned]
      .filter(Boolean).join("&");
  }

  const units = /** @type {HTMLSelectElement | null} */ (
    document.getElementById("units-shown"));

  /** @param {any} data @param {string} unit */
  function turnedUnit(data, unit) {
    return (units ? units.value : data.units) === "us" ? data.us[unit] : null;
  }

  /** @param {any} data @param {string} unit @param {number} value */
  function measure(data, unit, value) {
    const turned = turnedUnit(data, unit);
    const number = numbers.significant(turned ? value / turned[1] : value, 3, data.locale);
    return `${number} ${turned ? turned[0] : unit}`;
  }

  /** @param {string} name @param {string} text */
  function element(name, text) {
    const made = document.createElement(name);
    made.textContent = text;
    return made;
  }

  /** @param {any} data @param {any} values @param {any} wanted */
  function head(data, values, wanted) {
    const line = document.createElement("tr");
    const cell = /** @type {HTMLTableCellElement} */ (document.createElement("th"));
    cell.scope = "rowgroup";
    cell.colSpan = 6;
    const room = values.volume !== null
      ? measure(data, "m³", values.volume)
      : measure(data, "m²", values.room);
    const flow = measure(data, "m³/h", wanted.volume * wanted.ach);
    cell.append(data.words.head.replace("{room}", room), " ",
      element("small", data.words.need.replace("{flow}", flow)));
    line.append(cell);
    return line;
  }

  /**
   * @param {any} data
   * @param {number[]} all value and limits of one machine's clean air, m3/h
   * @param {number} count of machines
   */
  function air(data, all, count) {
    const turned = turnedUnit(data, "m³/h");
    const [value, low, high] = all.map((one) => one * count / (turned ? turned[1] : 1));
    const shown = numbers.interval(value, low, high, data.locale);
    const cell = element("td", `${shown.value} ${turned ? turned[0] : "m³/h"}`);
    cell.append(element("small", between(data, shown.low, shown.high)));
    return cell;
  }

  /** @param {any} data @param {string} low @param {string} high */
  function between(data, low, high) {
    return data.words.to.replace("{low}", low).replace("{high}", high);
  }

  /** @param {any} data how amounts are written */
  function amounts(data) {
    return /** @type {any} */ (window).benchOwnFields.amounts(
      own.rate, data.currency, data.locale, data.words.to);
  }

  /** @param {HTMLElement} cell @param {string} text what stands below in small, if any */
  function below(cell, text) {
    if (text) {
      cell.append(element("small", text));
    }
  }

  /** @param {any} data @param {any} pick the level, and what is to be known of it */
  function sound(data, pick) {
    /** @param {number} level of one */
    const all = (level) => numbers.halfDecibel(
      window.benchReckon.severalUnits(level, pick.units), data.locale);
    const row = pick.row;
    const text = all(row.sound_dba);
    const bound = row.sound_limit === "at_most";
    const cell = element("td",
      bound ? data.words.at_most.replace("{level}", text) : text);
    if (!bound && row.sound_low !== null && row.sound_high !== null) {
      cell.append(element("small", between(data, all(row.sound_low), all(row.sound_high))));
    }
    return cell;
  }

  /** @param {any} data @param {any} pick @param {number} years */
  function line(data, pick, years) {
    const made = document.createElement("tr");
    const name = /** @type {HTMLTableCellElement} */ (document.createElement("th"));
    name.scope = "row";
    const to = document.createElement("a");
    to.href = pick.row.to;
    to.textContent = pick.row.name;
    const setting = `${pick.row.maker} · ${pick.row.setting}`;
    name.append(to, element("small", setting));
    const level = sound(data, pick);
    if (pick.near_cap) {
      const near = element("small", data.words.near);
      near.className = "setting";
      level.append(near);
    }
    const { money, ends } = amounts(data);
    /** @param {number | null} amount */
    const cost = (amount) => element("td", amount === null
      ? data.words.unknown
      : money(amount));
    const running = cost(pick.running_cost_year);
    if (pick.running_cost_year !== null) {
      below(running, ends(pick.running_cost_year, pick.running_ends));
    }
    if (pick.owning_cost_year !== null) {
      const amount = money(pick.owning_cost_year);
      const text = years === 1 ? data.words.with_price_one : data.words.with_price;
      const share = element("small", text.replace("{amount}", amount)
        .replace("{n}", String(years)));
      share.className = "setting";
      running.append(share);
      below(running, ends(pick.owning_cost_year, pick.owning_ends));
    }
    const row = pick.row;
    made.append(
      name,
      element("td", String(pick.units)),
      air(data, [row.cadr_m3h, row.cadr_low, row.cadr_high], pick.units),
      level,
      cost(pick.first_cost),
      running,
    );
    return made;
  }

  /** @param {any} data */
  function nothing(data) {
    const made = document.createElement("tr");
    const cell = /** @type {HTMLTableCellElement} */ (document.createElement("td"));
    const text = element("span", data.words.none.replace("{n}", data.most_units));
    text.className = "stays";
    cell.append(text);
    cell.colSpan = 6;
    cell.className = "words missing";
    made.append(cell);
    return made;
  }

  fill(location.search, NAMES);
  /** @type {(query: string, said: string, refused: string[]) => void} */
  const ownChanged = addressOwn.begin({
    words: form.dataset,
    name: "finder",
    form: form,
    keys: OWN,
    asks: false,
    put: (/** @type {HTMLElement} */ line) => form.append(line),
    // Back to the archive's own numbers is back to empty fields.
    take: (/** @type {string} */ taken) => fill(taken, taken ? OWN : NAMES),
    changed: changed,
  });
  tellOwn();
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", changed);
  form.addEventListener("reset", () => window.setTimeout(changed));
  // In other units the same room has other numbers.
  let before = "";
  document.addEventListener("before-units", () => {
    before = query(NAMES);
  });
  document.addEventListener("units", () => {
    fill(before, NAMES);
    tellOwn();
    show();
  });
  if (own.rate || fields.some((field) => field.value)) {
    bring();
  }
})();
