/**
 * Saves a drawing of the page as a file: SVG with its colours written into it, or PNG of
 * twice its size on the page's paper.
 */
(function () {
  "use strict";

  const KEPT = ["fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-opacity",
    "fill-opacity", "stroke-linejoin", "font-family", "font-size", "font-weight", "text-anchor"];

  /**
   * @param {SVGElement} drawing
   * @returns {{text: string, width: number, height: number, paper: string}}
   */
  function standing(drawing) {
    const copy = /** @type {SVGElement} */ (drawing.cloneNode(true));
    const theirs = [drawing, ...Array.from(drawing.querySelectorAll("*"))];
    const mine = [copy, ...Array.from(copy.querySelectorAll("*"))];
    mine.forEach((element, at) => {
      const style = getComputedStyle(theirs[at]);
      KEPT.forEach((name) => {
        element.setAttribute(name, style.getPropertyValue(name));
      });
      element.removeAttribute("class");
    });
    const box = (drawing.getAttribute("viewBox") || "0 0 720 400").split(" ").map(Number);
    const paper = getComputedStyle(document.body).backgroundColor;
    const sheet = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    [["x", box[0]], ["y", box[1]], ["width", box[2]], ["height", box[3]],
      ["fill", paper]].forEach(([name, value]) => {
      sheet.setAttribute(String(name), String(value));
    });
    copy.insertBefore(sheet, copy.firstChild);
    copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
    copy.setAttribute("width", String(box[2]));
    copy.setAttribute("height", String(box[3]));
    const text = new XMLSerializer().serializeToString(copy);
    return { text: text, width: box[2], height: box[3], paper: paper };
  }

  /**
   * @param {SVGElement} drawing
   * @param {string} kind `svg` or `png`
   * @param {string} name of the file
   */
  function figure(drawing, kind, name) {
    const made = standing(drawing);
    const offer = window.benchDownload.offer;
    if (kind === "svg") {
      offer(new Blob([made.text], { type: "image/svg+xml" }), name);
      return;
    }
    const image = new Image();
    image.addEventListener("load", () => {
      const canvas = document.createElement("canvas");
      canvas.width = 2 * made.width;
      canvas.height = 2 * made.height;
      const context = canvas.getContext("2d");
      if (context) {
        context.drawImage(image, 0, 0, canvas.width, canvas.height);
        canvas.toBlob((data) => data && offer(data, name), "image/png");
      }
    });
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(made.text)}`;
  }

  Object.assign(window, { benchSave: { figure } });
})();
