"use strict";
/* The page around the screen: its window on the server, keys, touch, the bell, and what it says when the line is lost. */

const $ = (selector) => document.querySelector(selector);
const screenBox = $("#screen"), typed = $("#typed"), state = $("#state");
const sent = JSON.parse(document.body.dataset.sent);
const shown = new BenchScreen(screenBox);
const CLOSED_BY_BAKER = 4000, UNUSED = 4001, FULL = 4003;
const LONGEST_WAIT_MS = 5000;
let line = null, fresh = false, waitMs = 500, quiet = null;

/* -- the window on the server ------------------------------------------------------------------------------------- */

const wanted = () => (innerWidth < 600 ? 40 : innerWidth < 1100 ? 80 : 110);
const isOpen = () => line?.readyState === WebSocket.OPEN;
const say = (...words) => isOpen() && line.send(JSON.stringify(words));
const press = (keys) => { hush(); say("keys", keys); };

function open() {
  shown.fit(wanted());
  const look = matchMedia("(prefers-color-scheme: light)").matches ? "day" : "night";
  line = new WebSocket(`ws://${location.host}/window?width=${shown.columns}&height=${shown.lines}&look=${look}`);
  line.binaryType = "arraybuffer";
  line.addEventListener("open", () => {
    fresh = true;
    say("size", shown.columns, shown.lines);
    say(document.hidden ? "blur" : "focus");
  });
  line.addEventListener("message", ({ data }) => {
    if (fresh) {
      // Only now is there a bench: one that cannot start is not asked for again and again at once.
      fresh = false;
      waitMs = 500;
      shown.clear();
      tell("");
    }
    const { rang, notice } = shown.write(new Uint8Array(data));
    if (rang) ring(notice);
  });
  line.addEventListener("close", ({ code }) => {
    if (code === CLOSED_BY_BAKER) tell("The bench is closed here. The bakes go on.", "Open it again", open);
    else if (code === UNUSED) tell("Nobody has used this page for long, so it is closed.", "Type a new code", reload);
    else if (code === FULL) tell("Too many windows are open. Close one first.", "Try again", open);
    else lost();
  });
}

function lost() {
  tell("The connection is lost: what you see may be old. The bakes go on; this page tries again by itself.");
  setTimeout(look, waitMs);
  waitMs = Math.min(waitMs * 2, LONGEST_WAIT_MS);
}

async function look() {
  try {
    const answer = await fetch("/here");
    if (answer.ok) open();
    else if (answer.status === 401) tell("The server was started again: it wants a new code.", "Type it", reload);
    else lost();
  } catch {
    lost();
  }
}

const reload = () => location.reload();

function tell(words, word = "", job = null) {
  const button = state.querySelector("button");
  state.hidden = !words;
  state.querySelector("span").textContent = words;
  button.hidden = !word;
  button.textContent = word;
  button.onclick = job;
  refit();
}

function refit() {
  if (shown.fit(wanted())) say("size", shown.columns, shown.lines);
}

new ResizeObserver(refit).observe(screenBox);
document.addEventListener("visibilitychange", () => say(document.hidden ? "blur" : "focus"));

/* -- the bell ------------------------------------------------------------------------------------------------------ */

let sound = null;

/* A browser lets a page sound only after it was touched. */
function mayRing() {
  sound ??= new AudioContext();
  sound.resume().then(() => document.body.classList.add("heard"));
}
addEventListener("pointerdown", mayRing, { capture: true });
addEventListener("keydown", mayRing, { capture: true });

function ring(words) {
  document.body.classList.add("ringing");
  document.title = words || "Proofbell rings";
  clearTimeout(quiet);
  quiet = setTimeout(hush, 10000);
  navigator.vibrate?.([200, 100, 200]);
  if (sound?.state !== "running") return;
  for (const [after, pitch] of [[0, 1046], [.28, 784], [.56, 1046]]) {
    const tone = sound.createOscillator(), loud = sound.createGain(), at = sound.currentTime + after;
    tone.type = "triangle";
    tone.frequency.value = pitch;
    loud.gain.setValueAtTime(.5, at);
    loud.gain.exponentialRampToValueAtTime(.001, at + .5);
    tone.connect(loud).connect(sound.destination);
    tone.start(at);
    tone.stop(at + .5);
  }
}

function hush() {
  document.body.classList.remove("ringing");
  document.title = "Proofbell";
}

/* -- keys ---------------------------------------------------------------------------------------------------------- */

const NAMES = { Enter: "enter", Escape: "escape", Tab: "tab", Backspace: "backspace", Delete: "delete", Insert: "insert",
  ArrowUp: "up", ArrowDown: "down", ArrowLeft: "left", ArrowRight: "right", Home: "home", End: "end",
  PageUp: "pageup", PageDown: "pagedown" };

