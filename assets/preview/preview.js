/* Preview only: reloads the open page when it was compiled anew, and shows faults in
   the page while the last good one stays. Never part of what is published. */
(function () {
  "use strict";
  /** @typedef {{number: number, stopped: boolean, lines: string[]}} Situation */

  /** Number of the compile that the page shows; set by the first message. */
  let shown = -1;
  const keep = "sitegen-preview-scroll";

  /** @param {Situation} situation */
  function show(situation) {
    const old = document.getElementById("preview-faults");
    if (old) old.remove();
    if (!situation.lines.length) return;
    const box = document.createElement("section");
    box.id = "preview-faults";
    box.setAttribute("role", "status");
    box.className = situation.stopped ? "stopped" : "warned";
    const head = document.createElement("h2");
    head.textContent = situation.stopped
      ? "Not compiled: this is the last good page"
      : "Compiled, with warnings";
    const list = document.createElement("ul");
    for (const line of situation.lines) {
      const item = document.createElement("li");
      item.textContent = line;
      list.append(item);
    }
    const details = document.createElement("details");
    details.open = situation.stopped;
    const summary = document.createElement("summary");
    summary.textContent =
      situation.lines.length === 1 ? "1 line" : situation.lines.length + " lines";
    details.append(summary, list);
    box.append(head, details);
    document.body.prepend(box);
  }

  const source = new EventSource("/_preview/events");
  source.addEventListener("message", function (message) {
    /** @type {Situation} */
    const situation = JSON.parse(message.data);
    if (shown >= 0 && situation.number !== shown && !situation.stopped) {
      sessionStorage.setItem(keep, location.pathname + " " + window.scrollY);
      location.reload();
      return;
    }
    shown = situation.number;
    show(situation);
  });

  const kept = (sessionStorage.getItem(keep) || "").split(" ");
  sessionStorage.removeItem(keep);
  if (kept[0] === location.pathname) window.scrollTo(0, Number(kept[1]) || 0);
})();
