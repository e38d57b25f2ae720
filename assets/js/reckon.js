/**
 * A year's cost under the reader's own assumptions, by the formulas of the method's
 * text: the same as at compile time.
 */
(function () {
  "use strict";

  const DAYS_A_YEAR = 365;
  const DAYS_A_MONTH = 30.4167;

  /**
   * What a configuration's cost is reckoned from; null where it is not known.
   * @typedef {object} Parts
   * @property {number | null} power_w power while running
   * @property {number | null} standby_w power while off; counts as 0 when not known
   * @property {number | null} price of the device
   * @property {number | null} filter_change of one change of all pieces
   * @property {number | null} filter_months months between changes
   * @property {number | null} filter_hours running hours between changes
   * @property {number | null} [clean] clean air, m3/h, told from zero
   */

  // 97.5 % of a normal distribution lie below so many deviations.
  const Z95 = 1.959963984540054;

  /**
   * What the ends of a cost rest on; null where there is none.
   * @typedef {object} Scatter
   * @property {number | null} power_sd deviation of the power's readings
   * @property {number | null} standby_below_w bound of the power while off, where no
   *   more is known of it
   * @property {number | null} filter_least shortest plausible life, in the unit of the
   *   life itself
   * @property {number | null} filter_most longest plausible life
   * @property {number | null} [clean_low] of the clean air, m3/h, above 0
   * @property {number | null} [clean_high] of the clean air, m3/h
   */

  /**
   * @typedef {object} Assumed
   * @property {number} tariff price of one kWh
   * @property {number} hours hours a day, 0 to 24
   * @property {number} years
   * @property {number} discount per cent a year
   */

  /**
   * @param {Parts} parts
   * @param {number} hours
   * @returns {number | null} months between changes; null where there are none
   */
  function months(parts, hours) {
    if (parts.filter_hours !== null) {
      return hours > 0 ? parts.filter_hours / (hours * DAYS_A_MONTH) : null;
    }
    return parts.filter_months;
  }

  /**
   * @param {Parts} parts
   * @param {Assumed} assumed
   */
  function energyKwhYear(parts, assumed) {
    if (parts.power_w === null) {
      return null;
    }
    const off = (parts.standby_w || 0) * (24 - assumed.hours);
    return ((parts.power_w * assumed.hours + off) * DAYS_A_YEAR) / 1000;
  }

  /**
   * @param {Parts} parts
   * @param {Assumed} assumed
   */
  function filterCostYear(parts, assumed) {
    if (parts.filter_change === 0) {
      return 0;
    }
    const interval = months(parts, assumed.hours);
    if (parts.filter_change === null || interval === null) {
      return null;
    }
    return (parts.filter_change * 12) / interval;
  }

  /**
   * What so many equal payments are worth today: the sum of growth^(-apart n), closed, for
   * a reader may set a life that asks for millions of changes.
   * @param {number} payments
   * @param {number} growth of money in a year, 1 where nothing is discounted
   * @param {number} apart years between them, the first after as many
   */
  function worth(payments, growth, apart) {
    const rate = apart * Math.log(growth);
    return rate === 0
      ? payments
      : (Math.exp(-rate) * Math.expm1(-rate * payments)) / Math.expm1(-rate);
  }

  /**
   * Price, filters bought and electricity over the years, discounted where a rate is
   * assumed: each filter from the month it is bought, each year's electricity from the
   * year's middle.
   * @param {Parts} parts
   * @param {Assumed} assumed
   * @param {number | null} energyCost of a year
   */
  function ownershipCost(parts, assumed, energyCost) {
    const years = assumed.years;
    if (parts.price === null || energyCost === null || years < 1) {
      return null;
    }
    const growth = 1 + assumed.discount / 100;
    let total = parts.price;
    if (parts.filter_change !== 0) {
      const interval = months(parts, assumed.hours);
      if (parts.filter_change === null || interval === null) {
        return null;
      }
      // Without the small allowance 12 * 5 / 7.5 could become 8.000000000000001.
      const changes = Math.max(Math.ceil((12 * years) / interval - 1e-9) - 1, 0);
      total += parts.filter_change * worth(changes, growth, interval / 12);
    }
    for (let year = 0; year < years; year += 1) {
      total += energyCost / growth ** (year + 0.5);
    }
    return total;
  }

  /**
   * @param {number | null} owning cost over the years
   * @param {number | null | undefined} clean air, m3/h
   * @param {Assumed} assumed
   * @returns {number | null} cost of 1,000 m3 of clean air
   */
  function costPer1000(owning, clean, assumed) {
    if (owning === null || !clean || assumed.hours <= 0) {
      return null;
    }
    return (owning / (clean * assumed.hours * DAYS_A_YEAR * assumed.years)) * 1000;
  }

  /**
   * @param {Parts} parts
   * @param {Assumed} assumed
   */
  function costs(parts, assumed) {
    const energy = energyKwhYear(parts, assumed);
    const energyCost = energy === null ? null : energy * assumed.tariff;
    const filters = filterCostYear(parts, assumed);
    const owning = ownershipCost(parts, assumed, energyCost);
    return {
      energy_kwh_year: energy,
      energy_cost_year: energyCost,
      filter_cost_year: filters,
      running_cost_year:
        energyCost === null || filters === null ? null : energyCost + filters,
      ownership_cost: owning,
      per_1000_m3: costPer1000(owning, parts.clean, assumed),
    };
  }

  /**
   * @param {Parts & Scatter} parts
   * @param {number} end -1 for the cheap one, 1 for the dear one
   * @returns {Parts} all of them at that end at once
   */
  function atEnd(parts, end) {
    const life = end < 0 ? parts.filter_most : parts.filter_least;
    /** @param {number | null} mean */
    const lasting = (mean) => (mean === null || life === null ? mean : life);
    const off = end < 0 ? 0 : parts.standby_below_w;
    return {
      power_w: parts.power_w === null
        ? null
        : Math.max(parts.power_w + end * Z95 * (parts.power_sd || 0), 0),
      standby_w: parts.standby_below_w === null ? parts.standby_w : off,
      price: parts.price,
      filter_change: parts.filter_change,
      filter_months: lasting(parts.filter_months),
      filter_hours: lasting(parts.filter_hours),
      clean: end < 0 ? parts.clean_high : parts.clean_low,
    };
  }

  /**
   * What a reader sets in place of what was recorded and assumed.
   * @param {any} parts as recorded
   * @param {Assumed} assumed by the archive
   * @param {Record<string, any>} state the reader's own numbers; null where none is set
   * @returns {{parts: any, assumed: Assumed}}
   */
  function byOwn(parts, assumed, state) {
    /** @param {string} name @param {number} given */
    const or = (name, given) => (
      state[name] === null || state[name] === undefined ? given : state[name]);
    const ownLife = state.life !== null && state.life !== undefined;
    // A life that the reader sets is exact.
    const life = ownLife
      ? { filter_months: state.life, filter_hours: null, filter_least: null,
          filter_most: null }
      : {};
    return {
      parts: { __proto__: parts, ...life },
      assumed: {
        tariff: or("tariff", assumed.tariff),
        hours: or("hours", assumed.hours),
        years: or("years", assumed.years),
        discount: or("discount", assumed.discount),
      },
    };
  }

  /**
   * Cheap is low power, a long life of the filter and much clean air, all at once; dear
   * the reverse.
   * @param {Parts & Scatter} parts
   * @param {Assumed} assumed
   * @returns {Record<string, [number, number] | null>} cheap and dear end of each cost;
   *   null where there is no cost or both ends are the cost itself
   */
  function costEnds(parts, assumed) {
    /** @type {Record<string, number | null>} */
    const cheap = costs(atEnd(parts, -1), assumed);
    /** @type {Record<string, number | null>} */
    const dear = costs(atEnd(parts, 1), assumed);
    /** @type {Record<string, [number, number] | null>} */
    const ends = {};
    Object.keys(cheap).forEach((name) => {
      const [low, high] = [cheap[name], dear[name]];
      ends[name] = low === null || high === null || low === high ? null : [low, high];
    });
    return ends;
  }

  /**
   * @param {number} running cost of a year
   * @param {number} price of all machines
   * @param {number} years over which the price is spread, above 0
   * @returns {number} a year's cost with an equal share of the price
   */
  function costWithPrice(running, price, years) {
    return running + price / years;
  }

  /**
   * @param {number} cadr m3/h
   * @param {number} area floor, m2
   * @param {number} ceiling m
   * @returns {number} air changes per hour, if all the clean air reached all the room
   */
  function airChanges(cadr, area, ceiling) {
    return cadr / (area * ceiling);
  }

  /**
   * @param {number} cadr m3/h
   * @param {number} changes air changes an hour
   * @param {number} ceiling m
   * @returns {number} floor that gets so many air changes, m2
   */
  function floorArea(cadr, changes, ceiling) {
    return cadr / (changes * ceiling);
  }

  /**
   * @param {number} changes air changes an hour wanted
   * @param {number} volume of the room, m3
   * @param {number} cadr of one machine, m3/h, above 0
   * @returns {number} how many equal machines that takes
   */
  function unitsNeeded(changes, volume, cadr) {
    return Math.max(Math.ceil((changes * volume) / cadr - 1e-9), 0);
  }

  /**
   * @param {number} level of one machine, dB(A)
   * @param {number} units
   * @returns {number} level of all of them
   */
  function severalUnits(level, units) {
    return level + 10 * Math.log10(units);
  }

  /**
   * @param {number} cap for all machines together, dB(A)
   * @param {number} units
   * @returns {number} what each of them may make
   */
  function capOfOne(cap, units) {
    return cap - 10 * Math.log10(units);
  }

  Object.assign(window, {
    benchReckon: { byOwn, costs, costEnds, costWithPrice, airChanges, floorArea, unitsNeeded,
      severalUnits, capOfOne },
  });
})();
