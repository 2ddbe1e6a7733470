"use strict";
/* A terminal's screen drawn as elements of the page: cells, colours, and what a pointer does on them.
   It understands what the bench draws with: cursor positions, colours (SGR), erasing, titles (ECMA-48, xterm). */

const BLANK = { text: " ", ink: "", ground: "", bold: false, dim: false, italic: false, under: false, struck: false,
  turned: false };
const WIDE = /[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|[\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]/u;
const JOINED = /^[\p{Mn}\p{Me}\p{Cf}]$/u;
const PLAIN = /^[\x20-\x7e\xa0-\xff\u2013\u2014\u2018-\u201d\u2026]$/;
const SIXTEEN = ["#3b4046", "#e06c5a", "#8fb573", "#e0b050", "#6f9fc8", "#b48ab8", "#6fb5ac", "#cfcabd",
  "#7d858d", "#ff8a76", "#a9d08a", "#f0c96a", "#8fbfe6", "#d0a6d4", "#8fd5cb", "#ffffff"];

/* Lines of a box: how heavy each arm is, left, right, up, down. */
const ARMS = { "─": "1100", "━": "2200", "│": "0011", "┃": "0022", "┌": "0101", "┐": "1001", "└": "0110", "┘": "1010",
  "├": "0111", "┤": "1011", "┬": "1101", "┴": "1110", "┼": "1111", "╭": "0101", "╮": "1001", "╰": "0110", "╯": "1010",
  "┏": "0202", "┓": "2002", "┗": "0220", "┛": "2020", "┣": "0222", "┫": "2022", "┳": "2202", "┻": "2220", "╋": "2222",
  "╴": "1000", "╶": "0100", "╵": "0010", "╷": "0001", "╸": "2000", "╺": "0200", "╹": "0020", "╻": "0002" };
const QUARTERS = { "▖": 4, "▗": 8, "▘": 1, "▙": 13, "▚": 9, "▛": 7, "▜": 11, "▝": 2, "▞": 6, "▟": 14 };

/* What a block or a line fills of its cell, as parts of it: [x, y, width, height] each. Null: the font has to draw it. */
function filled(text) {
  const code = text.codePointAt(0);
  if (code === 0x2580) return [[0, 0, 1, .5]];
  if (code >= 0x2581 && code <= 0x2588) return [[0, 1 - (code - 0x2580) / 8, 1, (code - 0x2580) / 8]];
  if (code >= 0x2589 && code <= 0x258f) return [[0, 0, (0x2590 - code) / 8, 1]];
  if (code === 0x2590) return [[.5, 0, .5, 1]];
  if (code === 0x2594) return [[0, 0, 1, .125]];
  if (code === 0x2595) return [[.875, 0, .125, 1]];
  if (text in QUARTERS)
    return [[0, 0], [.5, 0], [0, .5], [.5, .5]].filter((_, at) => QUARTERS[text] >> at & 1).map(([x, y]) => [x, y, .5, .5]);
  if (!(text in ARMS)) return null;
  if (text === "─" || text === "━") return [[0, .47, 1, +ARMS[text][0] * .06]];
  const [left, right, up, down] = ARMS[text], thick = (weight) => weight * .06, parts = [];
  const across = Math.max(left, right), along = Math.max(up, down);
  if (+left) parts.push([0, .5 - thick(left) / 2, .5 + thick(along), thick(left)]);
  if (+right) parts.push([.5 - thick(along), .5 - thick(right) / 2, .5 + thick(along), thick(right)]);
  if (+up) parts.push([.5 - thick(up), 0, thick(up) * 2, .5 + thick(across) / 2]);
  if (+down) parts.push([.5 - thick(down), .5 - thick(across) / 2, thick(down) * 2, .5 + thick(across) / 2]);
  return parts;
}

class BenchScreen {
  constructor(element) {
    this.element = element;
    this.rows = [];
    this.columns = this.lines = 0;
    this.x = this.y = 0;
    this.pen = BLANK;
    this.rest = "";
    this.decoder = new TextDecoder();
    this.changed = new Set();
  }

  /* The largest letters with which `wanted` columns fit; more columns where the letters would be huge. */
  fit(wanted) {
    const { clientWidth: width, clientHeight: height } = this.element;
    const probe = document.createElement("span");
    probe.textContent = "0".repeat(100);
    Object.assign(probe.style, { position: "absolute", visibility: "hidden", letterSpacing: "0", fontSize: "100px", whiteSpace: "pre" });
    this.element.append(probe);
    const share = probe.getBoundingClientRect().width / 10000;
    probe.remove();
    const size = Math.min(22, Math.floor(width / wanted / share * 4) / 4);
    // Whole points of the device, so that no seam shows in large digits.
    const points = devicePixelRatio || 1, cellWidth = Math.floor(size * share * points + .01) / points;
    this.cell = { width: cellWidth, height: Math.round(size * 1.22), size };
    const columns = Math.max(20, Math.floor(width / this.cell.width + .001));
    const lines = Math.max(8, Math.floor(height / this.cell.height));
    this.left = Math.max(0, Math.floor((width - columns * this.cell.width) / 2));
    Object.assign(this.element.style, { fontSize: `${size}px`, lineHeight: `${this.cell.height}px`,
      letterSpacing: `${cellWidth - size * share}px` });
    const other = columns !== this.columns || lines !== this.lines;
    this.resize(columns, lines);
    return other;
  }

  resize(columns, lines) {
    this.columns = columns;
    this.lines = lines;
    this.rows = Array.from({ length: lines }, (_, y) =>
      Array.from({ length: columns }, (_, x) => this.rows[y]?.[x] ?? BLANK));
    this.element.replaceChildren(...this.rows.map((_, y) => {
      const row = document.createElement("div");
      row.className = "row";
      Object.assign(row.style, { top: `${y * this.cell.height}px`, left: `${this.left}px`,
        height: `${this.cell.height}px`, width: `${columns * this.cell.width + 1}px` });
      this.changed.add(y);
      return row;
    }));
    this.draw();
  }

  clear() {
    this.rows = this.rows.map((row) => row.map(() => BLANK));
    this.decoder = new TextDecoder();
    this.rest = "";
    this.pen = BLANK;
    this.rows.forEach((_, y) => this.changed.add(y));
    this.draw();
  }

  /* Take what the bench wrote. Returns whether it rang, and the words of its notification, if it sent one. */
  write(bytes) {
    let rang = false, notice = "", at = 0;
    const text = this.rest + this.decoder.decode(bytes, { stream: true });
    this.rest = "";
    const sequence = /\x1b(?:\[([?>=<]?)([\d;:]*)[ !$"']?([@-~])|\]([^\x07\x1b]*)(?:\x07|\x1b\\)|P[^\x1b]*\x1b\\|[()][A-Z0-9]|[=>78cDEHM])/y;
    while (at < text.length) {
      const letter = text[at];
      if (letter === "\x1b") {
        sequence.lastIndex = at;
        const found = sequence.exec(text);
        if (!found) {
          if (text.length - at < 4096) { this.rest = text.slice(at); break; }
          at += 1;
          continue;
        }
        at = sequence.lastIndex;
        if (found[3] && !found[1]) this.control(found[3], found[2]);
        else if (found[4]?.startsWith("9;")) notice = found[4].slice(2);
        else if (found[4]?.startsWith("22;")) this.element.style.cursor = found[4].slice(3);
      } else if (letter < " ") {
        if (letter === "\x07") rang = true;
        if (letter === "\r") this.x = 0;
        if (letter === "\n") this.y = Math.min(this.y + 1, this.lines - 1);
        if (letter === "\b") this.x = Math.max(this.x - 1, 0);
        at += 1;
      } else {
        const whole = String.fromCodePoint(text.codePointAt(at));
        this.put(whole);
        at += whole.length;
      }
    }
    if (!this.waiting) {
      this.waiting = true;
      requestAnimationFrame(() => { this.waiting = false; this.draw(); });
    }
    return { rang, notice };
  }

  put(text) {
    const row = this.rows[this.y];
    if (!row) return;
    if (JOINED.test(text)) {
      const before = row[this.x - 1];
      if (before) row[this.x - 1] = { ...before, text: before.text + text };
      return;
    }
    const wide = WIDE.test(text) ? 2 : 1;
    if (this.x + wide > this.columns) return;
    row[this.x] = { ...this.pen, text };
    if (wide === 2) row[this.x + 1] = { ...this.pen, text: "" };
    this.x += wide;
    this.changed.add(this.y);
  }

  control(what, said) {
    const numbers = said.split(/[;:]/).map(Number), first = numbers[0] || 1;
    if (what === "H" || what === "f") [this.y, this.x] = [first - 1, (numbers[1] || 1) - 1];
    else if (what === "m") this.style(numbers);
    else if (what === "A") this.y = Math.max(0, this.y - first);
    else if (what === "B") this.y = Math.min(this.lines - 1, this.y + first);
    else if (what === "C") this.x += first;
    else if (what === "D") this.x = Math.max(0, this.x - first);
    else if (what === "G") this.x = first - 1;
    else if (what === "J" || what === "K") this.erase(what, numbers[0]);
  }

  erase(what, how) {
    this.rows.forEach((row, y) => row.forEach((_, x) => {
      const here = y * this.columns + x, at = this.y * this.columns + this.x;
      const mine = how === 2 || (how === 1 ? here <= at : here >= at);
      if (mine && (what === "J" || y === this.y)) { row[x] = { ...this.pen, text: " " }; this.changed.add(y); }
    }));
  }

  style(numbers) {
    const pen = { ...this.pen };
    for (let at = 0; at < numbers.length; at += 1) {
      const one = numbers[at];
      if (one === 0) Object.assign(pen, BLANK);
      else if (one === 1) pen.bold = true;
      else if (one === 2) pen.dim = true;
      else if (one === 3) pen.italic = true;
      else if (one === 4) pen.under = true;
      else if (one === 7) pen.turned = true;
      else if (one === 9) pen.struck = true;
      else if (one === 22) pen.bold = pen.dim = false;
      else if (one === 23) pen.italic = false;
      else if (one === 24) pen.under = false;
      else if (one === 27) pen.turned = false;
      else if (one === 29) pen.struck = false;
      else if (one === 39) pen.ink = "";
      else if (one === 49) pen.ground = "";
      else if (one >= 30 && one <= 37) pen.ink = SIXTEEN[one - 30];
      else if (one >= 40 && one <= 47) pen.ground = SIXTEEN[one - 40];
      else if (one >= 90 && one <= 97) pen.ink = SIXTEEN[one - 82];
      else if (one >= 100 && one <= 107) pen.ground = SIXTEEN[one - 92];
      else if (one === 38 || one === 48) {
        const which = one === 38 ? "ink" : "ground";
        if (numbers[at + 1] === 2) { pen[which] = `rgb(${numbers.slice(at + 2, at + 5).join(",")})`; at += 4; }
        else { pen[which] = SIXTEEN[numbers[at + 2]] ?? ""; at += 2; }
      }
    }
    this.pen = pen;
  }

  draw() {
    for (const y of this.changed) {
      const element = this.element.children[y], row = this.rows[y], spans = [];
      if (!element) continue;
      for (let x = 0; x < row.length;) {
        const cell = row[x], shape = filled(cell.text), letters = PLAIN.test(cell.text);
        // A shape from side to side is drawn once for all of its kind in a row.
        const joins = shape?.length === 1 && shape[0][2] === 1;
        let end = x + 1;
        while (end < row.length && alike(cell, row[end])
          && (letters ? PLAIN.test(row[end].text) : joins && cell.text === row[end].text)) end += 1;
        if (!letters && !shape) while (row[end]?.text === "") end += 1;
        spans.push(this.span(row.slice(x, end), shape, letters));
        x = end;
      }
      element.replaceChildren(...spans);
    }
    this.changed.clear();
  }

  span(cells, shape, letters) {
    const one = cells[0], span = document.createElement("span"), { width, height } = this.cell;
    const [ink, ground] = one.turned ? [one.ground || "var(--ground)", one.ink || "var(--ink)"] : [one.ink, one.ground];
    const text = cells.map((cell) => cell.text).join("");
    Object.assign(span.style, { width: `${cells.length * width}px`, color: ink, backgroundColor: ground });
    if (letters) span.className = "text";
    if (shape) {
      const boxes = shape.map(([x, y, w, h]) => {
        const [left, right] = edges(x, w, cells.length * width), [top, bottom] = edges(y, h, height);
        return [left, top, right - left, bottom - top];
      });
      const colour = ink || "var(--ink)";
      span.style.backgroundImage = boxes.map(() => `linear-gradient(${colour},${colour})`).join(",");
      span.style.backgroundPosition = boxes.map(([x, y]) => `${x}px ${y}px`).join(",");
      span.style.backgroundSize = boxes.map(([, , w, h]) => `${w}px ${h}px`).join(",");
      span.style.color = "transparent";
    } else {
      if (one.bold) span.style.fontWeight = "700";
      if (one.dim) span.style.opacity = ".65";
      if (one.italic) span.style.fontStyle = "italic";
      if (one.under || one.struck)
        span.style.textDecoration = `${one.under ? "underline" : ""} ${one.struck ? "line-through" : ""}`;
    }
    // The second sign asks for the plain form of what some devices draw as a picture.
    span.textContent = letters || shape ? text : text + (/[\u2190-\u21ff\u25a0-\u27bf\u2b00-\u2bff]/.test(text) ? "\ufe0e" : "");
    return span;
  }

  /* The cell under a pointer, counted from 1 as terminals do. */
  cellAt(event) {
    const box = this.element.getBoundingClientRect();
    const within = (value, most) => Math.min(Math.max(Math.floor(value) + 1, 1), most);
    return [within((event.clientX - box.left - this.left) / this.cell.width, this.columns),
      within((event.clientY - box.top) / this.cell.height, this.lines)];
  }
}

/* Where a part of a cell begins and ends, in whole pixels; what reaches the cell's end is cut off there, not before. */
function edges(from, share, whole) {
  const begin = Math.round(from * whole);
  return [begin, from + share > .99 ? Math.ceil(whole) + 1 : begin + Math.max(1, Math.round(share * whole))];
}

function alike(one, other) {
  return one.ink === other.ink && one.ground === other.ground && one.bold === other.bold && one.dim === other.dim
    && one.italic === other.italic && one.under === other.under && one.struck === other.struck
    && one.turned === other.turned;
}
