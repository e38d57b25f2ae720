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
  const { filled, said } = window.benchOwnFields;
  const data = JSON.parse(source.textContent || "{}");
  const words = data.words;
  const KEYS = ["tariff", "hours", "years", "discount", "life", "rate"];
  const fields = window.benchOwnFields.begin("own-", KEYS.slice(0, -1));
  const rows = Array.from(table.tBodies[0].rows);
  const years = table.querySelector(".years");
  const served = [years, ...rows.flatMap((row) => Array.from(row.cells).slice(1))].map(
    (cell) => ({ cell, nodes: Array.from(cell ? cell.childNodes : []),
      missing: cell ? cell.classList.contains("missing") : false }));
  /** @type {Record<string, any>} */
  const state = Object.fromEntries(KEYS.map((key) => [key, null]));

  /** @param {number} at @returns {Record<string, number | null>} a row's numbers by name */
  function partsOf(at) {
    /** @type {Record<string, number | null>} */
    const parts = {};
    data.columns.forEach((/** @type {string} */ name, /** @type {number} */ place) => {
      parts[name] = data.rows[at][place];
    });
    return parts;
  }

  /** @param {number} amount */
  function money(amount) {
    return state.rate
      ? numbers.money(amount * state.rate.value, state.rate.code, data.locale)
      : numbers.money(amount, data.currency, data.locale);
  }

  /** @param {number} amount @param {number[] | null} ends */
  function moneyEnds(amount, ends) {
    const by = state.rate ? state.rate.value : 1;
    const code = state.rate ? state.rate.code : data.currency;
    const found = numbers.moneyEnds(
      amount * by, ends && ends.map((end) => end * by), code, data.locale);
    if (!found) {
      return "";
    }
    return found[0] === found[1]
      ? found[0]
      : filled(words.to, { low: found[0], high: found[1] });
  }

  /**
   * @param {Element | undefined} cell
   * @param {string} text
   * @param {string} below what stands under it in small
   */
  function put(cell, text, below) {
    if (!cell) {
      return;
    }
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
      if (cell) {
        cell.replaceChildren(...nodes);
        cell.classList.toggle("missing", missing);
      }
    });
  }

  function showOwn() {
    rows.forEach((row, at) => {
      const { parts, assumed } = reckon.byOwn(partsOf(at), data.assumed, state);
      const cost = reckon.costs(parts, assumed);
      const ends = reckon.costEnds(parts, assumed);
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
            amount === null ? "" : moneyEnds(amount, ends[name]),
          );
        });
    });
    if (years) {
      const n = state.years === null ? data.assumed.years : state.years;
      years.textContent = n === 1 ? words.year : filled(words.years, { value: n });
    }
  }

  function query() {
    return KEYS.map((key) => [key, values.text(state[key])])
      .filter((pair) => pair[1])
      .map((pair) => pair.join("="))
      .join("&");
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
    tell(query(), mark ? `${mark} ${words.listed}` : "", fields.refused());
    own.address(KEYS, query());
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
  let begun = false;
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
    take: (/** @type {string} */ text) => {
      take(text);
      if (begun) {
        changed();
      }
    },
    clear: () => {
      take("");
      changed();
    },
  });
  begun = true;
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
