/**
 * The form in which a reader says what is shown and by which numbers it is reckoned: read
 * into the state of the address, and filled in from it.
 */
(function () {
  "use strict";

  const queries = window.benchQuery;
  const filters = window.benchFilters;
  const numbers = window.benchNumbers;

  /** @type {[string, string][]} */
  const NUMBERS = [
    ["in-room", "room"],
    ["in-ceiling", "ceiling"],
    ["in-ach", "ach"],
    ["in-cap", "cap"],
    ["in-tariff", "tariff"],
    ["in-hours", "hours"],
    ["in-years", "years"],
    ["in-discount", "discount"],
    ["in-life", "life"],
  ];

  /** @param {HTMLElement} field @param {boolean} good */
  function mark(field, good) {
    if (good) {
      field.removeAttribute("aria-invalid");
    } else {
      field.setAttribute("aria-invalid", "true");
    }
  }

  /** @param {any} page see compare.js */
  function begin(page) {
    const { data, state, known, part } = page;

    /**
     * Reads one field through the grammar of the address, so that both take the same.
     * @param {string} key
     * @param {string} text
     * @returns {any} the state that it gives, or null where it is no value
     */
    function through(key, text) {
      const typed = numbers.plain(text);
      const found = queries.read(`${key}=${encodeURIComponent(typed)}`, known);
      return found.notes.length ? null : found.state;
    }

    /** A currency takes both its code and its rate. */
    function readRate() {
      const fields = [part("in-currency"), part("in-rate")];
      const [code, amount] = fields.map((field) => numbers.plain(field.value));
      const both = code !== "" && amount !== "";
      const found = both ? through("rate", `${code.toUpperCase()}:${amount}`) : null;
      fields.forEach((field) => mark(field, !both || found !== null));
      state.rate = found === null ? null : found.rate;
    }

    function read() {
      NUMBERS.forEach(([id, name]) => {
        const field = part(id);
        const found = through(name, field.value);
        mark(field, found !== null);
        state[name] = found === null ? null : found[name];
      });
      readRate();
      filters.fromForm(state, through, mark);
      state.q = part("in-text").value.trim().slice(0, 100);
      const units = part("in-units").value;
      state.u = units === data.units ? "" : units;
      if (part("chosen")) {
        ["figure", "scale", "x", "y"].forEach((name) => {
          state[name] = part(`in-${name}`).value;
        });
      }
      page.show();
    }

    function fill() {
      NUMBERS.forEach(([id, name]) => {
        part(id).value = state[name] === null ? "" : numbers.entered(state[name]);
      });
      part("in-currency").value = state.rate ? state.rate.code : "";
      part("in-rate").value = state.rate ? numbers.entered(state.rate.value) : "";
      filters.toForm(state);
      part("in-text").value = state.q;
      part("in-units").value = state.u || data.units;
      if (part("chosen")) {
        part("in-figure").value = state.figure || "ranked";
        part("in-scale").value = state.scale || "log";
        part("in-x").value = state.x || "sound_dba";
        part("in-y").value = state.y || "cadr_m3h";
      }
      const own = state.rate || NUMBERS.some(([, name]) => state[name] !== null);
      const more = part("own-numbers");
      if (more && own) {
        more.setAttribute("open", "");
      }
      const around = part("settings").closest("details");
      if (around && window.location.search) {
        around.open = true;
      }
    }

    part("settings").addEventListener("submit", (/** @type {Event} */ event) => {
      event.preventDefault();
    });
    ["input", "change"].forEach((kind) => {
      part("settings").addEventListener(kind, read);
      if (part("chosen")) {
        part("chosen-settings").addEventListener(kind, read);
      }
    });
    return { fill };
  }

  Object.assign(window, { benchForm: { begin } });
})();
