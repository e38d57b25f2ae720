/**
 * What each of a reader's own numbers may be: one grammar for addresses, forms and what
 * is remembered.
 */
(function () {
  "use strict";

  const NUMBER = /^-?[0-9]{1,9}(?:\.[0-9]{1,9})?$/;

  /** @param {string} text @returns {number | null} */
  function number(text) {
    if (!NUMBER.test(text)) {
      return null;
    }
    // Adding nought turns a minus nought into a plain one.
    const value = Number(text) + 0;
    return Math.abs(value) < 1e9 ? value : null;
  }

  /**
   * @param {string} text
   * @param {number} low
   * @param {number} high
   * @param {boolean} above whether the lower end itself is not taken
   */
  function within(text, low, high, above) {
    const value = number(text);
    if (value === null || value < low || value > high || (above && value === low)) {
      return null;
    }
    return value;
  }

  /** @param {string} text */
  function years(text) {
    const found = within(text, 1, 50, false);
    return found !== null && Number.isInteger(found) ? found : null;
  }

  /** @param {string} text */
  function rate(text) {
    const found = /^([A-Z]{3}):(.*)$/.exec(text);
    const value = found ? number(found[2]) : null;
    return found && value !== null && value > 0 ? { code: found[1], value: value } : null;
  }

  /** @type {Map<string, (text: string) => any>} */
  const READERS = new Map(Object.entries({
    u: (text) => (text === "metric" || text === "us" ? text : null),
    tariff: (text) => within(text, 0, 1e6, false),
    hours: (text) => within(text, 0, 24, false),
    years: years,
    discount: (text) => within(text, 0, 100, false),
    life: (text) => within(text, 0, 600, true),
    rate: rate,
    room: (text) => within(text, 0, 1e5, true),
    ceiling: (text) => within(text, 0, 100, true),
    ach: (text) => within(text, 0, 100, true),
    cap: (text) => within(text, 0, 200, true),
  }));

  /**
   * @param {string} name as in the address
   * @param {string} text
   * @returns {any} null where it is no value of that name; undefined for no such name
   */
  function value(name, text) {
    const reader = READERS.get(name);
    return reader ? reader(text) : undefined;
  }

  /** @param {number | null} given @returns {string} as it stands in an address */
  function decimal(given) {
    if (given === null) {
      return "";
    }
    const text = given.toFixed(9).replace(/0+$/, "").replace(/\.$/, "");
    return text === "-0" ? "0" : text;
  }

  /**
   * @param {any} given a value of that name, or nothing
   * @returns {string} as it stands in an address
   */
  function text(given) {
    if (given === null || given === "") {
      return "";
    }
    if (typeof given === "string") {
      return given;
    }
    return given.code ? `${given.code}:${decimal(given.value)}` : decimal(given);
  }

  Object.assign(window, { benchOwnValues: { number, value, decimal, text } });
})();
