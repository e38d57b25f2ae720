/**
 * Numbers of a result under the reader's own units and assumptions, as text.
 */
(function () {
  "use strict";

  const numbers = window.benchNumbers;
  const reckon = window.benchReckon;
  const fields = window.benchOwnFields;
  const said = fields.filled;
  const COSTS = [
    "energy_kwh_year",
    "energy_cost_year",
    "filter_cost_year",
    "running_cost_year",
    "ownership_cost",
  ];

  // What costs are reckoned from and a reader may set.
  const OWN = ["tariff", "hours", "years", "discount", "life"];

  /** @typedef {{text: string, interval: string, value: number | null}} Shown */

  /**
   * Values are looked up when they are asked for: of thousands of rows few are.
   * @param {any} data what the page holds
   * @returns {Record<string, any>[]} its rows, values by name
   */
  function rowsOf(data) {
    class Row {
      /** @param {any[]} values */
      constructor(values) {
        Object.defineProperty(this, "values", { value: values });
      }

      get configuration() {
        const row = /** @type {any} */ (this);
        return `${row.device}.${row.filter}.${row.speed}`;
      }
    }
    data.columns.forEach((/** @type {string} */ name, /** @type {number} */ at) => {
      Object.defineProperty(Row.prototype, name, {
        get() {
          return this.values[at];
        },
      });
    });
    return data.rows.map((/** @type {any[]} */ values) => new Row(values));
  }

  /**
   * @param {any} state
   * @returns {boolean} whether costs are to be reckoned anew
   */
  function reckons(state) {
    return OWN.some((name) => state[name] !== null && state[name] !== undefined);
  }

  /**
   * @param {Record<string, any>} row as measured
   * @param {any} data
   * @param {any} state
   * @returns {Record<string, any>} the same with costs by the reader's numbers
   */
  function own(row, data, state) {
    const assumed = data.assumed;
    if (!assumed || !reckons(state)) {
      return row;
    }
    const mine = reckon.byOwn(row, assumed, state);
    const found = reckon.costs(mine.parts, mine.assumed);
    // Defined, not assigned: a row's values cannot be.
    return { __proto__: row, ...found };
  }

  /**
   * @param {any} quantity
   * @param {any} data
   * @param {any} state
   * @returns {{unit: string, factor: number}} unit shown, and what values are divided by
   */
  function unitOf(quantity, data, state) {
    if (quantity.unit === "currency") {
      return { unit: state.rate ? state.rate.code : data.currency, factor: 1 };
    }
    const turned = (state.u || data.units) === "us" ? data.us[quantity.unit] : null;
    return turned
      ? { unit: turned[0], factor: turned[1] }
      : { unit: quantity.unit, factor: 1 };
  }

  /**
   * @param {any} quantity
   * @param {Record<string, any>} row with the reader's own costs
   * @param {any} data
   * @param {any} state
   * @returns {Shown}
   */
  function shown(quantity, row, data, state) {
    const value = row[quantity.name];
    if (value === null || value === undefined) {
      return { text: "", interval: "", value: null };
    }
    const words = data.words;
    const factor = unitOf(quantity, data, state).factor;
    /** @param {string} name */
    const limit = (name) => (name && row[name] !== null ? row[name] / factor : null);
    if (quantity.rounding === "money") {
      const written = fields.amounts(state.rate, data.currency, data.locale, words.to);
      return { text: written.money(value), interval: "", value: value };
    }
    if (quantity.rounding === "sound") {
      const level = numbers.halfDecibel(value, data.locale);
      if (row.sound_limit === "at_most") {
        const most = words.at_most.replace("{level}", level);
        return { text: most, interval: "", value: value };
      }
      const low = limit(quantity.low);
      const high = limit(quantity.high);
      const both = low !== null && high !== null;
      const ends = both
        ? [low, high].map((end) => numbers.halfDecibel(end, data.locale))
        : [];
      return { text: level, interval: span(ends, words), value: value };
    }
    if (quantity.rounding === "interval") {
      const found = numbers.interval(
        value / factor,
        limit(quantity.low),
        limit(quantity.high),
        data.locale,
      );
      const ends = found.low ? [found.low, found.high] : [];
      return { text: found.value, interval: span(ends, words), value: value };
    }
    const text = numbers.significant(value / factor, 3, data.locale);
    return { text: text, interval: "", value: value };
  }

  /** @param {string[]} ends @param {any} words */
  function span(ends, words) {
    if (!ends.length) {
      return "";
    }
    return ends[0] === ends[1]
      ? ends[0]
      : words.to.replace("{low}", ends[0]).replace("{high}", ends[1]);
  }

  Object.assign(window, {
    benchCells: { said, rowsOf, reckons, own, unitOf, shown, COSTS, OWN },
  });
})();
