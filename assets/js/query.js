/**
 * The state of the compare page as its address holds it. What is unknown, malformed
 * or gone is left out and named, so that the page can say so.
 */
(function () {
  "use strict";

  const VERSION = "1";
  const MOST = 24;
  const FIGURES = ["ranked", "scatter"];
  const CURRENCY_RATE = /^([A-Z]{3}):([0-9.]+)$/;

  /**
   * @typedef {object} Filter
   * @property {string[] | null} one_of texts taken, or null for a range
   * @property {number | null} low
   * @property {number | null} high
   */

  /**
   * @typedef {object} State
   * @property {string[]} c configurations chosen
   * @property {string} figure
   * @property {string} x
   * @property {string} y
   * @property {string} sort quantity, with a leading hyphen for the largest first
   * @property {Record<string, Filter>} filters by the name of their field
   * @property {string} u units
   * @property {number | null} tariff
   * @property {number | null} hours
   * @property {{code: string, value: number} | null} rate
   * @property {number | null} room floor, m2
   * @property {number | null} ceiling m
   * @property {number | null} cap dB(A)
   */

  /**
   * What the page holds, to read an address against.
   * @typedef {object} Known
   * @property {Set<string>} configurations
   * @property {Set<string>} quantities that can be sorted and drawn
   * @property {Set<string>} numbers fields that hold numbers
   * @property {Set<string>} texts fields that hold texts
   * @property {boolean} costs whether costs can be reckoned anew
   */

  /** @typedef {{code: string, what: string}} Note */

  /** @returns {State} */
  function empty() {
    return {
      c: [],
      figure: "",
      x: "",
      y: "",
      sort: "",
      filters: {},
      u: "",
      tariff: null,
      hours: null,
      rate: null,
      room: null,
      ceiling: null,
      cap: null,
    };
  }

  /**
   * @param {string} text
   * @param {number} low least, itself taken only where `open` is false
   * @param {number} high greatest
   * @param {boolean} open
   * @returns {number | null}
   */
  function number(text, low, high, open) {
    if (!/^[0-9]{1,9}(\.[0-9]{1,9})?$/.test(text)) {
      return null;
    }
    const value = Number(text);
    return value > high || value < low || (open && value === low) ? null : value;
  }

  /**
   * `..40`, `10..`, `10..40`, `12`.
   * @param {string} text
   * @returns {Filter | null}
   */
  function range(text) {
    const parts = text.split("..");
    const ends = parts.length === 1 ? [text, text] : parts;
    if (ends.length !== 2 || ends.every((end) => end === "")) {
      return null;
    }
    const limits = ends.map((end) => (end === "" ? null : number(end, 0, 1e9, false)));
    if (ends.some((end, at) => end !== "" && limits[at] === null)) {
      return null;
    }
    return { one_of: null, low: limits[0], high: limits[1] };
  }

  /**
   * @param {string} query
   * @param {Known} known
   * @returns {{state: State, notes: Note[]}}
   */
  function read(query, known) {
    const state = empty();
    /** @type {Note[]} */
    const notes = [];
    new URLSearchParams(query).forEach((value, key) => {
      const code = take(state, known, notes, key, value.trim());
      if (code) {
        notes.push({ code: code, what: key + "=" + value.slice(0, 60) });
      }
    });
    return { state: state, notes: notes };
  }

  /**
   * Takes one pair into the state.
   * @param {State} state
   * @param {Known} known
   * @param {Note[]} notes
   * @param {string} key
   * @param {string} value
   * @returns {string} code of why it was not taken, or ""
   */
  function take(state, known, notes, key, value) {
    if (key.slice(0, 2) === "f.") {
      return takeFilter(state, known, key.slice(2), value);
    }
    switch (key) {
      case "v":
        return value === VERSION ? "" : "version";
      case "c":
        takeChosen(state, known, notes, value);
        return "";
      case "sort":
        if (!known.quantities.has(value.replace(/^-/, ""))) {
          return "unknown_quantity";
        }
        state.sort = value;
        return "";
      case "x":
      case "y":
        if (!known.quantities.has(value)) {
          return "unknown_quantity";
        }
        state[key] = value;
        return "";
      case "figure":
        if (value === "decay") {
          state.figure = "ranked";
          return "no_decay";
        }
        if (FIGURES.indexOf(value) < 0) {
          return "bad_value";
        }
        state.figure = value;
        return "";
      case "u":
        if (value !== "metric" && value !== "us") {
          return "bad_value";
        }
        state.u = value;
        return "";
      case "rate": {
        const found = CURRENCY_RATE.exec(value);
        const rate = found ? number(found[2], 0, 1e9, true) : null;
        if (!found || rate === null) {
          return "bad_value";
        }
        state.rate = { code: found[1], value: rate };
        return "";
      }
      case "tariff":
      case "hours":
        if (!known.costs) {
          return "no_costs";
        }
        state[key] = number(value, 0, key === "hours" ? 24 : 1000, key === "hours");
        return state[key] === null ? "bad_value" : "";
      case "room":
      case "ceiling":
      case "cap":
        state[key] = number(value, 0, 100000, true);
        return state[key] === null ? "bad_value" : "";
      default:
        return "unknown_key";
    }
  }

  /**
   * @param {State} state
   * @param {Known} known
   * @param {Note[]} notes
   * @param {string} value
   */
  function takeChosen(state, known, notes, value) {
    const asked = value.split(",").filter((one) => one !== "");
    asked.forEach((one) => {
      if (!known.configurations.has(one)) {
        notes.push({ code: "unknown_row", what: one.slice(0, 200) });
      } else if (state.c.indexOf(one) < 0) {
        if (state.c.length < MOST) {
          state.c.push(one);
        } else if (!notes.some((note) => note.code === "too_many")) {
          notes.push({ code: "too_many", what: "" });
        }
      }
    });
  }

  /**
   * @param {State} state
   * @param {Known} known
   * @param {string} field
   * @param {string} value
   * @returns {string}
   */
  function takeFilter(state, known, field, value) {
    if (known.texts.has(field)) {
      const wanted = value.split(",").filter((one) => one !== "");
      if (!wanted.length) {
        return "bad_value";
      }
      state.filters[field] = { one_of: wanted, low: null, high: null };
      return "";
    }
    if (!known.numbers.has(field)) {
      return "unknown_quantity";
    }
    const found = range(value);
    if (!found) {
      return "bad_value";
    }
    state.filters[field] = found;
    return "";
  }

  /**
   * @param {State} state
   * @returns {string} the query without its question mark; "" for the plain page
   */
  function write(state) {
    /** @type {[string, string][]} */
    const pairs = [];
    /** @param {string} key @param {string | number | null} value */
    function add(key, value) {
      if (value !== "" && value !== null) {
        pairs.push([key, String(value)]);
      }
    }
    add("c", state.c.join(","));
    add("figure", state.figure);
    add("x", state.x);
    add("y", state.y);
    add("sort", state.sort);
    Object.keys(state.filters).forEach((field) => {
      const filter = state.filters[field];
      if (filter.one_of) {
        add("f." + field, filter.one_of.join(","));
      } else if (filter.low !== null && filter.low === filter.high) {
        add("f." + field, filter.low);
      } else {
        const ends = [filter.low, filter.high];
        add("f." + field, ends.map((end) => (end === null ? "" : end)).join(".."));
      }
    });
    add("u", state.u);
    add("tariff", state.tariff);
    add("hours", state.hours);
    add("rate", state.rate ? state.rate.code + ":" + state.rate.value : "");
    add("room", state.room);
    add("ceiling", state.ceiling);
    add("cap", state.cap);
    if (!pairs.length) {
      return "";
    }
    pairs.unshift(["v", VERSION]);
    // Ids, numbers and names need no escape; commas and dots stay readable.
    return pairs
      .map((pair) => pair[0] + "=" + encodeURIComponent(pair[1]).replace(/%2C/g, ",")
        .replace(/%3A/g, ":"))
      .join("&");
  }

  Object.assign(window, { benchQuery: { read, write, empty, MOST } });
})();
