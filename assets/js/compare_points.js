/**
 * Points of a reader's own figures, read by pointing, by touch and by the arrow keys:
 * what a point stands for is said in a line below the drawing, with unit and interval.
 * The drawing stays as it is, so what is saved and what an address draws never differ.
 */
(function () {
  "use strict";

  /**
   * @typedef {object} Point
   * @property {number} x in the drawing's units
   * @property {number} y in the drawing's units
   * @property {number} series which line it belongs to
   * @property {() => string} said what it stands for
   */

  /** @type {WeakMap<Element, Point[]>} */
  const known = new WeakMap();

  /** @param {Element} drawing @param {Point[]} points in the order of the arrow keys */
  function tell(drawing, points) {
    known.set(drawing, points);
  }

  /**
   * The place of the point nearest to a place, or of the nearest one of a line.
   * @param {Point[]} points
   * @param {number} x
   * @param {number} y
   * @param {number} [series] the only line that counts
   */
  function nearest(points, x, y, series) {
    let best = -1;
    let least = Infinity;
    points.forEach((point, at) => {
      const away = Math.hypot(point.x - x, point.y - y);
      if ((series === undefined || point.series === series) && away < least) {
        least = away;
        best = at;
      }
    });
    return best;
  }

  /**
   * The limits of a fitted curve at a time, on a logarithmic scale between those given.
   * @param {{t: number[], low: number[], high: number[]}} fit
   * @param {number} t
   * @returns {[number, number] | null} nothing outside the fit, or without a band
   */
  function limitsAt(fit, t) {
    const next = fit.t.findIndex((/** @type {number} */ each) => each >= t);
    if (!fit.low.length || next < 0 || (next === 0 && fit.t[0] > t)) {
      return null;
    }
    const last = Math.max(next - 1, 0);
    const width = fit.t[next] - fit.t[last];
    const part = width > 0 ? (t - fit.t[last]) / width : 0;
    /** @param {number[]} limit */
    const one = (limit) => (limit[last] > 0 && limit[next] > 0
      ? limit[last] * (limit[next] / limit[last]) ** part
      : limit[last] + (limit[next] - limit[last]) * part);
    return [one(fit.low), one(fit.high)];
  }

  /**
   * @param {SVGElement} drawing
   * @param {{hint: string}} words
   * @returns {Node[]} what stands in its place: the drawing, and the line below it
   */
  function around(drawing, words) {
    const points = known.get(drawing) || [];
    if (!points.length) {
      return [drawing];
    }
    const box = document.createElement("div");
    box.className = "chart";
    box.tabIndex = 0;
    box.setAttribute("role", "application");
    ["aria-label", "aria-description"].forEach((name, at) => {
      const told = drawing.querySelector(at ? "desc" : "title");
      box.setAttribute(name, (told && told.textContent) || "");
    });
    const ring = document.createElement("div");
    ring.className = "chart-ring";
    ring.hidden = true;
    const output = document.createElement("output");
    output.className = "chart-read";
    output.textContent = words.hint;
    box.append(drawing, ring);
    const sides = (drawing.getAttribute("viewBox") || "").split(" ").map(Number);
    let at = -1;

    /** @param {number} place */
    function read(place) {
      at = Math.max(0, Math.min(place, points.length - 1));
      ring.hidden = false;
      // In shares of the drawing, so that it stays where it is at any size.
      ring.style.left = `${(100 * points[at].x) / sides[2]}%`;
      ring.style.top = `${(100 * points[at].y) / sides[3]}%`;
      output.textContent = points[at].said();
    }

    /** @param {MouseEvent} event */
    function pointed(event) {
      const frame = drawing.getBoundingClientRect();
      const size = sides[2] / (frame.width || 1);
      read(nearest(
        points, (event.clientX - frame.left) * size, (event.clientY - frame.top) * size));
    }

    /** @param {number} step to the nearest point of the next line */
    function across(step) {
      const lines = Array.from(new Set(points.map((point) => point.series)));
      if (lines.length < 2 || at < 0) {
        read(at + step);
        return;
      }
      const now = points[at];
      const next = lines[
        (lines.indexOf(now.series) + step + lines.length) % lines.length];
      read(nearest(points, now.x, now.y, next));
    }

    /** @param {number} step to the next point of the same line */
    function along(step) {
      if (at < 0 || !points[at + step] || points[at + step].series === points[at].series) {
        read(at + step);
      }
    }

    box.addEventListener("pointermove", pointed);
    box.addEventListener("click", pointed);
    box.addEventListener("keydown", (event) => {
      /** @type {Record<string, () => void>} */
      const keys = {
        ArrowRight: () => along(1),
        ArrowLeft: () => along(-1),
        ArrowDown: () => across(1),
        ArrowUp: () => across(-1),
        Home: () => read(0),
        End: () => read(points.length - 1),
      };
      if (keys[event.key] && !event.altKey && !event.ctrlKey && !event.metaKey) {
        event.preventDefault();
        keys[event.key]();
      }
    });
    return [box, output];
  }

  Object.assign(window, { benchPoints: { tell, around, limitsAt } });
})();
