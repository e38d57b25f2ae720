/**
 * Numbers of a result under the reader's own units and assumptions, as text.
 */
(function () {
  "use strict";

  const numbers = window.benchNumbers;
  const reckon = window.benchReckon;
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
   * @param {any} data what the page holds
   * @returns {Record<string, any>[]} its rows, values by name
   */
  function rowsOf(data) {
    return data.rows.map((/** @type {any[]} */ cells) => {
      /** @type {Record<string, any>} */
      const row = {};
      data.columns.forEach((/** @type {string} */ name, /** @type {number} */ at) => {
        row[name] = cells[at];
      });
      row.configuration = [row.device, row.filter, row.speed].join(".");
      return row;
    });
  }

  /**
   * @param {Record<string, any>} row as measured
   * @param {any} data
   * @param {any} state
   * @returns {Record<string, any>} the same with costs by the reader's numbers
   */
  function own(row, data, state) {
    const assumed = data.assumed;
    /** @param {string} name */
    const said = (name) => state[name] !== null && state[name] !== undefined;
    if (!assumed || !OWN.some(said)) {
      return row;
    }
    /** @param {string} name @param {number} given */
    const or = (name, given) => (said(name) ? state[name] : given);
    const ownLife = said("life");
    const found = reckon.costs(
      {
        power_w: row.power_w,
        standby_w: row.standby_w,
        price: row.price,
        filter_change: row.filter_change,
        filter_months: ownLife ? state.life : row.filter_months,
        filter_hours: ownLife ? null : row.filter_hours,
      },
      {
        tariff: or("tariff", assumed.tariff),
        hours: or("hours", assumed.hours),
        years: or("years", assumed.years),
        discount: or("discount", assumed.discount),
      },
    );
    return Object.assign({}, row, found);
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
      const rate = state.rate ? state.rate.value : 1;
      const code = state.rate ? state.rate.code : data.currency;
      const amount = numbers.money(value * rate, code, data.locale);
      return { text: amount, interval: "", value: value };
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

  Object.assign(window, { benchCells: { rowsOf, own, unitOf, shown, COSTS, OWN } });
})();
