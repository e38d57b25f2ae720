/**
 * Reckons the rooms of a device's page with the reader's own floor, ceiling, air changes
 * and quiet cap, by the formulas of the method's text: the same as at compile time.
 */
(function () {
  "use strict";

  const form = /** @type {HTMLFormElement | null} */ (document.getElementById("own-room"));
  const mine = document.getElementById("own-room-row");
  const served = /** @type {NodeListOf<HTMLElement>} */ (
    document.querySelectorAll("td[data-least]")
  );
  if (!form || !mine) {
    return;
  }
  const reckon = window.benchReckon;
  const given = form.dataset;
  const locale = given.locale || "en-GB";
  const kept = Array.from(served).map((cell) => Array.from(cell.childNodes));

  // The form's data follow the units that the page shows.
  const area = () => Number(given.areaFactor) || 1;
  const length = () => Number(given.lengthFactor) || 1;

  /** @param {string} id @returns {HTMLInputElement} */
  function field(id) {
    return /** @type {any} */ (document.getElementById(id));
  }

  /**
   * @param {string} id
   * @param {number} factor how much in metric units one of the field's is
   * @returns {number | null} what is typed, in metric units; null where it is none
   */
  function typed(id, factor) {
    const value = window.benchNumbers.measured(field(id), factor);
    const good = value === null || value > 0;
    if (good) {
      field(id).removeAttribute("aria-invalid");
    } else {
      field(id).setAttribute("aria-invalid", "true");
    }
    return good ? value : null;
  }

  /** @param {number} value @param {number} digits */
  function number(value, digits) {
    const format = new Intl.NumberFormat(locale, { maximumSignificantDigits: digits });
    return format.format(value);
  }

  /** @param {string} name @param {string} text */
  function put(name, text) {
    const cell = mine ? mine.querySelector(`[data-name="${name}"]`) : null;
    if (cell) {
      cell.textContent = text;
    }
  }

  function show() {
    const floor = typed("own-floor", area());
    const height = typed("own-ceiling", length());
    const wanted = typed("own-changes", 1);
    const cap = typed("own-cap", 1);
    const ceiling = height === null ? Number(given.ceiling) : height;
    const changes = wanted === null ? Number(given.changes) : wanted;
    const own = height !== null || wanted !== null;
    served.forEach((cell, at) => {
      const found = reckon.floorArea(Number(cell.dataset.least), changes, ceiling);
      if (own) {
        cell.textContent = `${number(found / area(), 2)} ${given.areaUnit}`;
      } else {
        cell.replaceChildren(...kept[at]);
      }
    });
    if (!mine) {
      return;
    }
    mine.hidden = floor === null;
    if (floor === null) {
      return;
    }
    const volume = floor * ceiling;
    const units = reckon.unitsNeeded(changes, volume, Number(given.least));
    const fewest = reckon.unitsNeeded(changes, volume, Number(given.cadr));
    put("by-limit", number(units, 21));
    put("by-estimate", number(fewest, 21));
    const quiet = cap === null ? Number(given.cap) : cap;
    const numbers = window.benchNumbers;
    // Without a nought at its end, as the table has it: a limit, not a reading.
    const each = Number(numbers.rounded(reckon.capOfOne(quiet, units) * 2, 0)) / 2;
    put("cap", number(each, 6));
    if (given.sound) {
      const level = reckon.severalUnits(Number(given.sound), units);
      const said = numbers.halfDecibel(level, locale);
      put("sound", (given.atMost || "{level}").replace("{level}", said));
    }
    const details = mine.closest("details");
    if (details) {
      details.open = true;
    }
  }

  // The reader's own numbers, in metric units, by their names in the address.
  const one = () => 1;
  /** @type {[string, string, () => number][]} */
  const OWN = [
    ["room", "own-floor", area],
    ["ceiling", "own-ceiling", length],
    ["ach", "own-changes", one],
    ["cap", "own-cap", one],
  ];

  function ownQuery() {
    return OWN.map(([name, id, factor]) => {
      const value = typed(id, factor());
      return value === null ? "" : `${name}=${Number(value.toFixed(6))}`;
    })
      .filter(Boolean)
      .join("&");
  }

  /** @param {string} query */
  function takeOwn(query) {
    const taken = new URLSearchParams(query);
    OWN.forEach(([name, id, factor]) => {
      const value = window.benchNumbers.typed(taken.get(name) || "");
      if (value !== null && value > 0) {
        window.benchNumbers.measure(field(id), value, factor());
      } else {
        field(id).value = "";
      }
    });
  }

  const more = document.createElement("a");
  more.textContent = given.moreSaid || "";

  /** Shows the numbers, says whose they are, and keeps them in the address. */
  function changed() {
    show();
    const query = ownQuery();
    tell(query, query ? given.mark || "" : "");
    const rest = window.benchOwn.queryOf(
      Object.assign(window.benchOwn.remembered(), window.benchOwn.pairsIn(query)));
    more.href = `${given.more}${rest ? `&${rest}` : ""}`;
    window.benchOwn.address(OWN.map(([name]) => name), query);
  }

  form.hidden = false;
  takeOwn(window.location.search);
  let begun = false;
  const tell = window.benchOwn.begin({
    words: given,
    name: "rooms",
    form: form,
    keys: ["room", "ceiling", "cap"],
    asks: false,
    put: (/** @type {HTMLElement} */ line) => {
      form.append(line);
      (line.querySelector(".doings") || line).append(" ", more);
    },
    take: (/** @type {string} */ query) => {
      takeOwn(query);
      if (begun) {
        changed();
      }
    },
    clear: () => {
      takeOwn("");
      changed();
    },
  });
  begun = true;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", changed);
  // In other units the same room has other numbers.
  let before = "";
  document.addEventListener("before-units", () => {
    before = ownQuery();
  });
  document.addEventListener("units", () => {
    takeOwn(before);
    changed();
  });
  changed();
})();
