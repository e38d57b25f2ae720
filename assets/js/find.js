/**
 * Which settings serve a room, by the formulas of the compiled answer: one setting a
 * device, the cheapest to own first.
 */
(function () {
  "use strict";

  const reckon = /** @type {any} */ (window).benchReckon;

  /**
   * @typedef {object} Wanted
   * @property {number} volume m3
   * @property {number} ach air changes per hour
   * @property {number} cap dB(A), all units together
   * @property {number | null} budget price of all units together
   * @property {number} hours
   * @property {number} tariff
   * @property {number} years over which the price is spread
   */

  /**
   * @param {Record<string, any>} row
   * @param {Wanted} wanted
   * @param {any} data
   */
  function pick(row, wanted, data) {
    const units = reckon.unitsNeeded(wanted.ach, wanted.volume, row.cadr_low);
    if (!(units >= 1 && units <= data.most_units)) {
      return null;
    }
    const sound = reckon.severalUnits(row.sound_dba, units);
    const assumed = {
      tariff: wanted.tariff,
      hours: wanted.hours,
      years: wanted.years,
      discount: data.assumed.discount,
    };
    const cost = reckon.costs(row, assumed);
    const first = row.first_price === null ? null : row.first_price * units;
    const running = cost.running_cost_year === null ? null : cost.running_cost_year * units;
    if (sound > wanted.cap) {
      return null;
    }
    if (wanted.budget !== null && (first === null || first > wanted.budget)) {
      return null;
    }
    const ends = reckon.costEnds(row, assumed).running_cost_year;
    const all = ends && ends.map((/** @type {number} */ end) => end * units);
    return {
      row: row,
      units: units,
      sound_dba: sound,
      first_cost: first,
      running_cost_year: running,
      owning_cost_year: running === null || first === null
        ? null
        : reckon.costWithPrice(running, first, wanted.years),
      running_ends: all,
      owning_ends: all === null || first === null
        ? null
        : all.map((/** @type {number} */ end) =>
          reckon.costWithPrice(end, first, wanted.years)),
      near_cap: row.sound_high !== null && reckon.severalUnits(row.sound_high, units) > wanted.cap,
    };
  }

  /** @param {any} one @param {any} other by what it costs to own, unknown costs last */
  function order(one, other) {
    /** @param {any} found */
    const unknown = (found) => Number(found.owning_cost_year === null);
    /** @param {any} found */
    const cost = (found) => found.owning_cost_year || 0;
    const names = [one, other].map((found) => found.row.configuration);
    return unknown(one) - unknown(other)
      || cost(one) - cost(other)
      || one.units - other.units
      || (names[0] < names[1] ? -1 : Number(names[0] > names[1]));
  }

  /**
   * @param {any} data of the finder
   * @param {Wanted} wanted
   * @returns {any[]} what serves the room, the first the cheapest to own
   */
  function picks(data, wanted) {
    const best = new Map();
    data.rows.forEach((/** @type {any[]} */ values) => {
      /** @type {Record<string, any>} */
      const row = {};
      data.columns.forEach((/** @type {string} */ name, /** @type {number} */ at) => {
        row[name] = values[at];
      });
      const found = pick(row, wanted, data);
      const known = best.get(row.device);
      if (found && (!known || order(found, known) < 0)) {
        best.set(row.device, found);
      }
    });
    return Array.from(best.values()).sort(order).slice(0, data.most_picks);
  }

  Object.assign(window, { benchFind: { picks } });
})();
