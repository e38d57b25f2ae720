/**
 * The figure of a reader's own comparison: one quantity with its intervals, or two
 * against each other. Drawn here because nobody could know the choice before; every
 * value stands in the table below it as well.
 */
(function () {
  "use strict";

  const SVG = "http://www.w3.org/2000/svg";
  const WIDTH = 720;
  const ROW = 44;
  const LEFT = 24;
  const RIGHT = 24;

  /**
   * @typedef {object} Value
   * @property {number} value
   * @property {number | null} low
   * @property {number | null} high
   */

  /**
   * @typedef {object} Mark
   * @property {string} label
   * @property {Value | null} x
   * @property {Value} y
   * @property {string} said
   * @property {boolean} rated
   * @property {boolean} [doubtful] its CADR is not told from zero
   */

  /**
   * @param {string} name
   * @param {Record<string, string | number>} attributes
   * @param {string} [text]
   */
  function element(name, attributes, text) {
    const made = document.createElementNS(SVG, name);
    Object.keys(attributes).forEach((key) => {
      made.setAttribute(key, String(attributes[key]));
    });
    if (text !== undefined) {
      made.textContent = text;
    }
    return made;
  }

  /**
   * @param {number[]} values
   * @param {boolean} zero whether the axis begins at nought
   */
  function axis(values, zero) {
    let low = Math.min.apply(null, values);
    let high = Math.max.apply(null, values);
    if (zero) {
      low = Math.min(low, 0);
      high = Math.max(high, 0);
    }
    if (high <= low) {
      const around = Math.abs(low) * 0.1 || 1;
      low -= zero && low === 0 ? 0 : around;
      high += around;
    }
    const rough = (high - low) / 5;
    const power = 10 ** Math.floor(Math.log10(rough));
    const step = [1, 2, 5, 10].map((n) => n * power).find((n) => n >= rough * 0.999)
      || rough;
    const first = Math.floor(low / step + 1e-9);
    const last = Math.ceil(high / step - 1e-9);
    const ticks = [];
    for (let at = first; at <= last; at += 1) {
      ticks.push(Number((at * step).toPrecision(10)));
    }
    return { low: ticks[0], high: ticks[ticks.length - 1], ticks: ticks };
  }

  /** @param {Value | null} found */
  function reach(found) {
    return found
      ? [found.value, found.low, found.high].filter((one) => one !== null)
      : [];
  }

  /** @param {string} title @param {string} said @param {number} height */
  function sheet(title, said, height) {
    const drawing = element("svg", {
      class: "drawing own",
      viewBox: `0 0 ${WIDTH} ${height}`,
      role: "img",
      "aria-labelledby": "own-title own-desc",
      "font-size": 14,
    });
    drawing.append(
      element("title", { id: "own-title" }, title),
      element("desc", { id: "own-desc" }, said),
    );
    return drawing;
  }

  /**
   * @param {Mark[]} marks
   * @param {{title: string, label: string, zero: boolean}} about
   * @param {(value: number) => string} text
   */
  function ranked(marks, about, text) {
    const height = 40 + marks.length * ROW + 44;
    const said = marks.map((mark) => `${mark.label}: ${mark.said}`).join(". ") + ".";
    const drawing = sheet(about.title, said, height);
    const all = marks.flatMap((mark) => reach(mark.y));
    const scale = axis(/** @type {number[]} */ (all), about.zero);
    const span = WIDTH - LEFT - RIGHT;
    /** @param {number} value */
    const x = (value) => LEFT + ((value - scale.low) / (scale.high - scale.low)) * span;
    const bottom = 34 + marks.length * ROW;
    scale.ticks.forEach((tick) => {
      drawing.append(
        element("path", { class: "line-line", d: `M${x(tick)} 30V${bottom}` }),
        element(
          "text",
          { class: "fill-soft", x: x(tick), y: bottom + 18, "text-anchor": "middle" },
          text(tick),
        ),
      );
    });
    drawing.append(element("text", { class: "fill-soft", x: 0, y: 16 }, about.label));
    marks.forEach((mark, at) => {
      const y = 40 + at * ROW + 28;
      drawing.append(element("text", { class: "fill-ink", x: LEFT, y: y - 12 }, mark.label));
      if (mark.y.low !== null && mark.y.high !== null) {
        drawing.append(
          element("path", {
            class: "line-d1 bar",
            d: `M${x(mark.y.low)} ${y}H${x(mark.y.high)}`,
          }),
        );
      }
      drawing.append(dot(x(mark.y.value), y, mark));
    });
    return drawing;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @param {Mark} mark
   */
  function dot(x, y, mark) {
    const kind = mark.rated ? "line-d1 fill-d1" : "line-d1 fill-sheet";
    const made = element("circle", { class: kind, cx: x, cy: y, r: 4.5 });
    made.append(element("title", {}, `${mark.label}: ${mark.said}`));
    return made;
  }

  /**
   * The stairs along what no other mark beats on both counts.
   * @param {Mark[]} marks
   * @param {{xUp: boolean, yUp: boolean}} about
   * @returns {number[][]} corners, by the horizontal quantity; none for fewer than two
   */
  function corners(marks, about) {
    /** @param {Mark} mark */
    const good = (mark) => [
      (about.xUp ? 1 : -1) * /** @type {Value} */ (mark.x).value,
      (about.yUp ? 1 : -1) * mark.y.value,
    ];
    const places = marks
      .filter((mark) => !mark.doubtful)
      .map((mark) => ({ at: [/** @type {Value} */ (mark.x).value, mark.y.value],
        good: good(mark) }));
    const best = places.filter((one) => !places.some((other) =>
      other.good[0] >= one.good[0] && other.good[1] >= one.good[1]
      && (other.good[0] > one.good[0] || other.good[1] > one.good[1])));
    best.sort((one, other) => one.at[0] - other.at[0]);
    /** @type {number[][]} */
    const found = [];
    best.forEach((one) => {
      const last = found[found.length - 1];
      if (last && (last[0] !== one.at[0] || last[1] !== one.at[1])) {
        found.push(about.xUp ? [last[0], one.at[1]] : [one.at[0], last[1]], one.at);
      } else if (!last) {
        found.push(one.at);
      }
    });
    return found.length > 1 ? found : [];
  }

  /**
   * @param {Mark[]} marks
   * @param {{title: string, x: string, y: string, xZero: boolean, yZero: boolean,
   *   xUp: boolean, yUp: boolean, edge: boolean}} about
   * @param {(value: number) => string} text
   */
  function scatter(marks, about, text) {
    const top = 34;
    const bottom = 360;
    const height = bottom + 52 + marks.length * 22;
    const said = marks.map((mark) => `${mark.label}: ${mark.said}`).join(". ") + ".";
    const drawing = sheet(about.title, said, height);
    const across = axis(/** @type {number[]} */ (marks.flatMap((m) => reach(m.x))), about.xZero);
    const up = axis(/** @type {number[]} */ (marks.flatMap((m) => reach(m.y))), about.yZero);
    const left = 64;
    const span = WIDTH - left - RIGHT;
    /** @param {number} v */
    const x = (v) => left + ((v - across.low) / (across.high - across.low)) * span;
    /** @param {number} v */
    const y = (v) => bottom - ((v - up.low) / (up.high - up.low)) * (bottom - top);
    across.ticks.forEach((tick) => {
      drawing.append(
        element("path", { class: "line-line", d: `M${x(tick)} ${top}V${bottom}` }),
        element(
          "text",
          { class: "fill-soft", x: x(tick), y: bottom + 18, "text-anchor": "middle" },
          text(tick),
        ),
      );
    });
    up.ticks.forEach((tick) => {
      drawing.append(
        element("path", { class: "line-line", d: `M${left} ${y(tick)}H${WIDTH - RIGHT}` }),
        element(
          "text",
          { class: "fill-soft", x: left - 8, y: y(tick) + 5, "text-anchor": "end" },
          text(tick),
        ),
      );
    });
    drawing.append(
      element("text", { class: "fill-soft", x: 0, y: 16 }, about.y),
      element(
        "text",
        { class: "fill-soft", x: left + span / 2, y: bottom + 38, "text-anchor": "middle" },
        about.x,
      ),
    );
    const stairs = about.edge ? corners(marks, about) : [];
    if (stairs.length) {
      const path = stairs.map(([a, b]) => `${x(a)} ${y(b)}`).join("L");
      drawing.append(element("path", { class: "line-d2 edge", d: `M${path}` }));
    }
    marks.forEach((mark, at) => {
      const px = x(/** @type {Value} */ (mark.x).value);
      const py = y(mark.y.value);
      [
        [mark.x, (/** @type {number} */ v) => `${x(v)} ${py}`],
        [mark.y, (/** @type {number} */ v) => `${px} ${y(v)}`],
      ].forEach((pair) => {
        const found = /** @type {Value | null} */ (pair[0]);
        const place = /** @type {(v: number) => string} */ (pair[1]);
        if (found && found.low !== null && found.high !== null) {
          drawing.append(
            element("path", {
              class: "line-d1",
              d: `M${place(found.low)}L${place(found.high)}`,
            }),
          );
        }
      });
      drawing.append(
        dot(px, py, mark),
        element("text", { class: "fill-ink", x: px + 8, y: py - 7 }, String(at + 1)),
        element(
          "text",
          { class: "fill-ink", x: 0, y: bottom + 66 + at * 22, "font-weight": "bold" },
          String(at + 1),
        ),
        element("text", { class: "fill-ink", x: 28, y: bottom + 66 + at * 22 }, mark.label),
      );
    });
    return drawing;
  }

  Object.assign(window, { benchFigure: { ranked, scatter } });
})();
