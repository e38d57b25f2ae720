/**
 * The figure of a reader's own comparison: one quantity with its intervals, or two
 * against each other. Drawn here because nobody could know the choice before; every
 * value stands in the table below it as well.
 */
(function () {
  "use strict";

  const { element, axis, wrapped, texts, sheet, NARROW, LINE } = window.benchSheet;
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

  /** @param {Value | null} found */
  function reach(found) {
    return found
      ? [found.value, found.low, found.high].filter((one) => one !== null)
      : [];
  }

  /**
   * The axis of a quantity; an interval that reaches below nought does not stretch it.
   * @param {(Value | null)[]} values
   * @param {boolean} zero
   * @param {number} count
   */
  function side(values, zero, count) {
    const nought = zero && values.every((one) => !one || one.value >= 0);
    const all = values.flatMap((one) => reach(one)).map(Number);
    return axis(nought ? all.map((one) => Math.max(one, 0)) : all, zero, count);
  }

  /**
   * @param {Mark[]} marks
   * @param {{title: string, label: string, zero: boolean, width: number}} about
   * @param {(value: number) => string} text
   */
  function ranked(marks, about, text) {
    const span = about.width - LEFT - RIGHT;
    const names = marks.map((mark) => wrapped(mark.label, about.width - LEFT));
    /** @type {number[]} */
    const tops = [];
    let bottom = 40;
    names.forEach((name) => {
      tops.push(bottom);
      bottom += 26 + LINE * name.length;
    });
    const said = marks.map((mark) => `${mark.label}: ${mark.said}`).join(". ") + ".";
    const drawing = sheet(about.title, said, about.width, bottom + 44);
    const scale = side(marks.map((mark) => mark.y), about.zero,
      about.width === NARROW ? 3 : 5);
    /** @param {number} value */
    const x = (value) => LEFT + ((value - scale.low) / (scale.high - scale.low)) * span;
    scale.ticks.forEach((tick) => {
      drawing.append(
        element("path", { class: "line-line", d: `M${x(tick)} 30V${bottom - 6}` }),
        element(
          "text",
          { class: "fill-soft", x: x(tick), y: bottom + 12, "text-anchor": "middle" },
          text(tick),
        ),
      );
    });
    drawing.append(element("text", { class: "fill-soft", x: 0, y: 16 }, about.label));
    marks.forEach((mark, at) => {
      const y = tops[at] + LINE * names[at].length + 8;
      drawing.append(texts(LEFT, tops[at] + 12, names[at]));
      if (mark.y.low !== null && mark.y.high !== null) {
        // What reaches further down ends with an arrow.
        const below = mark.y.low < scale.low;
        const from = x(Math.max(mark.y.low, scale.low));
        drawing.append(
          element("path", { class: "line-d1 bar", d: `M${from} ${y}H${x(mark.y.high)}` }),
        );
        if (below) {
          drawing.append(element("path", {
            class: "fill-d1 below",
            d: `M${from - 10} ${y}l9 -5v10z`,
          }));
        }
      }
      drawing.append(dot(x(mark.y.value), y, mark));
    });
    tellDots(drawing, marks);
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
   *   xUp: boolean, yUp: boolean, edge: boolean, width: number}} about
   * @param {(value: number) => string} text
   */
  function scatter(marks, about, text) {
    const top = 34;
    const narrow = about.width === NARROW;
    const bottom = narrow ? 300 : 360;
    const names = marks.map((mark) => wrapped(mark.label, about.width - 28));
    const key = names.reduce((sum, name) => sum + 4 + LINE * name.length, 0);
    const height = bottom + 52 + key;
    const said = marks.map((mark) => `${mark.label}: ${mark.said}`).join(". ") + ".";
    const drawing = sheet(about.title, said, about.width, height);
    const count = narrow ? 3 : 5;
    const across = side(marks.map((mark) => mark.x), about.xZero, count);
    const up = side(marks.map((mark) => mark.y), about.yZero, count);
    const left = narrow ? 50 : 64;
    const span = about.width - left - RIGHT;
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
        element("path", { class: "line-line", d: `M${left} ${y(tick)}H${about.width - RIGHT}` }),
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
    let below = bottom + 66;
    marks.forEach((mark, at) => {
      const px = x(/** @type {Value} */ (mark.x).value);
      const py = y(mark.y.value);
      [
        [mark.x, (/** @type {number} */ v) => `${x(v)} ${py}`, across],
        [mark.y, (/** @type {number} */ v) => `${px} ${y(v)}`, up],
      ].forEach((pair) => {
        const found = /** @type {Value | null} */ (pair[0]);
        const place = /** @type {(v: number) => string} */ (pair[1]);
        if (found && found.low !== null && found.high !== null) {
          drawing.append(
            element("path", {
              class: "line-d1",
              d: `M${place(Math.max(found.low, pair[2].low))}L${place(found.high)}`,
            }),
          );
        }
      });
      drawing.append(
        dot(px, py, mark),
        element("text", { class: "fill-ink", x: px + 8, y: py - 7 }, String(at + 1)),
        element(
          "text",
          { class: "fill-ink", x: 0, y: below, "font-weight": "bold" },
          String(at + 1),
        ),
        texts(28, below, names[at]),
      );
      below += 4 + LINE * names[at].length;
    });
    tellDots(drawing, marks);
    return drawing;
  }

  /**
   * @param {Element} drawing
   * @param {Mark[]} marks in the order of their dots
   */
  function tellDots(drawing, marks) {
    const dots = Array.from(drawing.querySelectorAll("circle"));
    window.benchPoints.tell(drawing, marks.map((mark, at) => ({
      x: Number(dots[at].getAttribute("cx")),
      y: Number(dots[at].getAttribute("cy")),
      // Every mark of a scatter and of a ranking is on its own.
      series: 0,
      said: () => `${mark.label}: ${mark.said}`,
    })));
  }

  Object.assign(window, { benchFigure: { ranked, scatter } });
})();
