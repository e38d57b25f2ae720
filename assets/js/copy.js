/**
 * Copies a permanent address or a citation. The button says so, and says what it did;
 * without this script, or where copying is refused, the text itself can be selected.
 */
(function () {
  "use strict";

  if (!navigator.clipboard) {
    return;
  }
  /** @type {NodeListOf<HTMLButtonElement>} */
  const buttons = document.querySelectorAll("button[data-copies]");
  buttons.forEach((button) => {
    const source = document.getElementById(button.dataset.copies || "");
    const label = button.textContent || "";
    if (!source) {
      return;
    }
    button.hidden = false;
    button.addEventListener("click", () => {
      navigator.clipboard.writeText((source.textContent || "").trim()).then(
        () => say(button.dataset.done || label),
        () => say(button.dataset.refused || label),
      );
    });

    /** @param {string} text */
    function say(text) {
      button.textContent = text;
      window.setTimeout(() => {
        button.textContent = label;
      }, 4000);
    }
  });
})();
