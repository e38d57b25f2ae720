/**
 * Shows a page in the other system of units. Both readings stand in the page, rounded at
 * compile time; they are exchanged, nothing is reckoned.
 */
(function () {
  "use strict";

  const form = /** @type {HTMLFormElement | null} */ (document.getElementById("units"));
  const field = /** @type {HTMLSelectElement | null} */ (
    document.getElementById("units-shown"));
  if (!form || !field) {
    return;
  }
  const own = window.benchOwn;
  const given = form.dataset;
  const texts = /** @type {HTMLElement[]} */ (
    Array.from(document.querySelectorAll("[data-other]")));
  const elements = Array.from(document.querySelectorAll("[data-others]"));
  const drawings = Array.from(document.querySelectorAll("svg[data-drawn]"));
  let shown = given.archive;

  function exchange() {
    texts.forEach((text) => {
      const other = text.dataset.other || "";
      text.dataset.other = text.textContent || "";
      text.textContent = other;
    });
    elements.forEach((element) => {
      Array.from(element.attributes).forEach((other) => {
        if (!other.name.startsWith("data-other-")) {
          return;
        }
        const name = other.name.slice("data-other-".length);
        const value = other.value;
        other.value = element.getAttribute(name) || "";
        element.setAttribute(name, value);
      });
    });
    drawings.forEach((drawing) => drawing.toggleAttribute("hidden"));
    shown = shown === "us" ? "metric" : "us";
    document.dispatchEvent(new Event("units"));
  }

  /** @param {string | undefined} units */
  function show(units) {
    if (units !== shown) {
      document.dispatchEvent(new Event("before-units"));
      exchange();
    }
    field.value = shown;
    const apart = shown !== given.archive;
    tell(apart ? `u=${shown}` : "", apart ? given.said || "" : "");
    // What the device remembers must not take the place of what was chosen here.
    const kept = own.remembered().u;
    own.address(["u"], apart || (kept && kept !== shown) ? `u=${shown}` : "");
  }

  /** @param {string} query */
  function wanted(query) {
    const units = new URLSearchParams(query).get("u");
    return units === "us" || units === "metric" ? units : given.archive;
  }

  let asked = wanted(window.location.search);
  const tell = own.begin({
    words: given,
    name: "units",
    form: form,
    keys: ["u"],
    asks: false,
    put: (/** @type {HTMLElement} */ line) => (
      document.querySelector("main > .trail") || form).after(line),
    take: (/** @type {string} */ query) => {
      asked = wanted(query);
    },
    changed: () => show(asked),
  });
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  field.addEventListener("change", () => show(field.value));
  show(asked);
})();
