/**
 * The form in which a reader says what is shown and by which numbers it is reckoned: read
 * into the state of the address, and filled in from it.
 */
(function () {
  "use strict";

  const queries = window.benchQuery;
  const filters = window.benchFilters;
  const numbers = window.benchNumbers;
  const fields = window.benchOwnFields;

  const OWN = ["room", "ceiling", "ach", "cap", "tariff", "hours", "years", "discount",
    "life"];

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

    const own = fields.begin("in-", OWN);

    function read() {
      own.read(state);
      filters.fromForm(state, through, fields.mark);
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
      own.fill(state);
      filters.toForm(state);
      part("in-text").value = state.q;
      part("in-units").value = state.u || data.units;
      if (part("chosen")) {
        part("in-figure").value = state.figure || "ranked";
        part("in-scale").value = state.scale || "log";
        part("in-x").value = state.x || "sound_dba";
        part("in-y").value = state.y || "cadr_m3h";
      }
      const more = part("own-numbers");
      if (more && own.any(state)) {
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
