/**
 * A reader's own numbers: tariff, hours, years, currency, room, ceiling, cap and units.
 * They stand in the address; if the reader wishes they are remembered on the device,
 * and every page says when it shows them, with a way back.
 */
(function () {
  "use strict";

  const KEYS = ["u", "tariff", "hours", "years", "discount", "life", "rate", "room",
    "ceiling", "ach", "cap"];
  const LONGEST = 40;
  const VALUE = /^[A-Za-z0-9.:]{1,24}$/;
  // One server may hold several archives, with other currencies: each has its own.
  const script = /** @type {HTMLScriptElement | null} */ (document.currentScript);
  const home = script ? new URL("..", script.src).pathname : "";
  const PLACE = `own-numbers ${home}`;

  /** @typedef {Record<string, string>} Pairs values by key, as the address has them */

  /**
   * @param {string} query
   * @returns {Pairs} what of the reader's own numbers stands in it
   */
  function pairsIn(query) {
    const found = new URLSearchParams(query);
    /** @type {Pairs} */
    const pairs = {};
    KEYS.forEach((key) => {
      const value = (found.get(key) || "").trim();
      if (VALUE.test(value)) {
        pairs[key] = value;
      }
    });
    return pairs;
  }

  /** @param {Pairs} pairs */
  function queryOf(pairs) {
    return KEYS.filter((key) => pairs[key])
      .map((key) => `${key}=${pairs[key]}`)
      .join("&");
  }

  // A browser may refuse storage altogether; then nothing is remembered.
  /** @returns {Pairs} */
  function remembered() {
    try {
      return pairsIn(window.localStorage.getItem(PLACE) || "");
    } catch (refused) {
      return {};
    }
  }

  /** @param {Pairs} pairs */
  function remember(pairs) {
    try {
      const query = queryOf(pairs);
      if (query) {
        window.localStorage.setItem(PLACE, query);
      } else {
        window.localStorage.removeItem(PLACE);
      }
    } catch (refused) {
      // Nothing to be done: the numbers stay in the address.
    }
  }

  /**
   * @param {string} kind
   * @param {string} text
   */
  function element(kind, text) {
    const made = document.createElement(kind);
    made.textContent = text;
    return made;
  }

  /** @param {string} text */
  function button(text) {
    const made = /** @type {HTMLButtonElement} */ (element("button", text));
    made.type = "button";
    return made;
  }

  /**
   * What stands in the address under some names and is no value of theirs.
   * @param {string[]} names
   * @returns {string[]}
   */
  function misreadIn(names) {
    const found = new URLSearchParams(window.location.search);
    return names
      .map((name) => [name, (found.get(name) || "").trim()])
      .filter(([name, text]) => text && window.benchOwnValues.value(name, text) === null)
      .map((pair) => pair.join("=").slice(0, LONGEST));
  }

  /**
   * @typedef {object} Place
   * @property {any} words see own_words.py
   * @property {string[]} keys those of the numbers that are asked for here
   * @property {string} [name] tells this line from others of the page
   * @property {HTMLFormElement} [form] where the numbers are typed
   * @property {boolean} [notes] whether the page itself says what it could not read
   * @property {boolean} asks whether what is remembered waits for the reader's word
   * @property {(line: HTMLElement) => void} put puts the line into the page
   * @property {(query: string) => void} take takes numbers over, those not named gone;
   *   nothing named: the archive's own again
   * @property {() => void} changed shows them; not called before `begin` has returned
   */

  /**
   * Takes over what is remembered, unless the address says otherwise, and returns what
   * is told of every change.
   * @param {Place} place
   * @returns {(query: string, said: string, refused?: string[]) => void} takes the
   *   numbers set, what is said of them, and the names of fields that hold no number
   */
  function begin(place) {
    const kept = remembered();
    const there = place.keys.some((key) => kept[key]);
    const stands = pairsIn(window.location.search);
    const asked = place.keys.some((key) => stands[key]);
    let waits = there && (place.asks || asked);
    const line = document.createElement("div");
    line.className = "own-line";
    line.hidden = true;
    const told = element("p", "");
    const name = place.name ? `own-${place.name}` : "own";
    told.id = name;
    told.setAttribute("role", "status");
    const noted = element("p", "");
    noted.className = "warns";
    noted.setAttribute("role", "status");
    const doings = element("p", "");
    doings.className = "doings";
    const box = document.createElement("input");
    box.type = "checkbox";
    box.id = `${name}-remember`;
    const label = document.createElement("label");
    label.className = "tick";
    label.append(box, ` ${place.words.remember}`);
    const use = button(place.words.use);
    const back = button(place.words.back);
    // A page may hold several such lines: each control says which one it is about.
    [box, use, back].forEach((each) => each.setAttribute("aria-describedby", name));
    doings.append(label, use, back);
    line.append(told, noted, doings);
    place.put(line);
    /** @type {Pairs} */
    let now = {};
    let said = "";

    /** @param {Pairs} pairs what is remembered of the numbers asked for here */
    function keep(pairs) {
      const others = remembered();
      place.keys.forEach((key) => delete others[key]);
      remember(Object.assign(others, pairs));
    }

    function show() {
      const own = queryOf(now) !== "";
      if (!said && waits) {
        told.textContent = place.words.waits;
      }
      line.hidden = !own && !said && !waits && !noted.textContent;
      doings.hidden = !own && !said && !waits;
      label.hidden = !own;
      back.hidden = !own && !said;
      use.hidden = !waits;
    }

    function takeOver() {
      waits = false;
      box.checked = true;
      place.take(queryOf(remembered()));
    }

    box.addEventListener("change", () => {
      if (box.checked) {
        waits = false;
        keep(now);
      } else {
        keep({});
      }
      show();
    });
    use.addEventListener("click", () => {
      takeOver();
      place.changed();
      back.focus();
    });
    back.addEventListener("click", () => {
      if (box.checked) {
        keep({});
        box.checked = false;
      }
      place.take("");
      place.changed();
      const field = /** @type {HTMLElement | null} */ (
        (place.form || document).querySelector("input, select"));
      if (line.hidden && field) {
        field.focus();
      } else if (!use.hidden) {
        use.focus();
      }
    });
    // What another window of this browser has forgotten is not remembered again.
    window.addEventListener("storage", (event) => {
      if (event.key === PLACE && !place.keys.some((key) => remembered()[key])) {
        box.checked = false;
      }
    });
    if (there && !waits) {
      takeOver();
    }
    const misread = place.notes ? [] : misreadIn(place.keys);
    return (query, text, refused) => {
      const names = refused || [];
      noted.textContent = [
        misread.length ? place.words.misread.replace("{what}", misread.join(", ")) : "",
        names.length ? place.words.refused.replace("{names}", names.join("; ")) : "",
      ].filter(Boolean).join(" ");
      now = {};
      const all = pairsIn(query);
      place.keys.forEach((key) => {
        if (all[key]) {
          now[key] = all[key];
        }
      });
      said = text;
      told.textContent = text;
      if (box.checked) {
        keep(now);
      }
      show();
    };
  }

  /**
   * Puts numbers into the address; what else it says stays in it.
   * @param {string[]} names of the numbers asked for here
   * @param {string} query
   */
  function address(names, query) {
    if (window.location.protocol === "file:") {
      return;
    }
    const at = window.location;
    const others = new URLSearchParams(at.search);
    names.forEach((name) => others.delete(name));
    const all = [query, others.toString()].filter(Boolean).join("&");
    window.history.replaceState(null, "", at.pathname + (all ? `?${all}` : "") + at.hash);
    document.dispatchEvent(new Event("own-address"));
  }

  Object.assign(window, { benchOwn: { KEYS, address, begin, pairsIn, queryOf, remembered } });
})();
