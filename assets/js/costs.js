/**
 * Reckons the costs on a device's page with the reader's own tariff, hours, years,
 * discount, filter life and currency, by the formulas of the method's text.
 */
(function () {
  "use strict";

  const form = /** @type {HTMLFormElement | null} */ (
    document.getElementById("cost-form"));
  const source = document.getElementById("cost-parts");
  const table = /** @type {HTMLTableElement | null} */ (
    document.querySelector("#costs-table"));
  if (!form || !source || !table) {
    return;
  }
  const numbers = window.benchNumbers;
  const reckon = window.benchReckon;
  const own = window.benchOwn;
  const values = window.benchOwnValues;
  const { amounts, filled, said } = window.benchOwnFields;
  const data = JSON.parse(source.textContent || "{}");
  const words = data.words;
  const KEYS = ["tariff", "hours", "years", "discount", "life", "rate"];
  const fields = window.benchOwnFields.begin("own-", KEYS.slice(0, -1));
  const rows = Array.from(table.tBodies[0].rows);
  const years = table.querySelector(".years");
  // What stands there by the archive's own numbers, to be put back.
  const served = [
    ...table.querySelectorAll(".years"),
    ...rows.flatMap((row) => Array.from(row.cells).slice(1)),
  ].map((cell) => ({
    cell,
    nodes: Array.from(cell.childNodes),
    missing: cell.classList.contains("missing"),
  }));
  /** @type {Record<string, any>} */
  const state = Object.fromEntries(KEYS.map((key) => [key, null]));

  /** @param {number} at @returns {Record<string, number | null>} a row's numbers by name */
  function partsOf(at) {
    return Object.fromEntries(data.columns.map(
      (/** @type {string} */ name, /** @type {number} */ place) =>
        [name, data.rows[at][place]]));
  }

  /**
   * @param {Element} cell
   * @param {string} text
   * @param {string} below what stands under it in small
   */
  function put(cell, text, below) {
    cell.classList.toggle("missing", !text);
    cell.textContent = text || words.unknown;
    if (below) {
      const small = document.createElement("small");
      small.textContent = below;
      cell.append(small);
    }
  }

  function showServed() {
    served.forEach(({ cell, nodes, missing }) => {
      cell.replaceChildren(...nodes);
      cell.classList.toggle("missing", missing);
    });
  }

  function showOwn() {
    const { money, ends } = amounts(state.rate, data.currency, data.locale, words.to);
    rows.forEach((row, at) => {
      const { parts, assumed } = reckon.byOwn(partsOf(at), data.assumed, state);
      const cost = reckon.costs(parts, assumed);
      const both = reckon.costEnds(parts, assumed);
      const cells = Array.from(row.cells).slice(1);
      const energy = cost.energy_kwh_year;
      const used = energy === null
        ? ""
        : filled(words.kwh, { n: numbers.significant(energy, 3, data.locale) });
      const energyCost = cost.energy_cost_year;
      put(cells[0], energyCost === null ? "" : money(energyCost), used);
      ["filter_cost_year", "running_cost_year", "ownership_cost", "per_1000_m3"].forEach(
        (name, place) => {
          const amount = cost[name];
          put(
            cells[place + 1],
            amount === null ? "" : money(amount),
            amount === null ? "" : ends(amount, both[name]),
          );
        });
    });
    if (years) {
      const n = state.years === null ? data.assumed.years : state.years;
      years.textContent = n === 1 ? words.year : filled(words.years, { value: n });
    }
  }

  /** Shows the costs, says whose numbers they rest on, and keeps these in the address. */
  function changed() {
    if (fields.any(state)) {
      showOwn();
    } else {
      showServed();
    }
    const found = said(state, words, data.locale, data.currency);
    const mark = found.length ? filled(words.own, { what: found.join("; ") }) : "";
    const query = own.queryOf(
      Object.fromEntries(KEYS.map((key) => [key, values.text(state[key])])));
    tell(query, mark ? `${mark} ${words.listed}` : "", fields.refused());
    own.address(KEYS, query);
  }

  /** @param {string} text */
  function take(text) {
    const given = new URLSearchParams(text);
    KEYS.forEach((key) => {
      const found = values.value(key, (given.get(key) || "").trim());
      state[key] = found === undefined ? null : found;
    });
    fields.fill(state);
    const around = form && form.closest("details");
    if (around && fields.any(state)) {
      around.open = true;
    }
  }

  take(window.location.search);
  const tell = own.begin({
    words: words.own_line,
    name: "costs",
    form: form,
    keys: KEYS,
    asks: false,
    put: (/** @type {HTMLElement} */ line) => {
      const frame = /** @type {HTMLElement} */ (table.closest(".frame"));
      frame.before(line);
    },
    take: take,
    changed: changed,
  });
  const around = form.closest("details");
  if (around) {
    around.hidden = false;
  }
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", () => {
    fields.read(state);
    changed();
  });
  changed();
})();
