/**
 * Which rows of a table a reader has asked for: by text, by what a row is or measures,
 * and by the need of the reader's own room.
 */
(function () {
  "use strict";

  /** @param {string} id @returns {any} */
  function part(id) {
    return document.getElementById(id);
  }

  // Choices of the form: its field, what the address calls it.
  const CHOICES = [
    ["in-form", "form"],
    ["in-class", "filter_class"],
  ];
  // Limits of the form: its field, the quantity, and which end is typed.
  const LIMITS = [
    ["in-clean", "cadr_m3h", "low"],
    ["in-sound", "sound_dba", "high"],
    ["in-price", "price", "high"],
  ];

  /**
   * @param {any} data
   * @param {any} state
   * @returns {number | null} clean air that the reader's room needs, m3/h
   */
  function need(data, state) {
    const ceiling = state.ceiling === null
      ? data.assumed && data.assumed.ceiling
      : state.ceiling;
    return state.room === null || state.ach === null || !ceiling
      ? null
      : state.room * ceiling * state.ach;
  }

  /**
   * @param {any} filter
   * @param {any} value
   */
  function meets(filter, value) {
    if (filter.values.length) {
      const said = String(value).toLocaleLowerCase();
      return filter.values.some((/** @type {string} */ each) =>
        each.toLocaleLowerCase() === said);
    }
    return value !== null
      && (filter.low === null || value >= filter.low)
      && (filter.high === null || value <= filter.high);
  }

  /**
   * @param {any} data
   * @param {any} state
   * @returns {boolean} whether anything is asked for that a row may not be
   */
  function asked(data, state) {
    return Boolean(state.q) || need(data, state) !== null
      || Object.keys(state.filters).length > 0;
  }

  /**
   * @param {any} line with the text of the row, in small letters
   * @param {any} row its numbers, under the reader's assumptions
   * @param {any} data
   * @param {any} state
   */
  function passes(line, row, data, state) {
    if (state.q && line.text.indexOf(state.q.toLocaleLowerCase()) < 0) {
      return false;
    }
    const wanted = need(data, state);
    if (wanted !== null && !(row.cadr_low !== null && row.cadr_low >= wanted)) {
      return false;
    }
    return Object.keys(state.filters).every((field) =>
      !(field in row) || meets(state.filters[field], row[field]));
  }

  /**
   * @param {any} state
   * @param {(key: string, text: string) => any} through reads as the address is read
   * @param {(field: HTMLElement, good: boolean) => void} mark
   */
  function fromForm(state, through, mark) {
    LIMITS.forEach(([id, name, end]) => {
      const field = part(id);
      const typed = window.benchNumbers.plain(field.value);
      const asked = end === "low" ? `${typed}..` : `..${typed}`;
      const found = through(`f.${name}`, typed ? asked : "");
      mark(field, found !== null);
      delete state.filters[name];
      if (found && found.filters[name]) {
        state.filters[name] = found.filters[name];
      }
    });
    CHOICES.forEach(([id, name]) => {
      const field = part(id);
      if (field) {
        delete state.filters[name];
        if (field.value) {
          state.filters[name] = { values: [field.value], low: null, high: null };
        }
      }
    });
  }

  /** @param {any} state */
  function toForm(state) {
    LIMITS.forEach(([id, name, end]) => {
      const filter = state.filters[name];
      const limit = filter ? filter[end] : null;
      part(id).value = limit === null ? "" : window.benchNumbers.entered(limit);
    });
    CHOICES.forEach(([id, name]) => {
      const field = part(id);
      if (field) {
        const filter = state.filters[name];
        field.value = filter ? filter.values[0] : "";
        // A value that no row has is no choice of the list; nothing is shown for it.
        if (field.selectedIndex < 0) {
          field.value = "";
        }
      }
    });
  }

  Object.assign(window, { benchFilters: { asked, passes, need, fromForm, toForm } });
})();
