/**
 * Decay curves of a reader's own comparison: what is left of the aerosol against time,
 * one panel a method, so that rooms and methods never share one. The curves of a device
 * are a script file of its own, asked for when they are first wanted.
 */
(function () {
  "use strict";

  const DASHES = ["", "8 4", "2 4", "11 4 2 4", "5 3", "14 5", "8 3 2 3 2 3", "1 3"];
  const COLOURS = 8;
  const MOST_BANDS = 3;
  const LOWEST = 0.1;
  const TOP = 34;
  const RIGHT = 30;

  /** @type {Map<string, Promise<any[]>>} */
  const asked = new Map();

  /**
   * @param {string} device
   * @param {string} folder where the files are
   * @returns {Promise<any[]>} its sets of curves; none where its file cannot be had
   */
  function curves(device, folder) {
    const known = asked.get(device);
    if (known) {
      return known;
    }
    const coming = new Promise((resolve) => {
      const script = document.createElement("script");
      script.addEventListener("load", () => {
        resolve((window.benchCurves || {})[device] || []);
      });
      script.addEventListener("error", () => resolve([]));
      script.src = `${folder}${encodeURIComponent(device)}.js`;
      document.head.append(script);
    });
    asked.set(device, coming);
    return coming;
  }

  /**
   * @param {{label: string, device: string, configuration: string, method: string}[]} rows
   * @param {string} folder
   * @returns {Promise<{panels: {method: string, title: string, series: any[]}[],
   *   bare: string[]}>} panels by method, and names of what has no curve
   */
  async function gathered(rows, folder) {
    const found = await Promise.all(rows.map((row) => curves(row.device, folder)));
    /** @type {Map<string, {method: string, title: string, series: any[]}>} */
    const panels = new Map();
    /** @type {string[]} */
    const bare = [];
    rows.forEach((row, at) => {
      const set = found[at].find((one) =>
        one.c === row.configuration && one.method === row.method);
      if (!set) {
        bare.push(row.label);
        return;
      }
      const panel = panels.get(row.method)
        || { method: row.method, title: set.panel, series: [] };
      panel.series.push({ label: row.label, configuration: row.configuration, set: set });
      panels.set(row.method, panel);
    });
    return { panels: Array.from(panels.values()), bare: bare };
  }

  /** @param {any[]} series @param {boolean} log */
  function heights(series, log) {
    const all = series.flatMap((one) => one.set.runs.flatMap((/** @type {any} */ run) =>
      run.y)).concat(series.map((one) => one.set.target));
    const top = Math.max.apply(null, [100, ...all.filter((y) => y !== null)]);
    if (!log) {
      return window.benchSheet.axis([0, top > 108 ? top : 100], true);
    }
    const above = all.filter((y) => y !== null && y > 0);
    const least = Math.max(Math.min.apply(null, [10, ...above]), LOWEST);
    const power = 10 ** Math.floor(Math.log10(least));
    const low = [5, 2, 1].map((n) => n * power).find((n) => n <= least * 1.0001) || power;
    const ticks = [];
    for (let at = power; at <= top; at *= 10) {
      [1, 2, 5].map((n) => Number((n * at).toPrecision(6)))
        .filter((n) => n >= low * 0.9999 && n <= top)
        .forEach((n) => ticks.push(n));
    }
    return { low: low, high: top, ticks: ticks };
  }

  /**
   * @param {{title: string, series: any[]}} panel
   * @param {{log: boolean, width: number, title: string, time: string, share: string,
   *   target: string, said: (series: any) => string,
   *   point: (line: any, n: number) => string}} about
   * @param {(value: number) => string} text
   */
  function draw(panel, about, text) {
    const tools = window.benchSheet;
    const element = tools.element;
    const narrow = about.width === tools.NARROW;
    const bottom = narrow ? 300 : 360;
    const names = panel.series.map((one) => tools.wrapped(one.label, about.width - 76));
    const key = names.reduce((sum, name) => sum + 4 + tools.LINE * name.length, 0);
    const said = panel.series.map((one) => `${one.label}: ${about.said(one)}`).join(". ");
    const drawing = tools.sheet(about.title, `${said}.`, about.width, bottom + 52 + key);
    const times = panel.series.flatMap((one) =>
      one.set.runs.map((/** @type {any} */ run) => run.t[run.t.length - 1]));
    const across = tools.axis([0, ...times], true, narrow ? 4 : 6);
    const end = Math.max.apply(null, times);
    const up = heights(panel.series, about.log);
    const left = narrow ? 40 : 48;
    const span = about.width - left - RIGHT;
    /** @param {number} t */
    const x = (t) => round(left + (t / end) * span);
    /** @param {number} y */
    const y = (y) => {
      const held = Math.min(Math.max(y, up.low), up.high);
      const part = about.log
        ? Math.log(held / up.low) / Math.log(up.high / up.low)
        : (held - up.low) / (up.high - up.low);
      return round(bottom - part * (bottom - TOP));
    };
    up.ticks.forEach((/** @type {number} */ tick) => {
      drawing.append(
        element("path", { class: "line-line", d: `M${left} ${y(tick)}H${left + span}` }),
        element("text", {
          class: "fill-soft", x: left - 8, y: y(tick) + 5, "text-anchor": "end",
        }, text(tick)),
      );
    });
    across.ticks.filter((/** @type {number} */ tick) => tick <= end * 1.0001)
      .forEach((/** @type {number} */ tick) => {
        drawing.append(element("text", {
          class: "fill-soft", x: x(tick), y: bottom + 18, "text-anchor": "middle",
        }, text(tick)));
      });
    drawing.append(
      element("text", { class: "fill-soft", x: 0, y: 16 }, about.share),
      element("text", {
        class: "fill-soft", x: left + span / 2, y: bottom + 38, "text-anchor": "middle",
      }, about.time),
    );
    const targets = new Set(panel.series.map((one) => one.set.target));
    targets.forEach((target) => {
      drawing.append(
        element("path", {
          class: "line-mark target", d: `M${left} ${y(target)}H${left + span}`,
        }),
        element("text", {
          class: "fill-mark", x: left + 4, y: y(target) - 5,
        }, about.target.replace("{percent}", text(target))),
      );
    });
    const bands = panel.series.length <= MOST_BANDS;
    panel.series.forEach((one, at) => {
      const ink = `d${(at % COLOURS) + 1}`;
      one.set.runs.forEach((/** @type {any} */ run) => {
        if (bands && run.fit && run.fit.low.length) {
          const fit = run.fit;
          const there = fit.t.map((/** @type {number} */ t, /** @type {number} */ n) =>
            `${x(t)} ${y(fit.high[n])}`);
          const back = fit.t.map((/** @type {number} */ t, /** @type {number} */ n) =>
            `${x(t)} ${y(fit.low[n])}`).reverse();
          drawing.append(element("path", {
            class: `fill-${ink} band`, d: `M${[...there, ...back].join("L")}Z`,
          }));
        }
        drawing.append(element("path", {
          class: `line-${ink} ${run.role}`,
          "stroke-dasharray": DASHES[at % DASHES.length] || "none",
          d: line(run, x, y, about.log ? up.low : -Infinity),
        }));
        floored(run, about.log ? up.low : -Infinity).forEach((t) => {
          drawing.append(element("path", {
            class: `line-${ink} floored`, d: `M${x(t) - 4} ${bottom - 7}h8l-4 7z`,
          }));
        });
      });
    });
    let below = bottom + 66;
    const ends = spread(panel.series.map((one) => {
      const run = one.set.runs[0];
      const last = lastKnown(run);
      return { x: x(run.t[last]) + 5, y: y(run.y[last]) + 5 };
    }));
    panel.series.forEach((one, at) => {
      drawing.append(
        element("text", {
          class: "fill-ink", x: ends[at].x, y: ends[at].y, "font-weight": "bold",
        }, String(at + 1)),
        element("text", { class: "fill-ink", x: 0, y: below, "font-weight": "bold" },
          String(at + 1)),
        element("path", {
          class: `line-d${(at % COLOURS) + 1} middle`,
          "stroke-dasharray": DASHES[at % DASHES.length] || "none",
          d: `M24 ${below - 5}h42`,
        }),
        tools.texts(76, below, names[at]),
      );
      below += 4 + tools.LINE * names[at].length;
    });
    const lines = panel.series.flatMap((one) =>
      one.set.runs.map((/** @type {any} */ run) => ({ label: one.label, run: run })));
    window.benchPoints.tell(drawing, lines.flatMap((one, at) => one.run.t
      .map((/** @type {number} */ t, /** @type {number} */ n) => ({
        x: x(t), y: y(one.run.y[n]), series: at, said: () => about.point(one, n),
      }))
      .filter((/** @type {any} */ _, /** @type {number} */ n) => one.run.y[n] !== null)));
    return drawing;
  }

  /** @param {number} value */
  function round(value) {
    return Math.round(value * 100) / 100;
  }

  /** @param {any} run @returns {number} place of its last reading that is there */
  function lastKnown(run) {
    let at = run.y.length - 1;
    while (at > 0 && run.y[at] === null) {
      at -= 1;
    }
    return at;
  }

  /** A path with a gap wherever a reading is missing.
   * @param {any} run
   * @param {(t: number) => number} x
   * @param {(y: number) => number} y
   * @param {number} low what lies below is drawn at the axis's foot
   */
  function line(run, x, y, low) {
    let pen = "M";
    return run.t.map((/** @type {number} */ t, /** @type {number} */ at) => {
      if (run.y[at] === null) {
        pen = "M";
        return "";
      }
      const made = `${pen}${x(t)} ${y(Math.max(run.y[at], low))}`;
      pen = "L";
      return made;
    }).join("");
  }

  /** @param {any} run @param {number} low @returns {number[]} times of what is too low */
  function floored(run, low) {
    return run.t.filter((/** @type {number} */ _, /** @type {number} */ at) =>
      run.y[at] !== null && run.y[at] < low);
  }

  /** Keeps numbers at line ends from standing on each other.
   * @param {{x: number, y: number}[]} places
   */
  function spread(places) {
    const order = places.map((_, at) => at).sort((a, b) => places[a].y - places[b].y);
    order.forEach((at, turn) => {
      order.slice(0, turn).forEach((other) => {
        const near = Math.abs(places[at].x - places[other].x) < 16;
        if (near && places[at].y - places[other].y < 14) {
          places[at].y = places[other].y + 14;
        }
      });
    });
    return places;
  }

  Object.assign(window, { benchDecay: { gathered, draw, MOST_BANDS } });
})();
