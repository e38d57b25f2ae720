/**
 * The sheet that a reader's own figures are drawn on: its two widths, its parts, names
 * broken into lines, and the steps of an axis.
 */
(function () {
  "use strict";

  const SVG = "http://www.w3.org/2000/svg";
  const WIDE = 720;
  const NARROW = 340;
  const WIDE_FROM = 600;
  const SIZE = 14;
  const LINE = 18;

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
   * @param {number} [count] about how many steps
   */
  function axis(values, zero, count = 5) {
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
    const rough = (high - low) / count;
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

  /** @param {HTMLElement} box @returns {number} the width that a drawing in it has, px */
  function widthIn(box) {
    return box.clientWidth >= WIDE_FROM ? WIDE : NARROW;
  }

  /**
   * Breaks a name where the drawing is too narrow for it.
   * @param {string} text
   * @param {number} px
   * @returns {string[]} lines
   */
  function wrapped(text, px) {
    const most = Math.floor(px / (0.55 * SIZE));
    /** @type {string[]} */
    const lines = [];
    text.split(" ").forEach((word) => {
      const last = lines[lines.length - 1];
      if (last !== undefined && last.length + 1 + word.length <= most) {
        lines[lines.length - 1] = `${last} ${word}`;
      } else {
        lines.push(word);
      }
    });
    return lines;
  }

  /**
   * @param {number} x
   * @param {number} y of the first line
   * @param {string[]} lines
   * @returns {SVGElement}
   */
  function texts(x, y, lines) {
    const made = element("text", { class: "fill-ink", x: x, y: y });
    lines.forEach((line, at) => {
      made.append(element("tspan", { x: x, y: y + at * LINE }, line));
    });
    return made;
  }

  let drawn = 0;

  /**
   * @param {string} title
   * @param {string} said
   * @param {number} width
   * @param {number} height
   */
  function sheet(title, said, width, height) {
    drawn += 1;
    const drawing = element("svg", {
      class: "drawing own",
      viewBox: `0 0 ${width} ${height}`,
      role: "img",
      "aria-labelledby": `own-title-${drawn} own-desc-${drawn}`,
      "font-size": SIZE,
    });
    drawing.append(
      element("title", { id: `own-title-${drawn}` }, title),
      element("desc", { id: `own-desc-${drawn}` }, said),
    );
    return drawing;
  }

  Object.assign(window, {
    benchSheet: { element, axis, widthIn, wrapped, texts, sheet, NARROW, LINE },
  });
})();
