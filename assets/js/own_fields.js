/**
 * The fields in which a reader types their own numbers, and the words that say which of
 * them are set.
 */
(function () {
  "use strict";

  const values = window.benchOwnValues;
  const numbers = window.benchNumbers;
  const ORDER = ["hours", "years", "discount", "life", "room", "ceiling", "cap"];

  /**
   * A text with its gaps filled.
   * @param {string} text
   * @param {Record<string, string | number>} given
   */
  function filled(text, given) {
    return text.replace(/\{([a-z_]+)\}/g, (whole, name) =>
      name in given ? String(given[name]) : whole);
  }

  /**
   * How amounts of the archive's currency are written for a reader.
   * @param {{code: string, value: number} | null} rate the reader's currency, or none
   * @param {string} currency the archive's
   * @param {string} locale
   * @param {string} span `{low} to {high}`
   */
  function amounts(rate, currency, locale, span) {
    const by = rate ? rate.value : 1;
    const code = rate ? rate.code : currency;
    /** @param {number} amount */
    const money = (amount) => numbers.money(amount * by, code, locale);
    /** @param {number} amount @param {number[] | null} both @returns {string} */
    const ends = (amount, both) => {
      const shown = numbers.moneyEnds(
        amount * by, both && both.map((end) => end * by), code, locale);
      if (!shown) {
        return "";
      }
      const [low, high] = shown;
      return low === high ? low : filled(span, { low, high });
    };
    return { money, ends };
  }

  /** @param {HTMLInputElement} field @returns {string} */
  function labelOf(field) {
    return (field.labels && field.labels[0].textContent) || field.id;
  }

  /** @param {HTMLElement} field @param {boolean} good */
  function mark(field, good) {
    if (good) {
      field.removeAttribute("aria-invalid");
    } else {
      field.setAttribute("aria-invalid", "true");
    }
  }

  /**
   * @param {string} prefix of the fields' ids
   * @param {string[]} names of the numbers; beside them stand a currency and its rate
   */
  function begin(prefix, names) {
    /** @param {string} name @returns {HTMLInputElement} */
    function field(name) {
      return /** @type {any} */ (document.getElementById(prefix + name));
    }

    /** A currency takes both its code and its rate. @param {Record<string, any>} state */
    function readRate(state) {
      const fields = [field("currency"), field("rate")];
      const [code, amount] = fields.map((each) => numbers.plain(each.value));
      const both = code !== "" && amount !== "";
      state.rate = both ? values.value("rate", `${code.toUpperCase()}:${amount}`) : null;
      fields.forEach((each) => mark(each, !both || state.rate !== null));
    }

    /** @param {Record<string, any>} state what is typed is put into it */
    function read(state) {
      names.forEach((name) => {
        const typed = numbers.plain(field(name).value);
        state[name] = typed ? values.value(name, typed) : null;
        mark(field(name), !typed || state[name] !== null);
      });
      readRate(state);
    }

    /** @param {Record<string, any>} state */
    function fill(state) {
      names.forEach((name) => {
        field(name).value = state[name] === null ? "" : numbers.entered(state[name]);
        mark(field(name), true);
      });
      field("currency").value = state.rate ? state.rate.code : "";
      field("rate").value = state.rate ? numbers.entered(state.rate.value) : "";
      [field("currency"), field("rate")].forEach((each) => mark(each, true));
    }

    /** @param {Record<string, any>} state @returns {boolean} whether a field is filled */
    function any(state) {
      return Boolean(state.rate) || names.some((name) => state[name] !== null);
    }

    /** @returns {string[]} names of the fields that hold no number of theirs */
    function refused() {
      return [...names, "currency", "rate"]
        .map(field)
        .filter((each) => each.getAttribute("aria-invalid") === "true")
        .map(labelOf);
    }

    return { any, fill, read, refused };
  }

  /**
   * @param {Record<string, any>} state the reader's own numbers
   * @param {any} words
   * @param {string} locale
   * @param {string} currency the archive's
   * @returns {string[]} what each of them is
   */
  function said(state, words, locale, currency) {
    /** @type {Intl.NumberFormat | null} */
    let made = null;
    // A formatter takes long to make: without own numbers there is none.
    /** @param {number} value */
    const text = (value) => {
      made = made || new Intl.NumberFormat(locale, { maximumFractionDigits: 9 });
      return made.format(value);
    };
    const found = [];
    /** @param {string} name */
    const set = (name) => state[name] !== null && state[name] !== undefined;
    if (set("tariff")) {
      found.push(filled(words.tariff, { value: text(state.tariff), currency }));
    }
    ORDER.filter(set).forEach((name) => {
      const one = name === "years" && state.years === 1;
      const phrase = one ? words.year : words[name];
      found.push(filled(phrase, { value: text(state[name]) }));
    });
    if (set("ach")) {
      const wanted = set("room") ? words.ach_wanted : words.ach_no_room;
      found.push(filled(wanted, { value: text(state.ach) }));
    }
    if (state.rate) {
      const { code, value } = state.rate;
      found.push(filled(words.rate, { value: text(value), code, currency }));
    }
    return found;
  }

  Object.assign(window, { benchOwnFields: { amounts, begin, filled, labelOf, mark, said } });
})();