function bytesOf(event) {
  if (event.metaKey || event.isComposing || event.key === "Unidentified") return null;
  const letter = event.key.toLowerCase();
  if (event.ctrlKey && !event.altKey) return sent.ctrl.includes(letter) && letter.length === 1 ? String.fromCharCode(letter.charCodeAt(0) - 96) : null;
  const name = NAMES[event.key] ?? (/^F\d+$/.test(event.key) ? letter : "");
  if (name) return (event.shiftKey && sent[`shift+${name}`]) || sent[name] || null;
  return [...event.key].length === 1 ? event.key : null;
}

addEventListener("keydown", (event) => {
  if (event.target.closest("footer, #state") && ["Enter", " ", "Tab"].includes(event.key)) return;
  const keys = bytesOf(event);
  if (keys === null) return;
  event.preventDefault();
  press(keys);
});

/* What a device's own keyboard types does not come as keys. One letter stays in the field, so that it can be erased. */
const KEPT = " ";
typed.value = KEPT;
typed.addEventListener("input", (event) => {
  if (event.isComposing) return;
  const said = typed.value.startsWith(KEPT) ? typed.value.slice(1) : typed.value;
  if (!typed.value) press(sent.backspace);
  else if (said) press(said.replace(/\r?\n/g, sent.enter));
  typed.value = KEPT;
  typed.setSelectionRange(1, 1);
});
typed.addEventListener("compositionend", () => typed.dispatchEvent(new InputEvent("input")));
addEventListener("paste", (event) => {
  event.preventDefault();
  const text = event.clipboardData.getData("text").replaceAll("\x1b", "");
  if (text) press(`\x1b[200~${text}\x1b[201~`);
});

/* -- the key row and the pad --------------------------------------------------------------------------------------- */

const touches = matchMedia("(pointer: coarse)").matches;

function digits(on) {
  document.body.classList.toggle("digits", on);
  $("#digits").setAttribute("aria-pressed", String(on));
  $("#digits").textContent = on && innerWidth < 700 ? "keys" : "123";
}

function letters(on) {
  $("#letters").setAttribute("aria-pressed", String(on));
  typed.inputMode = on ? "text" : "none";
  typed.blur();
  typed.focus({ preventScroll: true });
}

document.querySelectorAll("button[data-sends]").forEach((button) => {
  // The screen keeps the focus, so that no keyboard comes up or goes.
  button.addEventListener("pointerdown", (event) => event.preventDefault());
  button.addEventListener("click", () => {
    press(JSON.parse(button.dataset.sends));
    if (button.dataset.id === "bench.reading") digits(true);
    if (button.dataset.id === "escape") digits(false);
  });
});
$("#digits").addEventListener("click", () => digits(!document.body.classList.contains("digits")));
$("#letters").addEventListener("click", () => letters(typed.inputMode === "none"));

/* -- a pointer on the screen: a tap is a click, a swipe turns the wheel -------------------------------------------- */

const mouse = (button, event, end) => say("keys", `\x1b[<${button};${shown.cellAt(event).join(";")}${end}`);
let down = null;

screenBox.addEventListener("pointerdown", (event) => {
  event.preventDefault();
  typed.focus({ preventScroll: true });
  hush();
  down = { y: event.clientY, moved: false };
  screenBox.setPointerCapture(event.pointerId);
  if (event.pointerType === "mouse" && event.button === 0) mouse(0, event, "M");
});
screenBox.addEventListener("pointermove", (event) => {
  if (!down || event.pointerType === "mouse") return;
  for (; Math.abs(event.clientY - down.y) > shown.cell.height; down.moved = true) {
    const back = event.clientY > down.y;
    mouse(back ? 64 : 65, event, "M");
    down.y += back ? shown.cell.height : -shown.cell.height;
  }
});
screenBox.addEventListener("pointerup", (event) => {
  if (down && event.pointerType !== "mouse" && !down.moved) mouse(0, event, "M");
  if (down && !down.moved && event.button === 0) mouse(0, event, "m");
  down = null;
});
screenBox.addEventListener("pointercancel", () => { down = null; });
screenBox.addEventListener("wheel", (event) => {
  event.preventDefault();
  mouse(event.deltaY < 0 ? 64 : 65, event, "M");
}, { passive: false });

// Some devices lay their keyboard over the page: what is left above it is the page then.
if (touches) globalThis.visualViewport?.addEventListener("resize", () => {
  document.body.style.height = typed.inputMode === "none" ? "" : `${visualViewport.height}px`;
});

letters(!touches);
$("#letters").hidden = !touches;
open();
