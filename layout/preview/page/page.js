// The page: it hears of each save, asks for the sheet it shows, and answers keys, buttons and the pointer.

import { View, keepScreenScale, screenScale } from "/page/view.js";
import { changesInWords, element, showClearances, showFaults, showNumbers } from "/page/numbers.js";

const $ = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";
const PAN = 60; // px that an arrow key moves the sheet
const STEP = 1.25; // what + and - zoom by
const NEAR = 4; // px: a line this near the pointer is pointed at

const drawing = $("drawing");
const sheet = element("div", "", { id: "paper" });
drawing.append(sheet);
const view = new View(drawing, sheet);

const now = { run: "", sheet: "", page: 0, digest: "", start: false, said: null, svg: null, point: -1 };
const hiddenLayers = new Set();
let asked = 0;

// --- what the server says ---------------------------------------------------------------------------------

async function fetched(path) {
  try {
    const answer = await fetch(path);
    return answer.ok ? await answer.json() : null;
  } catch {
    return null; // the line to the server is down: `listen` says so, and asks again when it is back
  }
}

async function refresh() {
  const turn = ++asked;
  const query = new URLSearchParams({
    sheet: now.sheet, page: now.page, has: now.digest, start: now.start ? "1" : "0",
  });
  const said = await fetched(`/state?${query}`);
  if (!said || turn !== asked) return;
  show(said);
  if (said.save && (said.save !== now.cleared || said.run !== now.clearedRun)) {
    const gaps = await fetched("/clearances");
    if (!gaps?.clearances || turn !== asked) return;
    showClearances(gaps.clearances);
    now.cleared = gaps.save;
    now.clearedRun = gaps.run;
  }
}

function show(said) {
  $("file").textContent = said.file;
  document.title = `${said.faults.length ? "fault: " : ""}${said.title ?? said.file} – layout watch`;
  if (said.svg !== undefined) {
    const saved = said.save !== now.said?.save || said.run !== now.run;
    showSheet(said);
    if (saved || said.mark !== now.said?.mark) {
      showNumbers(said);
      $("status").textContent = changesInWords(said);
    }
    now.said = said;
    now.run = said.run;
    drawing.dataset.mark = said.mark;
    drawing.dataset.save = said.save;
    light(lit);
  } else {
    $("status").textContent = said.faults.length ? "Nothing can be drawn yet." : "The drawing is being made.";
  }
  const faults = [...said.faults, ...(said.sheet_faults ?? [])];
  showFaults(faults);
  drawing.classList.toggle("stale", said.faults.length > 0);
  if (said.faults.length && said.save) {
    const count = said.faults.length === 1 ? "1 fault" : `${said.faults.length} faults`;
    $("status").textContent = `The file has ${count}. Save ${said.save} is still shown.`;
  } else if (said.save && now.faulty) $("status").textContent = changesInWords(said);
  now.faulty = said.faults.length > 0;
}

// Read as a document of its own, in which no script runs. HTML's reader takes a third of the time of XML's.
function parsed(text) {
  const made = new DOMParser().parseFromString(text, "text/html").querySelector("svg");
  if (!made) throw new Error("the drawing is not SVG");
  return document.adoptNode(made);
}

// The words that lie unpainted over their strokes, to be found and copied, take as long to lay out as all else:
// they follow once the sheet is seen.
function wordsLater(svg) {
  const gaps = [...svg.querySelectorAll("g[font-family]")].map((words) => {
    const gap = document.createComment("words");
    words.replaceWith(gap);
    return [gap, words];
  });
  requestAnimationFrame(() => setTimeout(() => gaps.forEach(([gap, words]) => gap.replaceWith(words))));
}

function place(svg, id) {
  const circle = svg?.querySelector(`[id="${id}"]`);
  return circle ? [Number(circle.getAttribute("cx")), Number(circle.getAttribute("cy"))] : null;
}

function showSheet(said) {
  const turned = said.sheet !== now.sheet || said.page !== now.page || !now.svg;
  if (said.svg !== null) {
    const before = turned ? null : place(now.svg, "point-bb");
    const svg = parsed(said.svg);
    const after = place(svg, "point-bb");
    wordsLater(svg);
    for (const group of svg.children) if (hiddenLayers.has(group.id)) group.style.display = "none";
    if (now.svg) now.svg.replaceWith(svg);
    else sheet.append(svg);
    now.svg = svg;
    view.show(said.size, turned ? null : before && after ? [after[0] - before[0], after[1] - before[1]] : [0, 0]);
    showLayers(svg);
  }
  now.sheet = said.sheet;
  now.page = said.page;
  now.digest = said.digest;
  if (turned) now.point = -1;
  showStart(said);
  showTurns(said);
  drawing.setAttribute("aria-label", `Drawing: ${said.sheet_title}`);
}

