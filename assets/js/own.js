/**
 * A reader's own numbers: tariff, hours, years, currency, room, ceiling, cap and units.
 * They stand in the address; if the reader wishes they are remembered on the device,
 * and every page says when it shows them, with a way back.
 */
(function () {
  "use strict";

  const KEYS = ["u", "tariff", "hours", "years", "discount", "life", "rate", "room",
    "ceiling", "cap"];
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
   * @typedef {object} Place
   * @property {Record<string, string>} words `remember`, `use`, `back`
   * @property {string[]} keys those of the numbers that this page asks for
   * @property {boolean} asks whether what is remembered waits for the reader's word
   * @property {(line: HTMLElement) => void} put puts the line into the page
   * @property {(query: string) => void} take takes numbers over, those not named gone
   * @property {() => void} clear goes back to the archive's own numbers
   */

  /**
   * Takes over what is remembered, unless the address says otherwise, and returns what
   * is told of every change.
   * @param {Place} place
   * @returns {(query: string, said: string) => void}
   */
  function begin(place) {
    const kept = remembered();
    const there = place.keys.some((key) => kept[key]);
    const asked = queryOf(pairsIn(window.location.search)) !== "";
    let waits = there && (place.asks || asked);
    const line = document.createElement("div");
    line.className = "own-line";
    line.hidden = true;
    const told = element("p", "");
    told.id = "own";
    told.setAttribute("role", "status");
    const doings = element("p", "");
    doings.className = "doings";
    const box = document.createElement("input");
    box.type = "checkbox";
    box.id = "own-remember";
    const label = document.createElement("label");
    label.className = "tick";
    label.append(box, ` ${place.words.remember}`);
    const use = button(place.words.use);
    const back = button(place.words.back);
    doings.append(label, use, back);
    line.append(told, doings);
    place.put(line);
    /** @type {Pairs} */
    let now = {};

    function keep() {
      const others = remembered();
      place.keys.forEach((key) => delete others[key]);
      remember(Object.assign(others, now));
    }

    function show() {
      const own = queryOf(now) !== "";
      line.hidden = !own && !waits;
      label.hidden = !own;
      back.hidden = !own;
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
        keep();
      } else {
        remember({});
      }
      show();
    });
    use.addEventListener("click", () => {
      takeOver();
      back.focus();
    });
    back.addEventListener("click", () => {
      if (box.checked) {
        remember({});
        box.checked = false;
      }
      place.clear();
      const field = /** @type {HTMLElement | null} */ (
        document.querySelector("form.settings input, form.settings select"));
      if (line.hidden && field) {
        field.focus();
      } else if (!use.hidden) {
        use.focus();
      }
    });
    if (there && !waits) {
      takeOver();
    }
    return (query, said) => {
      now = {};
      const all = pairsIn(query);
      place.keys.forEach((key) => {
        if (all[key]) {
          now[key] = all[key];
        }
      });
      told.textContent = said;
      if (box.checked) {
        keep();
      }
      show();
    };
  }

  Object.assign(window, { benchOwn: { KEYS, begin, pairsIn, queryOf, remembered } });
})();
