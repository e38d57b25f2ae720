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
  const { filled, labelOf, mark } = window.benchOwnFields;
  const given = form.dataset;
  const locale = given.locale || "en-GB";
  const counts = Array.from(document.querySelectorAll("tr[data-room]"));
  const sentence = document.getElementById("rooms-assumed");
  const capOf = document.getElementById("rooms-cap");
  // What stands there by the archive's own numbers, to be put back.
  const kept = [
    ...Array.from(served),
    ...counts.flatMap((row) => Array.from(row.children)),
    ...[sentence, capOf].flatMap((each) => (each ? [each] : [])),
  ].map((/** @type {Element} */ each) => ({
    element: each,
    nodes: Array.from(each.childNodes),
  }));

  // The form's data follow the units that the page shows.
  const area = () => Number(given.areaFactor) || 1;
  const length = () => Number(given.lengthFactor) || 1;
  const volume = () => Number(given.volumeFactor) || 1;
  const one = () => 1;

  // The reader's own numbers, in metric units, by their names in the address.
  /** @type {[string, string, () => number][]} */
  const OWN = [
    ["room", "own-floor", area],
    ["ceiling", "own-ceiling", length],
    ["ach", "own-changes", one],
    ["cap", "own-cap", one],
  ];

  /** @param {string} id @returns {HTMLInputElement} */
  function field(id) {
    return /** @type {any} */ (document.getElementById(id));
  }

  /**
   * @returns {{values: Record<string, number | null>, refused: string[]}} what is typed,
   *   in metric units, null where nothing is; names of fields that hold no such number
   */
  function read() {
    /** @type {Record<string, number | null>} */
    const values = {};
    /** @type {string[]} */
    const refused = [];
    OWN.forEach(([name, id, factor]) => {
      const value = window.benchNumbers.measured(field(id), factor());
      const good = value === null
        || window.benchOwnValues.value(name, window.benchOwnValues.decimal(value)) !== null;
      values[name] = good ? value : null;
      mark(field(id), good);
      if (!good) {
        refused.push(labelOf(field(id)));
      }
    });
    return { values, refused };
  }

  /** @param {number} value @param {number} digits */
  function number(value, digits) {
    const format = new Intl.NumberFormat(locale, { maximumSignificantDigits: digits });
    return format.format(value);
  }

  /**
   * Writes a row of the machines that a room takes.
   * @param {Element} row
   * @param {number} floor m2
   * @param {{ceiling: number, changes: number, cap: number}} wanted
   */
  function count(row, floor, wanted) {
    const numbers = window.benchNumbers;
    /** @param {string} name @param {string} text */
    const put = (name, text) => {
      const cell = row.querySelector(`[data-name="${name}"]`);
      if (cell) {
        cell.textContent = text;
      }
    };
    const air = floor * wanted.ceiling;
    const units = reckon.unitsNeeded(wanted.changes, air, Number(given.least));
    const fewest = reckon.unitsNeeded(wanted.changes, air, Number(given.cadr));
    put("size", filled(given.size, {
      area: `${number(floor / area(), 3)} ${given.areaUnit}`,
      volume: `${number(air / volume(), 3)} ${given.volumeUnit}`,
    }));
    put("by-limit", number(units, 21));
    put("by-estimate", number(fewest, 21));
    // Without a nought at its end, as the table has it: a limit, not a reading.
    const each = Number(numbers.rounded(reckon.capOfOne(wanted.cap, units) * 2, 0)) / 2;
    put("cap", number(each, 6));
    if (given.sound) {
      const level = reckon.severalUnits(Number(given.sound), units);
      put("sound", filled(given.atMost || "{level}", {
        level: numbers.halfDecibel(level, locale),
      }));
    }
  }

  /** @param {Record<string, number | null>} values */
  function show(values) {
    /** @param {string} name @param {string | undefined} assumed */
    const or = (name, assumed) => {
      const value = values[name];
      return value === null ? Number(assumed) : value;
    };
    const wanted = {
      ceiling: or("ceiling", given.ceiling),
      changes: or("ach", given.changes),
      cap: or("cap", given.cap),
    };
    kept.forEach(({ element, nodes }) => element.replaceChildren(...nodes));
    if (values.ceiling !== null || values.ach !== null) {
      served.forEach((cell) => {
        const found = reckon.floorArea(
          Number(cell.dataset.least), wanted.changes, wanted.ceiling);
        cell.textContent = `${number(found / area(), 2)} ${given.areaUnit}`;
      });
      if (sentence) {
        sentence.textContent = filled(given.assumed, {
          n: number(wanted.changes, 3),
          ceiling: `${number(wanted.ceiling / length(), 3)} ${given.lengthUnit}`,
        });
      }
    }
    if (capOf && values.cap !== null) {
      capOf.textContent = filled(given.capOf, { cap: number(wanted.cap, 6) });
    }
    if (values.ceiling !== null || values.ach !== null || values.cap !== null) {
      counts.forEach((row) =>
        count(row, Number(/** @type {HTMLElement} */ (row).dataset.room), wanted));
    }
    if (!mine) {
      return;
    }
    mine.hidden = values.room === null;
    if (values.room !== null) {
      count(mine, values.room, wanted);
    }
    const details = mine.closest("details");
    if (details && Object.values(values).some((each) => each !== null)) {
      details.open = true;
    }
  }

  /** @param {Record<string, number | null>} values */
  function ownQuery(values) {
    return OWN.map(([name]) => [name, values[name]])
      .filter((pair) => pair[1] !== null)
      .map(([name, value]) => `${name}=${Number(Number(value).toFixed(6))}`)
      .join("&");
  }

  /** @param {string} query */
  function takeOwn(query) {
    const taken = new URLSearchParams(query);
    OWN.forEach(([name, id, factor]) => {
      const value = window.benchOwnValues.value(name, (taken.get(name) || "").trim());
      if (value === null) {
        field(id).value = "";
      } else {
        window.benchNumbers.measure(field(id), value, factor());
      }
    });
  }

  const more = document.createElement("a");
  more.textContent = given.moreSaid || "";

  /** Leads on to the table of this device, by all that the reader set on this page. */
  function leadOn() {
    const own = window.benchOwn;
    const pairs = Object.assign(own.remembered(), own.pairsIn(window.location.search),
      own.pairsIn(ownQuery(read().values)));
    // Air changes would leave out there what one machine does not reach.
    delete pairs.ach;
    const all = own.queryOf(pairs);
    more.href = `${given.more}${all ? `&${all}` : ""}`;
  }

  /** Shows the numbers, says whose they are, and keeps them in the address. */
  function changed() {
    const { values, refused } = read();
    show(values);
    const query = ownQuery(values);
    const set = OWN.filter(([name]) => values[name] !== null)
      .map(([, id]) => `${labelOf(field(id))}: ${field(id).value}`);
    tell(query, query ? filled(given.mark, { what: set.join("; ") }) : "", refused);
    window.benchOwn.address(OWN.map(([name]) => name), query);
    leadOn();
  }

  form.hidden = false;
  takeOwn(window.location.search);
  const tell = window.benchOwn.begin({
    words: given,
    name: "rooms",
    form: form,
    keys: OWN.map(([name]) => name),
    asks: false,
    put: (/** @type {HTMLElement} */ line) => {
      form.append(line);
      (line.querySelector(".doings") || line).append(" ", more);
    },
    take: takeOwn,
    changed: changed,
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", changed);
  // In other units the same room has other numbers.
  let before = "";
  document.addEventListener("before-units", () => {
    before = ownQuery(read().values);
  });
  document.addEventListener("units", () => {
    takeOwn(before);
    changed();
  });
  document.addEventListener("own-address", leadOn);
  changed();
})();
