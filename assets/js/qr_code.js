/**
 * QR codes of addresses that only the reader's browser knows: ISO/IEC 18004, byte mode,
 * level M, as a matrix of dark modules.
 */
(function () {
  "use strict";

  // Of level M, by version: codewords for correction in a block, and blocks.
  const CORRECTION = [10, 16, 26, 18, 24, 16, 18, 22, 22, 26, 30, 22, 22, 24, 24, 28, 28,
    26, 26, 26, 26, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28, 28,
    28, 28];
  const BLOCKS = [1, 1, 1, 2, 2, 4, 4, 4, 5, 5, 5, 8, 9, 9, 10, 10, 11, 13, 14, 16, 17,
    17, 18, 20, 21, 23, 25, 26, 28, 29, 31, 33, 35, 37, 38, 40, 43, 45, 47, 49];
  const QUIET = 4;

  /** @type {((x: number, y: number) => boolean)[]} */
  const MASKS = [
    (x, y) => (x + y) % 2 === 0,
    (x, y) => y % 2 === 0,
    (x) => x % 3 === 0,
    (x, y) => (x + y) % 3 === 0,
    (x, y) => (Math.floor(x / 3) + Math.floor(y / 2)) % 2 === 0,
    (x, y) => ((x * y) % 2) + ((x * y) % 3) === 0,
    (x, y) => (((x * y) % 2) + ((x * y) % 3)) % 2 === 0,
    (x, y) => (((x + y) % 2) + ((x * y) % 3)) % 2 === 0,
  ];

  /** @param {number} version @returns {number[]} centres of alignment patterns */
  function centres(version) {
    if (version === 1) {
      return [];
    }
    const count = Math.floor(version / 7) + 2;
    const last = 4 * version + 10;
    const step = version === 32 ? 26 : 2 * Math.ceil((last - 6) / (2 * (count - 1)));
    const found = [6];
    for (let at = count - 2; at >= 0; at -= 1) {
      found.push(last - at * step);
    }
    return found;
  }

  /** @param {number} version @returns {number} codewords that a code holds */
  function codewords(version) {
    let modules = (16 * version + 128) * version + 64;
    if (version > 1) {
      const count = Math.floor(version / 7) + 2;
      modules -= (25 * count - 10) * count - 55;
      modules -= version > 6 ? 36 : 0;
    }
    return Math.floor(modules / 8);
  }

  /** @param {number} version @returns {number} codewords for the text itself */
  function room(version) {
    return codewords(version) - CORRECTION[version - 1] * BLOCKS[version - 1];
  }

  // Arithmetic in the field of 256 elements, by x^8 + x^4 + x^3 + x^2 + 1.
  const powers = new Uint8Array(255);
  const logs = new Uint8Array(256);
  for (let at = 0, value = 1; at < 255; at += 1) {
    powers[at] = value;
    logs[value] = at;
    value = value & 128 ? (value << 1) ^ 0x11d : value << 1;
  }

  /** @param {number} a @param {number} b */
  function times(a, b) {
    return a && b ? powers[(logs[a] + logs[b]) % 255] : 0;
  }

  /** @param {number} degree @returns {number[]} the generator without its first term */
  function generator(degree) {
    let found = [1];
    for (let at = 0; at < degree; at += 1) {
      const next = new Array(found.length + 1).fill(0);
      found.forEach((term, place) => {
        next[place] ^= term;
        next[place + 1] ^= times(term, powers[at]);
      });
      found = next;
    }
    return found.slice(1);
  }

  /** @param {number[]} block @param {number[]} divisor @returns {number[]} */
  function remainder(block, divisor) {
    const left = new Array(divisor.length).fill(0);
    block.forEach((word) => {
      const factor = word ^ left[0];
      left.shift();
      left.push(0);
      divisor.forEach((term, at) => {
        left[at] ^= times(term, factor);
      });
    });
    return left;
  }

  /** @param {Uint8Array} bytes @param {number} version @returns {number[]} */
  function words(bytes, version) {
    /** @type {number[]} */
    const bits = [];
    /** @param {number} value @param {number} length */
    function put(value, length) {
      for (let at = length - 1; at >= 0; at -= 1) {
        bits.push((value >> at) & 1);
      }
    }
    put(4, 4);
    put(bytes.length, version < 10 ? 8 : 16);
    bytes.forEach((one) => put(one, 8));
    const most = 8 * room(version);
    put(0, Math.min(4, most - bits.length));
    put(0, (8 - (bits.length % 8)) % 8);
    for (let fill = 0xec; bits.length < most; fill ^= 0xec ^ 0x11) {
      put(fill, 8);
    }
    const found = [];
    for (let at = 0; at < bits.length; at += 8) {
      found.push(parseInt(bits.slice(at, at + 8).join(""), 2));
    }
    return found;
  }

  /** @param {number[]} data @param {number} version @returns {number[]} */
  function interleaved(data, version) {
    const count = BLOCKS[version - 1];
    const divisor = generator(CORRECTION[version - 1]);
    const short = Math.floor(data.length / count);
    const longer = data.length % count;
    /** @type {number[][]} */
    const blocks = [];
    let from = 0;
    for (let at = 0; at < count; at += 1) {
      const length = short + (at >= count - longer ? 1 : 0);
      blocks.push(data.slice(from, from + length));
      from += length;
    }
    /** @param {number[][]} parts */
    function across(parts) {
      const found = [];
      const longest = Math.max.apply(null, parts.map((part) => part.length));
      for (let at = 0; at < longest; at += 1) {
        parts.forEach((part) => {
          if (at < part.length) {
            found.push(part[at]);
          }
        });
      }
      return found;
    }
    return [...across(blocks), ...across(blocks.map((each) => remainder(each, divisor)))];
  }

  /**
   * @param {number} value
   * @param {number} divisor
   * @param {number} length bits of the remainder
   * @returns {number} the value with its remainder behind it
   */
  function protectedBits(value, divisor, length) {
    let left = value;
    for (let at = 0; at < length; at += 1) {
      left = (left << 1) ^ ((left >> (length - 1)) * divisor);
    }
    return (value << length) | left;
  }

  /** What stands in every code of a version, the rest free (null). @param {number} version */
  function frame(version) {
    const side = 4 * version + 17;
    /** @type {(boolean | null)[][]} rows */
    const grid = Array.from({ length: side }, () => new Array(side).fill(null));
    for (let at = 0; at < side; at += 1) {
      grid[6][at] = at % 2 === 0;
      grid[at][6] = at % 2 === 0;
    }
    [[3, 3], [side - 4, 3], [3, side - 4]].forEach(([cx, cy]) => {
      for (let dy = -4; dy <= 4; dy += 1) {
        for (let dx = -4; dx <= 4; dx += 1) {
          const ring = Math.max(Math.abs(dx), Math.abs(dy));
          if (grid[cy + dy] && grid[cy + dy][cx + dx] !== undefined) {
            grid[cy + dy][cx + dx] = ring !== 2 && ring !== 4;
          }
        }
      }
    });
    const places = centres(version);
    places.forEach((cy, down) => places.forEach((cx, along) => {
      const last = places.length - 1;
      if ((!down && !along) || (!down && along === last) || (down === last && !along)) {
        return;
      }
      for (let dy = -2; dy <= 2; dy += 1) {
        for (let dx = -2; dx <= 2; dx += 1) {
          grid[cy + dy][cx + dx] = Math.max(Math.abs(dx), Math.abs(dy)) !== 1;
        }
      }
    }));
    if (version > 6) {
      const bits = protectedBits(version, 0x1f25, 12);
      for (let at = 0; at < 18; at += 1) {
        const dark = ((bits >> at) & 1) === 1;
        const near = side - 11 + (at % 3);
        grid[Math.floor(at / 3)][near] = dark;
        grid[near][Math.floor(at / 3)] = dark;
      }
    }
    writeFormat(grid, 0);
    return grid;
  }

  /** @param {(boolean | null)[][]} grid @param {number} mask */
  function writeFormat(grid, mask) {
    const side = grid.length;
    // Level M is written as 00.
    const bits = protectedBits(mask, 0x537, 10) ^ 0x5412;
    for (let at = 0; at < 15; at += 1) {
      const dark = ((bits >> at) & 1) === 1;
      const down = at < 6 ? at : at < 8 ? at + 1 : side - 15 + at;
      const along = at < 8 ? side - 1 - at : at < 9 ? 15 - at : 14 - at;
      grid[down][8] = dark;
      grid[8][along] = dark;
    }
    grid[side - 8][8] = true;
  }

  /**
   * Fills the free modules with the data, in the order of the standard.
   * @param {(boolean | null)[][]} fixed
   * @param {number[]} data
   * @param {number} mask
   * @returns {boolean[][]}
   */
  function filled(fixed, data, mask) {
    const side = fixed.length;
    const grid = fixed.map((row) => row.map((dark) => dark === true));
    let bit = 0;
    for (let right = side - 1; right > 0; right -= 2) {
      const column = right <= 6 ? right - 1 : right;
      for (let step = 0; step < side; step += 1) {
        const upward = ((column + 1) & 2) === 0;
        const y = upward ? side - 1 - step : step;
        [column, column - 1].forEach((x) => {
          if (fixed[y][x] === null) {
            const word = data[bit >> 3] || 0;
            grid[y][x] = (((word >> (7 - (bit & 7))) & 1) === 1) !== MASKS[mask](x, y);
            bit += 1;
          }
        });
      }
    }
    writeFormat(grid, mask);
    return grid;
  }

  /** The standard's four counts of what is hard to read. @param {boolean[][]} grid */
  function penalty(grid) {
    const side = grid.length;
    const columns = grid.map((_, x) => grid.map((row) => row[x]));
    let found = 0;
    [grid, columns].forEach((lines) => lines.forEach((line) => {
      for (let at = 0; at < side;) {
        let end = at;
        while (end < side && line[end] === line[at]) {
          end += 1;
        }
        found += end - at >= 5 ? end - at - 2 : 0;
        at = end;
      }
      const text = line.map(Number).join("");
      const ends = `0000${text}0000`;
      for (let at = text.indexOf("1011101"); at >= 0; at = text.indexOf("1011101", at + 1)) {
        const before = ends.slice(at, at + 4) === "0000";
        const after = ends.slice(at + 11, at + 15) === "0000";
        found += before || after ? 40 : 0;
      }
    }));
    let dark = 0;
    grid.forEach((row, y) => row.forEach((one, x) => {
      dark += one ? 1 : 0;
      const next = grid[y + 1];
      if (next && x + 1 < side && row[x + 1] === one && next[x] === one
        && next[x + 1] === one) {
        found += 3;
      }
    }));
    return found + 10 * Math.floor(Math.abs((100 * dark) / (side * side) - 50) / 5);
  }

  /**
   * @param {string} text
   * @param {number} [asked] one of the eight masks; the most readable without it
   * @returns {boolean[][] | null} rows of dark modules; null for a text that is too long
   */
  function make(text, asked) {
    const bytes = new TextEncoder().encode(text);
    let version = 1;
    while (version <= 40
      && 8 * room(version) < 4 + (version < 10 ? 8 : 16) + 8 * bytes.length) {
      version += 1;
    }
    if (version > 40) {
      return null;
    }
    const fixed = frame(version);
    const data = interleaved(words(bytes, version), version);
    if (asked !== undefined) {
      return filled(fixed, data, asked);
    }
    return MASKS.map((_, mask) => filled(fixed, data, mask))
      .map((grid) => ({ grid: grid, points: penalty(grid) }))
      .reduce((best, one) => (one.points < best.points ? one : best)).grid;
  }

  /**
   * @param {boolean[][]} grid
   * @param {string} title
   * @returns {SVGElement} the code, dark on light also on a dark page
   */
  function draw(grid, title) {
    const side = grid.length + 2 * QUIET;
    /** @param {string} name @param {Record<string, string | number>} given */
    function element(name, given) {
      const made = document.createElementNS("http://www.w3.org/2000/svg", name);
      Object.keys(given).forEach((key) => made.setAttribute(key, String(given[key])));
      return made;
    }
    const drawing = /** @type {SVGElement} */ (element("svg", {
      class: "qr", viewBox: `0 0 ${side} ${side}`, role: "img", "aria-label": title,
      "shape-rendering": "crispEdges",
    }));
    const path = grid.map((row, y) => row.map((dark, x) =>
      (dark ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : "")).join("")).join("");
    drawing.append(
      element("rect", { width: side, height: side, fill: "#fff" }),
      element("path", { fill: "#000", d: path }),
    );
    return drawing;
  }

  Object.assign(window, { benchQr: { make, draw } });
})();
