/**
 * What is drawn of a reader's own comparison, the table of the same numbers below it,
 * and the ways to take it along: files, and a code of the address.
 */
(function () {
  "use strict";

  /**
   * @param {any} data what the page holds
   * @param {any} state what the address decides
   * @param {(line: any) => string} label name of a row
   */
  function begin(data, state, label) {
    const cells = window.benchCells;
    const said = cells.said;
    const words = data.words;
    const quantities = new Map(
      data.quantities.map((/** @type {any} */ each) => [each.name, each]),
    );
    /** @param {string} id @returns {any} */
    const part = (id) => document.getElementById(id);
    const box = part("chosen-figure");
    /** @type {any[]} */
    let shownLines = [];
    /** @type {{panels: any[], bare: string[]}} */
    let curves = { panels: [], bare: [] };
    let turn = 0;
    let width = 0;

    /** @param {number} value */
    function number(value) {
      return new Intl.NumberFormat(data.locale).format(value);
    }

    /** @param {any} row @param {any} quantity */
    function value(row, quantity) {
      const turned = cells.unitOf(quantity, data, state).factor;
      const rate = quantity.rounding === "money" && state.rate ? state.rate.value : 1;
      /** @param {string} name */
      const one = (name) =>
        name && row[name] !== null ? (row[name] / turned) * rate : null;
      const middle = one(quantity.name);
      return middle === null
        ? null
        : { value: middle, low: one(quantity.low), high: one(quantity.high) };
    }

    /** @param {any} quantity */
    function titled(quantity) {
      const unit = cells.unitOf(quantity, data, state).unit;
      return unit ? `${quantity.label}, ${unit}` : quantity.label;
    }

    /** A level of nought decibels is no absence of sound. @param {any} quantity */
    function zero(quantity) {
      return quantity.rounding !== "sound";
    }

    /** @param {any[]} quantities_ */
    function marksOf(quantities_) {
      const [up, across] = quantities_;
      return shownLines.map((line) => {
        const row = cells.own(line.row, data, state);
        const spoken = quantities_.map((quantity) => {
          const shown = cells.shown(quantity, row, data, state);
          const unit = cells.unitOf(quantity, data, state).unit;
          const between = shown.interval ? ` (${shown.interval})` : "";
          return `${shown.text} ${unit}${between}`;
        });
        return {
          label: label(line),
          x: across ? value(row, across) : null,
          y: value(row, up),
          said: spoken.join(", "),
          rated: row.validity !== "not_rated",
          doubtful: quantities_.some((quantity) => quantity.name === "cadr_m3h")
            && row.cadr_low !== null && row.cadr_low <= 0,
        };
      });
    }

    function drawNumbers() {
      const two = state.figure === "scatter";
      const up = quantities.get(state.y || "cadr_m3h");
      const across = quantities.get(state.x || "sound_dba");
      const marks = marksOf(two ? [up, across] : [up]);
      const drawn = marks.filter((mark) => mark.y !== null && (!two || mark.x !== null));
      const left = marks.filter((mark) => drawn.indexOf(mark) < 0)
        .map((mark) => mark.label);
      if (!drawn.length) {
        put([], left, []);
        return;
      }
      const one = {
        title: two
          ? said(words.scatter_title, { x: across.label, y: up.label })
          : said(words.ranked_title, { quantity: up.label }),
        width: width,
      };
      const single = new Set(shownLines.map((line) => line.row.family)).size === 1;
      const about = two
        ? Object.assign(one, { x: titled(across), y: titled(up), xZero: zero(across),
            yZero: zero(up), xUp: across.better === "up", yUp: up.better === "up",
            edge: single })
        : Object.assign(one, { label: titled(up), zero: zero(up) });
      const drawing = two
        ? window.benchFigure.scatter(drawn, about, number)
        : window.benchFigure.ranked(drawn, about, number);
      const notes = [];
      if (drawn.some((mark) => !mark.rated)) {
        notes.push(words.hollow);
      }
      if (drawing.querySelector(".below")) {
        notes.push(words.below_zero);
      }
      if (drawing.querySelector(".edge")) {
        notes.push(words.edge);
      }
      put([drawing], left, notes);
    }

    async function drawCurves() {
      turn += 1;
      const mine = turn;
      const rows = shownLines.map((line) => ({
        label: label(line),
        device: line.row.device,
        configuration: line.row.configuration,
        method: line.row.method,
      }));
      box.setAttribute("aria-busy", "true");
      const found = await window.benchDecay.gathered(rows, box.dataset.curves || "");
      // Another choice may have been made while the files came.
      if (mine !== turn || state.figure !== "decay") {
        return;
      }
      curves = found;
      const log = state.scale !== "linear";
      const drawings = curves.panels.map((panel) => window.benchDecay.draw(panel, {
        log: log,
        width: width,
        title: said(words.decay_title, { method: panel.title }),
        time: words.decay_time,
        share: words.decay_share,
        target: words.decay_target,
        said: (/** @type {any} */ one) => rateText(one.set.runs[0]),
        point: pointText,
      }, number));
      const notes = curves.panels.length ? [words.decay_lines] : [];
      if (curves.panels.some((panel) => panel.series.length > window.benchDecay.MOST_BANDS)) {
        notes.push(words.decay_no_bands);
      }
      if (drawings.some((drawing) => drawing.querySelector(".floored"))) {
        notes.push(words.decay_floored);
      }
      if (curves.panels.length > 1) {
        notes.push(words.decay_panels);
      }
      put(drawings, curves.bare, notes);
      if (curves.panels.length) {
        box.append(curveTable());
      }
    }

    /** @param {any} run */
    function rateText(run) {
      const found = window.benchNumbers.interval(
        run.rate[0], run.rate[1], run.rate[2], data.locale);
      return found.low
        ? `${found.value} 1/h (${said(words.to, { low: found.low, high: found.high })})`
        : `${found.value} 1/h`;
    }

    /** A reading of a run, with what the fit allows there. @param {any} line
     * @param {number} n which reading */
    function pointText(line, n) {
      const run = line.run;
      /** @param {number} share */
      const short = (share) => number(Number(share.toPrecision(3)));
      const said_ = said(words.point, {
        name: line.label, run: run.run, percent: short(run.y[n]), time: short(run.t[n]),
      });
      const limits = run.fit && window.benchPoints.limitsAt(run.fit, run.t[n]);
      const [low, high] = limits ? limits.map(short) : ["", ""];
      // At its start the curve is the whole, by definition: there is no band.
      return low === high
        ? said_
        : `${said_} · ${said(words.point_fit, { low: low, high: high })}`;
    }

    /** The numbers of the curves: every run with its rate. */
    function curveTable() {
      const table = document.createElement("table");
      table.setAttribute("aria-label", words.curve_table);
      const head = document.createElement("tr");
      [words.configuration, words.run, words.decay_rate, words.points, words.watched]
        .forEach((text) => head.append(cell("th", text, "col")));
      head.cells[1].className = "words";
      const made = document.createElement("thead");
      made.append(head);
      const body = document.createElement("tbody");
      curves.panels.forEach((panel) => panel.series.forEach((/** @type {any} */ one) => {
        one.set.runs.forEach((/** @type {any} */ run) => {
          const line = document.createElement("tr");
          line.append(
            cell("th", one.label, "row"),
            cell("td", run.run),
            cell("td", rateText(run)),
            cell("td", String(run.points)),
            cell("td", `${number(Math.round(10 * run.t[run.t.length - 1]) / 10)} min`),
          );
          line.cells[1].className = "words";
          body.append(line);
        });
      }));
      table.append(made, body);
      const frame = document.createElement("div");
      frame.className = "frame";
      frame.tabIndex = 0;
      frame.setAttribute("role", "group");
      frame.setAttribute("aria-label", words.curve_table);
      frame.append(table);
      return frame;
    }

    /** @param {string} tag @param {string} text @param {string} [scope] */
    function cell(tag, text, scope) {
      const made = document.createElement(tag);
      made.textContent = text;
      if (scope) {
        made.setAttribute("scope", scope);
      }
      return made;
    }

    /** @param {SVGElement[]} drawings @param {string[]} left @param {string[]} notes */
    function put(drawings, left, notes) {
      const several = drawings.length > 1;
      /** @type {Node[]} */
      const parts = drawings.flatMap((drawing, at) => {
        const shown = window.benchPoints.around(drawing, { hint: words.point_hint });
        if (!several) {
          return shown;
        }
        const title = document.createElement("h3");
        title.textContent = curves.panels[at].title;
        return [title, ...shown];
      });
      const note = document.createElement("p");
      note.className = "small soft";
      const missing = left.length
        ? [said(state.figure === "decay" ? words.no_curve : words.not_drawn,
            { names: left.join("; ") })]
        : [];
      note.textContent = [...notes, ...missing].join(" ");
      box.removeAttribute("aria-busy");
      box.replaceChildren(...parts, note);
      part("chosen-save").hidden = !drawings.length;
    }

    function redraw() {
      width = window.benchSheet.widthIn(box);
      const decay = state.figure === "decay";
      part("in-x").closest("p").hidden = state.figure !== "scatter";
      part("in-y").closest("p").hidden = decay;
      part("in-scale").closest("p").hidden = !decay;
      if (decay) {
        drawCurves();
      } else {
        drawNumbers();
      }
    }

    /** @param {any[]} lines the rows chosen, in their order */
    function draw(lines) {
      shownLines = lines;
      redraw();
    }

    function name() {
      return state.figure === "decay" ? "compare-decay" : `compare-${state.y || "cadr_m3h"}`;
    }

    /** The drawn numbers as CSV: of curves every point, else all that was measured. */
    function table() {
      if (state.figure === "decay") {
        return [
          ["device", "filter", "speed", "method", "run", "role", "elapsed_min", "share_pct"],
          ...curves.panels.flatMap((panel) => panel.series.flatMap((/** @type {any} */ one) =>
            one.set.runs.flatMap((/** @type {any} */ run) =>
              run.t.map((/** @type {number} */ t, /** @type {number} */ at) =>
                [...one.configuration.split("."), panel.method, run.run, run.role, t,
                  run.y[at]])))),
        ];
      }
      const names = ["device", "filter", "speed", "method", "fraction",
        ...data.quantities.flatMap((/** @type {any} */ each) =>
          [each.name, each.low, each.high]).filter(Boolean)];
      return [names, ...shownLines.map((line) => {
        const row = cells.own(line.row, data, state);
        return names.map((each) => row[each]);
      })];
    }

    ["svg", "png"].forEach((kind) => {
      part(`save-${kind}`).addEventListener("click", () => {
        box.querySelectorAll("svg").forEach((
          /** @type {SVGElement} */ drawing, /** @type {number} */ at,
        ) => {
          const more = at ? `-${at + 1}` : "";
          window.benchSave.figure(drawing, kind, `${name()}${more}.${kind}`);
        });
      });
    });
    part("save-csv").addEventListener("click", () => {
      window.benchDownload.csv(table(), `${name()}.csv`);
    });
    if (window.ResizeObserver) {
      new ResizeObserver(() => {
        if (box.clientWidth && shownLines.length
          && window.benchSheet.widthIn(box) !== width) {
          redraw();
        }
      }).observe(box);
    }

    const code = part("page-code");
    const around = code.closest("details");

    /** Draws the code of the address when its section is open. */
    function showCode() {
      if (!around.open) {
        return;
      }
      const address = (part("page-address").textContent || "").trim();
      const grid = window.benchQr.make(address);
      if (grid) {
        code.replaceChildren(
          window.benchQr.draw(grid, said(words.qr, { address: address })));
      } else {
        code.textContent = words.qr_long;
      }
    }
    around.addEventListener("toggle", showCode);

    return { draw: draw, showCode: showCode };
  }

  Object.assign(window, { benchDrawing: { begin } });
})();
