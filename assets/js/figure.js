/**
 * Makes a figure interactive when it comes into view: the drawing is replaced by a
 * chart whose values can be read by pointing, by touch and by the arrow keys, whose
 * lines can be brought to the fore, and whose axis can be turned. The charts' runtime
 * is one file of this site, asked for only then; without it the drawing stays.
 */
(function () {
  "use strict";

  const WIDE_FROM = 640;
  /** @type {Promise<void> | null} */
  let runtime = null;

  /** @param {string} source */
  function loaded(source) {
    if (!runtime) {
      runtime = new Promise((resolve, reject) => {
        const script = document.createElement("script");
        script.src = source;
        script.onload = () => resolve();
        script.onerror = () => reject(new Error("no chart runtime"));
        document.head.append(script);
      });
    }
    return runtime;
  }

  /** @param {any} packed @returns {Record<string, any>[]} */
  function unpack(packed) {
    return packed.rows.map((/** @type {any[]} */ cells) => {
      /** @type {Record<string, any>} */
      const row = {};
      packed.columns.forEach((/** @type {string} */ name, /** @type {number} */ at) => {
        row[name] = cells[at];
      });
      return packed.by ? Object.assign(row, packed.same[row[packed.by]]) : row;
    });
  }

  /** @param {string} tag @param {string} name */
  function made(tag, name) {
    const element = document.createElement(tag);
    element.className = name;
    return element;
  }

  /** @param {HTMLElement} figure @param {HTMLScriptElement} source */
  function prepare(figure, source) {
    const told = JSON.parse(source.textContent || "{}");
    const words = told.words;
    const reads = told.reads;
    const chart = made("div", "chart");
    const tools = made("div", "chart-tools");
    const output = made("output", "chart-read");
    const ring = made("div", "chart-ring");
    ring.hidden = true;
    chart.tabIndex = 0;
    chart.setAttribute("role", "application");
    chart.setAttribute("aria-label", source.dataset.title || "");
    const description = made("p", "unseen");
    description.id = `${figure.id}-said`;
    description.textContent = source.dataset.said || "";
    chart.setAttribute("aria-describedby", description.id);
    const state = { other: false, picked: "", at: -1, form: "" };
    /** @type {any} */
    let view = null;
    /** @type {Record<string, any>[]} */
    let points = [];
    let titles = ["", ""];

    function form() {
      const size = figure.clientWidth >= WIDE_FROM ? "wide" : "narrow";
      return state.other ? `${size}_other` : size;
    }

    /** @param {any} spec lines fade that are not picked */
    function fading(spec) {
      if (!reads.series) {
        return;
      }
      spec.params = [...spec.params, { name: "picked", value: state.picked }];
      spec.layer.forEach((/** @type {any} */ layer) => {
        const encoding = layer.encoding || {};
        if (encoding.detail && encoding.detail.field === "line") {
          encoding.opacity = {
            condition: { test: "picked === '' || datum.label === picked", value: 1 },
            value: 0.12,
          };
        }
      });
    }

    async function draw() {
      const name = form();
      const chosen = told.forms[name];
      const spec = JSON.parse(JSON.stringify(chosen.spec));
      spec.datasets = {};
      Object.keys(chosen.data).forEach((key) => {
        spec.datasets[key] = unpack(told.pool[chosen.data[key]]);
      });
      fading(spec);
      const holder = made("div", "chart-drawing");
      holder.setAttribute("aria-hidden", "true");
      const embedded = await window.vegaEmbed(holder, spec, {
        actions: false,
        ast: true,
        defaultStyle: false,
        renderer: "svg",
        tooltip: false,
      });
      if (view) {
        view.finalize();
      }
      view = embedded.view;
      state.form = name;
      chart.replaceChildren(holder, ring);
      points = spec.datasets[reads.data].filter(
        (/** @type {any} */ row) => row[reads.y || "py"] !== null,
      );
      titles = titlesOf(spec);
      state.at = Math.min(state.at, points.length - 1);
    }

    /** @param {any} spec @returns {string[]} */
    function titlesOf(spec) {
      const layer = spec.layer.find(
        (/** @type {any} */ each) => each.data.name === reads.data && each.encoding.x,
      );
      const titled = (/** @type {string} */ channel) =>
        (layer && layer.encoding[channel] && layer.encoding[channel].title) || "";
      return [titled("x"), titled("y")];
    }

    /** @param {Record<string, any>} row */
    function placeOf(row) {
      const origin = view.origin();
      const around = view.padding();
      const x = view.scale("x")(row[reads.x]);
      const y = reads.y ? view.scale("y")(row[reads.y]) : row.py;
      return [x + origin[0] + around.left, y + origin[1] + around.top];
    }

    /** @returns {{left: number, top: number, factor: number}} of the drawing in the box */
    function frame() {
      const drawing = chart.querySelector("svg");
      const inner = (drawing || chart).getBoundingClientRect();
      const outer = chart.getBoundingClientRect();
      const width = drawing ? Number(drawing.getAttribute("width")) || inner.width : 1;
      return {
        left: inner.left - outer.left,
        top: inner.top - outer.top,
        factor: inner.width / width,
      };
    }

    /** @param {number} value */
    function number(value) {
      const short = Number(value.toPrecision(3));
      return short.toLocaleString(document.documentElement.lang);
    }

    /** @param {number} at */
    function read(at) {
      if (!view || !points.length) {
        return;
      }
      state.at = Math.max(0, Math.min(at, points.length - 1));
      const row = points[state.at];
      const place = placeOf(row);
      const box = frame();
      ring.hidden = false;
      ring.style.left = `${box.left + place[0] * box.factor}px`;
      ring.style.top = `${box.top + place[1] * box.factor}px`;
      const values = reads.said.length
        ? reads.said.map((/** @type {string} */ name) => row[name])
        : [`${titles[1]}: ${number(row[reads.y])}`, `${titles[0]}: ${number(row[reads.x])}`];
      output.textContent = [row.label, ...values].filter(Boolean).join(" · ");
    }

    /** @param {PointerEvent | MouseEvent} event */
    function pointed(event) {
      if (!view) {
        return;
      }
      const outer = chart.getBoundingClientRect();
      const box = frame();
      const x = (event.clientX - outer.left - box.left) / box.factor;
      const y = (event.clientY - outer.top - box.top) / box.factor;
      let best = -1;
      let least = Infinity;
      points.forEach((row, at) => {
        if (state.picked && row.label !== state.picked) {
          return;
        }
        const place = placeOf(row);
        const away = Math.hypot(place[0] - x, place[1] - y);
        if (away < least) {
          least = away;
          best = at;
        }
      });
      if (best >= 0) {
        read(best);
      }
    }

    /** @param {number} step to the next point of the same line, or of the next one */
    function along(step) {
      const now = points[state.at];
      let at = state.at + step;
      while (state.picked && points[at] && points[at].label !== state.picked) {
        at += step;
      }
      if (points[at] || !now) {
        read(at);
      }
    }

    /** @param {number} step */
    function across(step) {
      const labels = Array.from(new Set(points.map((row) => row.label)));
      const now = points[state.at];
      if (!now || labels.length < 2) {
        along(step);
        return;
      }
      const next = labels[
        (labels.indexOf(now.label) + step + labels.length) % labels.length
      ];
      let best = -1;
      points.forEach((row, at) => {
        const nearer = best < 0
          || Math.abs(row[reads.x] - now[reads.x])
            < Math.abs(points[best][reads.x] - now[reads.x]);
        if (row.label === next && nearer) {
          best = at;
        }
      });
      read(best);
    }

    /** @param {KeyboardEvent} event */
    function pressed(event) {
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
    }

    function scaleTool() {
      const group = made("div", "tool");
      group.setAttribute("role", "group");
      group.setAttribute("aria-label", words.scale);
      const first = told.forms.wide.spec.layer.some((/** @type {any} */ layer) =>
        layer.encoding.y && layer.encoding.y.scale && layer.encoding.y.scale.type === "log");
      const names = first ? [words.log, words.linear] : [words.linear, words.log];
      names.forEach((name, at) => {
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = name;
        button.setAttribute("aria-pressed", String(at === 0));
        button.addEventListener("click", async () => {
          state.other = at === 1;
          Array.from(group.querySelectorAll("button")).forEach((each, place) => {
            each.setAttribute("aria-pressed", String(place === at));
          });
          await draw();
          ring.hidden = true;
          if (state.at >= 0) {
            read(state.at);
          }
        });
        group.append(button);
      });
      return group;
    }

    function seriesTool() {
      const labels = Array.from(new Set(points.map((row) => row.label)));
      const group = made("div", "tool");
      group.setAttribute("role", "group");
      group.setAttribute("aria-label", words.series);
      if (labels.length < 2) {
        return group;
      }
      labels.forEach((label) => {
        const button = document.createElement("button");
        button.type = "button";
        button.textContent = label;
        button.setAttribute("aria-pressed", "false");
        button.addEventListener("click", () => {
          state.picked = state.picked === label ? "" : label;
          Array.from(group.querySelectorAll("button")).forEach((each) => {
            each.setAttribute("aria-pressed", String(each.textContent === state.picked));
          });
          view.signal("picked", state.picked).run();
        });
        group.append(button);
      });
      return group;
    }

    async function start() {
      await loaded(source.dataset.runtime || "");
      await draw();
      if (told.forms.wide_other) {
        tools.append(scaleTool());
      }
      if (reads.series) {
        tools.append(seriesTool());
      }
      chart.addEventListener("pointermove", pointed);
      chart.addEventListener("click", pointed);
      chart.addEventListener("keydown", pressed);
      output.textContent = words.hint;
      source.before(tools, chart, output, description);
      figure.classList.add("live");
      if (window.ResizeObserver) {
        new ResizeObserver(() => {
          if (form() !== state.form) {
            draw();
          }
        }).observe(figure);
      }
    }

    return start;
  }

  /** @type {NodeListOf<HTMLElement>} */
  const figures = document.querySelectorAll("figure.figure");
  figures.forEach((figure) => {
    /** @type {HTMLScriptElement | null} */
    const source = figure.querySelector(".chart-data");
    if (!source || !window.IntersectionObserver) {
      return;
    }
    const observer = new IntersectionObserver(
      (entries) => {
        if (entries.some((entry) => entry.isIntersecting)) {
          observer.disconnect();
          prepare(figure, source)().catch(() => {
            // The drawing stays; nothing is lost.
          });
        }
      },
      { rootMargin: "100px" },
    );
    observer.observe(figure);
  });
})();
