/**
 * Writes numbers as the pages do: rounded by their uncertainty, half to even on the
 * decimal digits, so that a script and the compiled page never differ in a digit.
 */
(function () {
  "use strict";

  const MINUS = "\u2212";

  /**
   * The decimal digits of a finite number, as its shortest text has them.
   * @param {number} value
   * @returns {{digits: string, exponent: number}} value = digits * 10^exponent
   */
  function decimal(value) {
    const parts = Math.abs(value).toExponential().split("e");
    const digits = parts[0].replace(".", "");
    return { digits: digits, exponent: Number(parts[1]) - digits.length + 1 };
  }

  /**
   * Rounds to 10^place, half to even.
   * @param {number} value a finite number
   * @param {number} place decimal exponent of the last digit kept
   * @returns {bigint} how many 10^place; never less than nothing for zero
   */
  function rounded(value, place) {
    const found = decimal(value);
    const shift = found.exponent - place;
    let count;
    if (shift >= 0) {
      count = BigInt(found.digits + "0".repeat(shift));
    } else {
      const unit = 10n ** BigInt(-shift);
      const whole = BigInt(found.digits);
      count = whole / unit;
      const rest = (whole % unit) * 2n;
      if (rest > unit || (rest === unit && count % 2n === 1n)) {
        count += 1n;
      }
    }
    return value < 0 ? -count : count;
  }

  /**
   * Exponent of the last of some significant digits.
   * @param {number} width greater than 0
   * @param {number} digits
   */
  function placeOf(width, digits) {
    const found = decimal(width);
    let place = found.exponent + found.digits.length - digits;
    if (rounded(width, place) >= 10n ** BigInt(digits)) {
      place += 1;
    }
    return place;
  }

  /**
   * @param {bigint} count how many 10^place
   * @param {number} place
   * @param {string} locale
   */
  function text(count, place, locale) {
    const below = count < 0n;
    const plain = (below ? -count : count).toString();
    const decimals = Math.max(0, -place);
    const padded = place > 0 ? (count ? plain + "0".repeat(place) : "0") : plain;
    const filled = padded.padStart(decimals + 1, "0");
    const whole = filled.slice(0, filled.length - decimals);
    const grouped = new Intl.NumberFormat(locale).format(BigInt(whole));
    const mark = decimals ? decimalMark(locale) + filled.slice(-decimals) : "";
    return (below ? MINUS : "") + grouped + mark;
  }

  /** @param {string} locale */
  function decimalMark(locale) {
    const parts = new Intl.NumberFormat(locale).formatToParts(0.5);
    const mark = parts.find((part) => part.type === "decimal");
    return mark ? mark.value : ".";
  }

  /**
   * A value with its interval, rounded together by the smaller half-width.
   * @param {number} value
   * @param {number | null} low
   * @param {number | null} high
   * @param {string} locale
   * @returns {{value: string, low: string, high: string}} limits empty without both
   */
  function interval(value, low, high, locale) {
    const widths = [low, high]
      .filter((limit) => limit !== null)
      .map((limit) => Math.abs(value - Number(limit)))
      .filter((width) => width > 0);
    let place;
    if (widths.length) {
      place = placeOf(Math.min.apply(null, widths), 2);
    } else {
      place = value ? placeOf(Math.abs(value), 3) : 0;
    }
    const both = low !== null && high !== null;
    return {
      value: text(rounded(value, place), place, locale),
      low: both ? text(rounded(Number(low), place), place, locale) : "",
      high: both ? text(rounded(Number(high), place), place, locale) : "",
    };
  }

  /**
   * @param {number} value
   * @param {number} digits significant digits
   * @param {string} locale
   */
  function significant(value, digits, locale) {
    const place = value ? placeOf(Math.abs(value), digits) : 0;
    return text(rounded(value, place), place, locale);
  }

  /**
   * A sound level to half a decibel.
   * @param {number} level
   * @param {string} locale
   */
  function halfDecibel(level, locale) {
    return text(rounded(level * 2, 0) * 5n, -1, locale);
  }

  /**
   * @param {string} currency
   * @param {string} locale
   */
  function moneyFormat(currency, locale) {
    const format = new Intl.NumberFormat(locale, { style: "currency", currency });
    return { format, decimals: format.resolvedOptions().maximumFractionDigits || 0 };
  }

  /**
   * @param {number} amount
   * @param {string} currency
   * @param {string} locale
   */
  function money(amount, currency, locale) {
    const { format, decimals } = moneyFormat(currency, locale);
    // Halves to even, as at compile time; the formatter alone would round them up.
    const near = Number(rounded(Math.abs(amount), -decimals)) / 10 ** decimals;
    const said = format.format(near);
    return amount < 0 && /[1-9]/.test(said) ? MINUS + said : said;
  }

  /**
   * The cheap and the dear end of an amount, in the currency's digits.
   * @param {number} amount
   * @param {number[] | null} ends
   * @param {string} currency
   * @param {string} locale
   * @returns {string[] | null} null where both read like the amount itself
   */
  function moneyEnds(amount, ends, currency, locale) {
    const shown = money(amount, currency, locale);
    if (!ends || ends.every((end) => money(end, currency, locale) === shown)) {
      return null;
    }
    const { decimals } = moneyFormat(currency, locale);
    return ends.map((end) => text(rounded(end, -decimals), -decimals, locale));
  }

  /**
   * A number as a reader types it: digits with a point or a comma before decimals.
   * @param {string} text
   * @returns {string} the same with a point; "" for nothing; as typed where it is none
   */
  function plain(text) {
    const typed = text.trim();
    return /^-?\d+,\d+$/.test(typed) ? typed.replace(",", ".") : typed;
  }

  /**
   * The one reading of numbers that are typed into forms.
   * @param {string} text
   * @returns {number | null} null for nothing, NaN where it is no number
   */
  function typed(text) {
    const given = plain(text);
    if (!given) {
      return null;
    }
    return /^-?\d{1,9}(\.\d{0,9})?$/.test(given) ? Number(given) : NaN;
  }

  /**
   * A number as it stands in a form: every digit, with the page's decimal mark.
   * @param {number | string} value
   * @returns {string}
   */
  function entered(value) {
    const text = String(value);
    return /^-?\d+\.\d+$/.test(text)
      ? text.replace(".", decimalMark(document.documentElement.lang))
      : text;
  }

  /**
   * What a field holds, in the unit that the address has. A number that was put there and
   * not changed since is given back as it was, not as its rounded text.
   * @param {HTMLInputElement} field
   * @param {number} factor how much of that unit one of the field's is
   * @returns {number | null} as `typed`
   */
  function measured(field, factor) {
    if (field.dataset.text && field.value === field.dataset.text) {
      return Number(field.dataset.exact);
    }
    const value = typed(field.value);
    return value === null ? null : value * factor;
  }

  /**
   * @param {HTMLInputElement} field
   * @param {number} value in the unit that the address has
   * @param {number} factor how much of that unit one of the field's is
   */
  function measure(field, value, factor) {
    field.value = entered(Number((value / factor).toFixed(4)));
    field.dataset.text = field.value;
    field.dataset.exact = String(value);
  }

  Object.assign(window, {
    benchNumbers: {
      plain, typed, entered, interval, significant, halfDecibel, measure, measured,
      money, moneyEnds, rounded, text,
    },
  });
})();