// The frame as it was when the watch began, under the new one; its names are the writer's, so they go.
function showStart(said) {
  sheet.querySelector("svg.start")?.remove();
  if (said.start) {
    const svg = parsed(said.start);
    for (const named of svg.querySelectorAll("[id]")) named.removeAttribute("id");
    svg.setAttribute("class", "start");
    svg.setAttribute("aria-hidden", "true");
    sheet.prepend(svg);
  }
  const button = document.querySelector('[data-do="start"]');
  button.disabled = !said.can_start;
  button.setAttribute("aria-pressed", String(now.start && said.can_start));
}

function showTurns(said) {
  const wanted = said.sheets.map((s) => s.key).join();
  const nav = $("sheets");
  if (nav.dataset.keys !== wanted) {
    nav.dataset.keys = wanted;
    nav.replaceChildren(...said.sheets.map(({ key, title }) => {
      const button = element("button", title, { type: "button", "data-sheet": key });
      button.addEventListener("click", () => turnTo(key));
      return button;
    }));
  }
  for (const button of nav.children) {
    button.setAttribute("aria-current", String(button.dataset.sheet === said.sheet));
  }
  $("turner").hidden = said.pages.length < 2;
  $("page-name").textContent = `${said.pages[said.page]} (${said.page + 1} of ${said.pages.length})`;
}

function showLayers(svg) {
  const groups = [...svg.children].filter((g) => g.localName === "g" && g.id && g.childElementCount);
  $("layers").replaceChildren(...groups.map((group) => {
    const button = element("button", group.id, { type: "button", "data-layer": group.id });
    button.setAttribute("aria-pressed", String(!hiddenLayers.has(group.id)));
    button.addEventListener("click", () => {
      const off = !hiddenLayers.delete(group.id);
      if (off) hiddenLayers.add(group.id);
      const shown = now.svg.querySelector(`:scope > g[id="${group.id}"]`);
      if (shown) shown.style.display = off ? "none" : "";
      button.setAttribute("aria-pressed", String(!off));
    });
    return button;
  }));
}

// A page that nobody sees lets go of its line: a browser holds only six open to one server.
let events = null;

function listen() {
  events?.close();
  if (document.visibilityState === "hidden") return;
  events = new EventSource("/events");
  events.addEventListener("message", refresh);
  events.addEventListener("error", () => {
    $("status").textContent = "`layout watch` has ended. Start it again at this address to go on.";
    if (events?.readyState === EventSource.CLOSED) setTimeout(listen, 1000);
  });
  events.addEventListener("open", () => {
    if (now.said) $("status").textContent = changesInWords(now.said);
  });
}

// --- turning, points, the ruler ---------------------------------------------------------------------------

function turnTo(key, page = 0) {
  now.sheet = key;
  now.page = page;
  now.digest = "";
  now.svg?.remove();
  now.svg = null;
  refresh();
}

function turnBy(step) {
  const count = now.said?.pages.length ?? 1;
  if (count > 1) turnTo(now.sheet, (now.page + step + count) % count);
}

function nextPoint() {
  const across = (circle) => Number(circle.getAttribute("cx"));
  const points = [...(now.svg?.querySelectorAll('circle[id^="point-"]') ?? [])];
  points.sort((one, other) => across(one) - across(other));
  if (!points.length) return say("This sheet has no named points.");
  now.point = (now.point + 1) % points.length;
  const id = points[now.point].id;
  view.centre(place(now.svg, id), Math.max(screenScale(), Math.min(view.scale, 12)));
  say(`Point: ${id.slice("point-".length).replaceAll("_", " ")}`);
}

function say(text) {
  $("lit").textContent = text;
}

let barScale = 0;

function ruler(open) {
  $("ruler").hidden = !open;
  if (!open) return;
  barScale = screenScale();
  showBar();
  $("longer").focus();
}

function showBar() {
  const long = window.innerWidth > 480 ? 100 : 50;
  $("bar").style.width = `${long * barScale}px`;
  $("bar-length").textContent = `${long} mm`;
}

function stretch(factor) {
  barScale = Math.min(30, Math.max(1.5, barScale * factor));
  showBar();
}

$("shorter").addEventListener("click", () => stretch(1 / 1.005));
$("longer").addEventListener("click", () => stretch(1.005));
$("fits").addEventListener("click", () => {
  keepScreenScale(barScale);
  ruler(false);
  say("1:1 is now true on this screen.");
  drawing.focus();
});
$("ruler").addEventListener("keydown", (e) => {
  const keys = { ArrowLeft: "shorter", ArrowRight: "longer", Enter: "fits" };
  if (e.key === "Escape") ruler(false);
  else if (keys[e.key]) $(keys[e.key]).click();
  else return;
  e.preventDefault();
  e.stopPropagation();
});

