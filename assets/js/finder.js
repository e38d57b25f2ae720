/**
 * Takes the size of a reader's room and shows the answer for the next larger room that
 * was reckoned; leads on to the page that reckons with exactly that room.
 */
(function () {
  "use strict";

  const form = /** @type {HTMLFormElement | null} */ (document.getElementById("room-form"));
  const field = /** @type {HTMLInputElement | null} */ (document.getElementById("room-area"));
  const said = document.getElementById("room-said");
  const more = /** @type {HTMLAnchorElement | null} */ (document.getElementById("room-more"));
  /** @type {NodeListOf<HTMLElement>} */
  const rooms = document.querySelectorAll("tbody[data-area]");
  if (!form || !field || !said || !more || !rooms.length) {
    return;
  }
  const words = form.dataset;
  const factor = Number(words.factor) || 1;
  const base = more.getAttribute("href") || "";
  form.hidden = false;

  function show() {
    const typed = Number(field ? field.value.trim().replace(",", ".") : "");
    const area = typed * factor;
    const wanted = Array.from(rooms).find((room) => Number(room.dataset.area) >= area);
    const known = typed > 0;
    rooms.forEach((room) => {
      room.hidden = known && wanted !== undefined && room !== wanted;
    });
    if (!said || !more) {
      return;
    }
    if (!known) {
      said.textContent = "";
    } else if (wanted) {
      const name = wanted.dataset.name || "";
      said.textContent = (words.shown || "").replace("{room}", name);
    } else {
      said.textContent = words.large || "";
    }
    more.hidden = !known;
    more.href = known ? `${base}?v=1&room=${Number(area.toFixed(2))}` : base;
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  field.addEventListener("input", show);
  show();
})();
