/**
 * Choosing configurations by typing: a text field with a list below it, by the combobox
 * pattern of WAI-ARIA. Every word typed must stand in a configuration's text.
 */
(function () {
  "use strict";

  const MOST_SHOWN = 12;

  /** @typedef {{name: string, label: string, text: string, said: string}} Choice */

  /** @param {string} text @returns {string} without case and accents */
  function plain(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLocaleLowerCase();
  }

  /**
   * @param {Choice[]} choices
   * @param {string} typed
   * @param {(name: string) => boolean} taken
   * @returns {{shown: Choice[], count: number}} the best first, and how many there are
   */
  function found(choices, typed, taken) {
    const words = plain(typed).split(/\s+/).filter(Boolean);
    const free = choices.filter((one) => !taken(one.name)
      && words.every((word) => one.text.indexOf(word) >= 0));
    // What begins with the first word stands before what merely holds it.
    const first = words[0] || "";
    const early = free.filter((one) => one.text.startsWith(first));
    const late = free.filter((one) => !one.text.startsWith(first));
    return { shown: [...early, ...late].slice(0, MOST_SHOWN), count: free.length };
  }

  /**
   * @param {HTMLElement} box with the field, the list and the line that says what happens
   * @param {() => Choice[]} choices
   * @param {{words: Record<string, string>, taken: (name: string) => boolean,
   *   full: () => boolean, choose: (name: string) => void}} how
   */
  function begin(box, choices, how) {
    const field = /** @type {HTMLInputElement} */ (box.querySelector("input"));
    const list = /** @type {HTMLElement} */ (box.querySelector("[role=listbox]"));
    const output = /** @type {HTMLElement} */ (box.querySelector("[role=status]"));
    const said = window.benchCells.said;
    /** @type {Choice[]} */
    let shown = [];
    let at = -1;
    box.hidden = false;

    function close() {
      list.hidden = true;
      at = -1;
      field.setAttribute("aria-expanded", "false");
      field.removeAttribute("aria-activedescendant");
    }

    /** @param {number} place */
    function move(place) {
      at = place;
      Array.from(list.children).forEach((option, each) => {
        option.setAttribute("aria-selected", String(each === at));
        if (each === at) {
          field.setAttribute("aria-activedescendant", option.id);
          option.scrollIntoView({ block: "nearest" });
        }
      });
    }

    function open() {
      if (how.full()) {
        close();
        output.textContent = how.words.pick_full;
        return;
      }
      const hits = found(choices(), field.value, how.taken);
      shown = hits.shown;
      list.replaceChildren(...shown.map((one, each) => {
        const option = document.createElement("li");
        option.id = `${list.id}-${each}`;
        option.setAttribute("role", "option");
        option.setAttribute("aria-selected", "false");
        option.textContent = one.label;
        const small = document.createElement("small");
        small.textContent = one.said;
        option.append(" ", small);
        return option;
      }));
      at = -1;
      field.removeAttribute("aria-activedescendant");
      list.hidden = !shown.length;
      list.scrollTop = 0;
      field.setAttribute("aria-expanded", String(shown.length > 0));
      output.textContent = !shown.length
        ? how.words.pick_none
        : hits.count > shown.length
          ? said(how.words.pick_more, { n: shown.length, of: hits.count })
          : said(how.words.pick_count, { n: shown.length });
    }

    /** @param {number} place */
    function take(place) {
      const one = shown[place];
      if (one) {
        how.choose(one.name);
        field.value = "";
        close();
        output.textContent = said(how.words.pick_added, { name: one.label });
      }
    }

    field.addEventListener("input", open);
    field.addEventListener("click", () => (list.hidden ? open() : close()));
    field.addEventListener("blur", close);
    field.addEventListener("keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) {
        return;
      }
      const last = shown.length - 1;
      /** @type {Record<string, () => void>} */
      const keys = {
        ArrowDown: () => (list.hidden ? (open(), move(0)) : move(at < last ? at + 1 : 0)),
        ArrowUp: () => (list.hidden ? (open(), move(shown.length - 1))
          : move(at > 0 ? at - 1 : last)),
        Enter: () => (list.hidden ? open() : take(at < 0 ? 0 : at)),
        Escape: () => {
          if (list.hidden) {
            field.value = "";
          }
          close();
        },
      };
      if (keys[event.key]) {
        event.preventDefault();
        keys[event.key]();
      }
    });
    list.addEventListener("mousedown", (event) => {
      // The field keeps the keyboard.
      event.preventDefault();
    });
    list.addEventListener("click", (event) => {
      const option = /** @type {HTMLElement} */ (event.target).closest("[role=option]");
      if (option) {
        take(Array.from(list.children).indexOf(option));
      }
    });
  }

  Object.assign(window, { benchPick: { begin, found, plain } });
})();