// --- a number lights its dimension, and the other way ------------------------------------------------------

let lit = "";

function light(name) {
  lit = name;
  for (const on of document.querySelectorAll(".lit")) on.classList.remove("lit");
  sheet.querySelector("svg.over")?.remove();
  if (!name || !now.said) return;
  const row = $("dimensions").querySelector(`tr[data-dimension="${CSS.escape(name)}"]`);
  row?.classList.add("lit");
  const parts = now.svg?.querySelectorAll(`[data-of="${CSS.escape(name)}"]`) ?? [];
  for (const part of parts) part.classList.add("lit");
  const span = now.said.spans?.[name];
  if (span && !parts.length) over(span);
  const said = now.said.rows.find((r) => r.name === name);
  if (!said) return;
  const where = parts.length || span ? "" : " It has no place on this sheet.";
  const value = said.value === null ? "not calculated" : `${said.shown}${said.unit === "°" ? "°" : " mm"}`;
  $("lit").replaceChildren(element("b", `${said.words} ${value}`), `: ${said.meaning}.${where}`);
}

function over(span) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("class", "over");
  svg.setAttribute("viewBox", `0 0 ${now.said.size[0]} ${now.said.size[1]}`);
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("d", span);
  svg.append(path);
  sheet.append(svg);
}

function pointedAt(x, y) {
  for (const [dx, dy] of [[0, 0], [NEAR, 0], [-NEAR, 0], [0, NEAR], [0, -NEAR]]) {
    const part = document.elementFromPoint(x + dx, y + dy)?.closest?.("[data-of]");
    if (part) return part.dataset.of;
  }
  return "";
}

let waiting = false;
drawing.addEventListener("pointermove", (e) => {
  if (waiting || view.fingers.size) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    const name = pointedAt(e.clientX, e.clientY);
    if (name && name !== lit) light(name);
  });
});
drawing.addEventListener("click", (e) => {
  if (view.moved >= 4) return; // the end of a drag
  const name = pointedAt(e.clientX, e.clientY);
  light(name);
  const row = $("dimensions").querySelector(`tr[data-dimension="${CSS.escape(name)}"]`);
  if (name && row) row.scrollIntoView({ block: "nearest" });
});
for (const event of ["pointerover", "focusin", "click"]) {
  $("dimensions").addEventListener(event, (e) => {
    const name = e.target.closest("tr[data-dimension]")?.dataset.dimension;
    if (name && name !== lit) light(name);
  });
}

$("dimensions").addEventListener("keydown", (e) => {
  const rows = [...$("dimensions").tBodies[0].rows];
  const at = rows.indexOf(e.target.closest("tr"));
  const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: rows.length - 1 }[e.key];
  if (at < 0 || to === undefined || !rows[to]) return;
  rows[at].tabIndex = -1;
  rows[to].tabIndex = 0;
  rows[to].focus();
  e.preventDefault();
  e.stopPropagation();
});

// --- buttons and keys -------------------------------------------------------------------------------------

const actions = {
  whole: () => view.whole(),
  true: () => view.zoom(screenScale() / view.scale),
  in: () => view.zoom(STEP),
  out: () => view.zoom(1 / STEP),
  point: nextPoint,
  start: () => {
    if (!now.said?.can_start) return;
    now.start = !now.start;
    refresh();
  },
  ruler: () => ruler($("ruler").hidden),
  back: () => turnBy(-1),
  on: () => turnBy(1),
};
const keys = {
  0: "whole", 1: "true", "+": "in", "=": "in", "-": "out", n: "point", s: "start", r: "ruler", "[": "back",
  "]": "on",
};
const arrows = { ArrowLeft: [PAN, 0], ArrowRight: [-PAN, 0], ArrowUp: [0, PAN], ArrowDown: [0, -PAN] };

for (const button of document.querySelectorAll("[data-do]")) {
  button.addEventListener("click", () => actions[button.dataset.do]());
}
document.addEventListener("keydown", (e) => {
  if (e.ctrlKey || e.altKey || e.metaKey) return;
  if (e.key === "Escape") return light("");
  if (keys[e.key]) actions[keys[e.key]]();
  else if (arrows[e.key] && document.activeElement === drawing) view.pan(...arrows[e.key]);
  else return;
  e.preventDefault();
});

document.addEventListener("visibilitychange", listen);
listen();
