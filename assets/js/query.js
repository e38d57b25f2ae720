/**
 * The state of the compare page as its address holds it: read, and written in one
 * way. What is unknown, malformed, repeated or gone is left out with a note; reading
 * never fails. The same grammar as at compile time, held equal by shared cases.
 */
(function () {
  "use strict";

  const own = window.benchOwnValues;
  const { number, decimal } = own;
  const VERSION = "1";
  const MOST = 24;
  const MOST_CHARACTERS = 16000;
  const LONGEST_TEXT = 100;
  const ID = "[a-z0-9][a-z0-9-]{0,63}";
  const CONFIGURATION = new RegExp("^" + ID + "\\." + ID + "\\." + ID + "$");
  /** @type {("u" | "tariff" | "hours" | "years" | "discount" | "life" | "rate" | "room" |
   *   "ceiling" | "ach" | "cap")[]} */
  const OWN = ["u", "tariff", "hours", "years", "discount", "life", "rate", "room",
    "ceiling", "ach", "cap"];
  const UNPRINTABLE = /[\x00-\x1f\x7f-\x9f\u2028\u2029\ufffd]/;

  /**
   * @typedef {object} Filter
   * @property {string[]} values for a text: the values taken
   * @property {number | null} low for a number
   * @property {number | null} high for a number
   */

  /**
   * @typedef {object} State
   * @property {string[]} c configurations chosen
   * @property {string} figure
   * @property {string} x
   * @property {string} y
   * @property {string} scale of the axis of decay curves
   * @property {string} sort quantity, with a leading hyphen for the largest first
   * @property {string[]} cols columns shown, where not all are
   * @property {string} q text to look for
   * @property {Record<string, Filter>} filters by the name of their field
   * @property {string} u units
   * @property {number | null} tariff
   * @property {number | null} hours
   * @property {number | null} years whole
   * @property {number | null} discount per cent a year
   * @property {number | null} life months between filter changes
   * @property {{code: string, value: number} | null} rate
   * @property {number | null} room floor, m2
   * @property {number | null} ceiling m
   * @property {number | null} ach air changes an hour that one machine must reach
   * @property {number | null} cap dB(A)
   */

  /**
   * What an address is read against.
   * @typedef {object} Known
   * @property {{has: (name: string) => boolean} | null} configurations those with a
   *   result; null takes all
   * @property {Record<string, "text" | "number">} fields that filters may name, in order
   * @property {string[]} columns that can be sorted by
   * @property {string[]} shown columns that may be chosen to be seen, in order
   * @property {string[]} axes quantities that can be drawn
   * @property {string[]} figures
   * @property {Record<string, Record<string, string>>} [moved] former ids and those of
   *   now, by kind
   */

  /** @typedef {{trouble: string, key: string, value: string}} Note */

  /** @returns {State} */
  function empty() {
    return {
      c: [],
      figure: "",
      x: "",
      y: "",
      scale: "",
      sort: "",
      cols: [],
      q: "",
      filters: {},
      u: "",
      tariff: null,
      hours: null,
      years: null,
      discount: null,
      life: null,
      rate: null,
      room: null,
      ceiling: null,
      ach: null,
      cap: null,
    };
  }

  /** @param {string} text */
  function decoded(text) {
    const bytes = text
      .replace(/\+/g, " ")
      .replace(/%([0-9a-fA-F]{2})/g, (whole, hex) =>
        String.fromCharCode(parseInt(hex, 16) + 0xf700));
    // Bytes written as %XX are gathered and read as UTF-8, the rest stands as it is.
    return bytes.replace(/[\uf700-\uf7ff]+/g, (run) => {
      const found = Uint8Array.from(run, (one) => one.charCodeAt(0) - 0xf700);
      return new TextDecoder("utf-8").decode(found);
    });
  }

  /** @param {string} text @returns {Filter | null} */
  function limits(text) {
    const dots = text.indexOf("..");
    if (dots < 0) {
      const exact = number(text);
      return exact === null ? null : { values: [], low: exact, high: exact };
    }
    const first = text.slice(0, dots);
    const last = text.slice(dots + 2);
    const low = number(first);
    const high = number(last);
    if ((first && low === null) || (last && high === null) || !(first || last)) {
      return null;
    }
    return low !== null && high !== null && low > high
      ? null
      : { values: [], low: low, high: high };
  }

  /**
   * @param {string} query with or without its question mark
   * @param {Known} known
   * @returns {{state: State, notes: Note[]}}
   */
  function read(query, known) {
    const state = empty();
    /** @type {Note[]} */
    const notes = [];
    /** @type {string[]} */
    const chosen = [];
    /** @type {string[]} */
    const columns = [];
    const seen = new Set();
    /** @param {string} trouble @param {string} key @param {string} value */
    function note(trouble, key, value) {
      notes.push({ trouble: trouble, key: key, value: value });
    }
    pairs(query.replace(/^\?/, ""), note).forEach(([key, value]) => {
      if (key === "c") {
        chosen.push(...value.split(","));
      } else if (key === "cols") {
        columns.push(...value.split(","));
      } else if (key.slice(0, 2) === "f.") {
        filter(state.filters, known, key, filteredNow(known, key.slice(2), value), note);
      } else if (seen.has(key)) {
        note("repeated", key, value);
      } else {
        seen.add(key);
        take(state, known, key, value, note);
      }
    });
    choose(state, known, chosen, note);
    const named = new Set(columns.map((name) => name.trim()));
    Array.from(named)
      .filter((name) => name && known.shown.indexOf(name) < 0)
      .slice(0, MOST)
      .forEach((name) => note("unknown", "cols", name));
    state.cols = known.shown.filter((name) => named.has(name));
    /** @type {Record<string, Filter>} */
    const ordered = {};
    Object.keys(known.fields).forEach((field) => {
      if (state.filters[field]) {
        ordered[field] = state.filters[field];
      }
    });
    state.filters = ordered;
    const unprintable = new RegExp(UNPRINTABLE.source, "g");
    notes.forEach((each) => {
      each.key = each.key.replace(unprintable, "\ufffd").slice(0, LONGEST_TEXT);
      each.value = each.value.replace(unprintable, "\ufffd").slice(0, LONGEST_TEXT);
    });
    return { state: state, notes: notes };
  }

  // What a filter names by an id, which may have moved.
  /** @type {Record<string, string>} */
  const KIND_OF_FILTER = {
    device: "device",
    filter: "filter",
    method: "method",
    sound_method: "method",
    power_method: "method",
  };

  /**
   * The id of now, of one that may have moved.
   * @param {Known} known
   * @param {string} kind
   * @param {string} id
   */
  function idNow(known, kind, id) {
    const own = Object.prototype.hasOwnProperty;
    const moved = known.moved || {};
    return own.call(moved, kind) && own.call(moved[kind], id) ? moved[kind][id] : id;
  }

  /** @param {Known} known @param {string} name @param {string} value */
  function filteredNow(known, name, value) {
    return Object.prototype.hasOwnProperty.call(KIND_OF_FILTER, name)
      ? idNow(known, KIND_OF_FILTER[name], value)
      : value;
  }

  /** @param {Known} known @param {string} name */
  function configurationNow(known, name) {
    if (!CONFIGURATION.test(name)) {
      return name;
    }
    const parts = name.split(".");
    const device = idNow(known, "device", parts[0]);
    return [device, idNow(known, "filter", parts[1]), parts[2]].join(".");
  }

  /**
   * @param {string} text
   * @param {(trouble: string, key: string, value: string) => void} note
   * @returns {[string, string][]}
   */
  function pairs(text, note) {
    let whole = text;
    if (whole.length > MOST_CHARACTERS) {
      note("too-long", "", "");
      const cut = whole.slice(0, MOST_CHARACTERS);
      whole = cut.slice(0, Math.max(cut.lastIndexOf("&"), 0));
    }
    /** @type {[string, string][]} */
    const found = [];
    whole.split("&").forEach((part) => {
      const at = part.indexOf("=");
      const key = decoded(at < 0 ? part : part.slice(0, at));
      const value = decoded(at < 0 ? "" : part.slice(at + 1)).trim();
      if (!value) {
        return;
      }
      if (UNPRINTABLE.test(key + value)) {
        note("malformed", key, value);
      } else {
        found.push([key, value]);
      }
    });
    return found;
  }

  /**
   * @param {State} state
   * @param {Known} known
   * @param {string} key
   * @param {string} value
   * @param {(trouble: string, key: string, value: string) => void} note
   */
  function take(state, known, key, value, note) {
    /** @param {string[]} allowed */
    function one(allowed) {
      return allowed.indexOf(value) < 0 ? null : value;
    }
    /** @type {Record<string, () => any>} */
    const readers = {
      figure: () => one(known.figures),
      x: () => one(known.axes),
      y: () => one(known.axes),
      scale: () => one(["log", "linear"]),
      sort: () => (known.columns.indexOf(value.replace(/^-/, "")) < 0 ? null : value),
      q: () => (value.length <= LONGEST_TEXT ? value : null),
    };
    if (key === "v") {
      if (value !== VERSION) {
        note("version", key, value);
      }
    } else {
      const found = Object.prototype.hasOwnProperty.call(readers, key)
        ? readers[key]()
        : own.value(key, value);
      if (found === undefined) {
        note("unknown", key, value);
      } else if (found === null) {
        note("malformed", key, value);
      } else {
        Object.assign(state, { [key]: found });
      }
    }
  }

  /**
   * @param {State} state
   * @param {Known} known
   * @param {string[]} asked
   * @param {(trouble: string, key: string, value: string) => void} note
   */
  function choose(state, known, asked, note) {
    asked.forEach((text) => {
      const name = configurationNow(known, text.trim());
      if (!name || state.c.indexOf(name) >= 0) {
        return;
      }
      if (!CONFIGURATION.test(name)) {
        note("malformed", "c", name);
      } else if (known.configurations && !known.configurations.has(name)) {
        note("gone", "c", name);
      } else if (state.c.length === MOST) {
        note("too-many", "c", name);
      } else {
        state.c.push(name);
      }
    });
  }

  /**
   * @param {Record<string, Filter>} filters
   * @param {Known} known
   * @param {string} key
   * @param {string} value
   * @param {(trouble: string, key: string, value: string) => void} note
   */
  function filter(filters, known, key, value, note) {
    const name = key.slice(2);
    const kind = Object.prototype.hasOwnProperty.call(known.fields, name)
      ? known.fields[name]
      : "";
    const before = filters[name];
    if (!kind) {
      note("unknown", key, value);
    } else if (kind === "number") {
      const found = limits(value);
      if (before) {
        note("repeated", key, value);
      } else if (!found) {
        note("malformed", key, value);
      } else {
        filters[name] = found;
      }
    } else if (value.length > LONGEST_TEXT) {
      note("malformed", key, value);
    } else {
      const values = before ? before.values : [];
      if (values.indexOf(value) < 0) {
        if (values.length === MOST) {
          note("too-many", key, value);
        } else {
          filters[name] = { values: [...values, value], low: null, high: null };
        }
      }
    }
  }

  /** @param {string} text @param {string} kept signs that stay readable */
  function escaped(text, kept) {
    const strict = encodeURIComponent(text).replace(
      /[!'()*]/g,
      (sign) => "%" + sign.charCodeAt(0).toString(16).toUpperCase(),
    );
    return kept.split("").reduce(
      (done, sign) => done.split(encodeURIComponent(sign)).join(sign),
      strict,
    );
  }

  /**
   * @param {State} state
   * @returns {string} the query without its question mark; "" for the plain page
   */
  function write(state) {
    /** @type {[string, string][]} */
    const found = [
      ["c", state.c.join(",")],
      ["figure", state.figure],
      ["x", state.x],
      ["y", state.y],
      ["scale", state.scale],
      ["sort", state.sort],
      ["cols", state.cols.join(",")],
      ["q", state.q],
    ];
    Object.keys(state.filters).forEach((field) => {
      const each = state.filters[field];
      each.values.forEach((value) => found.push(["f." + field, value]));
      const low = decimal(each.low);
      const high = decimal(each.high);
      if (low && low === high) {
        found.push(["f." + field, low]);
      } else if (low || high) {
        found.push(["f." + field, low + ".." + high]);
      }
    });
    OWN.forEach((name) => found.push([name, own.text(state[name])]));
    const said = found.filter((pair) => pair[1]);
    return said.length
      ? [["v", VERSION], ...said]
          .map((pair) => escaped(pair[0], "") + "=" + escaped(pair[1], ",:"))
          .join("&")
      : "";
  }

  Object.assign(window, { benchQuery: { read, write, empty, MOST } });
})();
