// The plot on squared paper: drawn and dragged, its gate set on an edge.
import { $, draw, el } from "./paper.js";

const WIDE = [17, 45], DEEP = [19, 61], ROOM = 3;
const SIDES = { south: [0, -1], north: [0, 1], west: [-1, 0], east: [1, 0] };
let hearers, now = {}, came = {}, amiss = [], alone = [], held = null;

export function begin(told) {
  hearers = told;
  const paper = draw("svg", { class: "paper", viewBox: `0 0 ${WIDE[1] + 2 * ROOM} ${DEEP[1] + 2 * ROOM}`, role: "group", "aria-label": "The plot on squared paper, north is up" });
  const tools = el("div", { class: "drafting" }, button("open-plot", "Leave the plot open", () => changed({ plot: undefined, outline: undefined })),
    button("notch", "Cut a corner", notch), button("whole", "Make it a rectangle", () => changed({ outline: undefined })));
  const sliders = el("div", {}, slide("plot-wide", "Width, west to east", WIDE, 0), slide("plot-deep", "Depth, south to north", DEEP, 1));
  $("plot").append(el("span", { class: "label" }, "The plot"), paper, sliders, tools);
  paper.addEventListener("pointermove", moved);
  for (const name of ["pointerup", "pointercancel"]) paper.addEventListener(name, dropped);
}

function button(id, text, work) {
  const node = el("button", { type: "button", id }, text);
  node.addEventListener("click", work);
  return node;
}

function slide(id, text, [least, most], axis) {
  const node = el("input", { id, type: "range", min: least, max: most });
  const size = () => { const next = [...plot()]; next[axis] = Number(node.value); return next; };
  node.addEventListener("input", () => { now = { ...now, ...sized(size()) }; show(); hearers.previewed(sized(size())); });
  node.addEventListener("change", () => changed(sized(size())));
  return el("div", { class: "field" }, el("output", { for: id, id: `${id}-out` }), el("label", { for: id }, text), node);
}

const given = () => now.plot || (Array.isArray(now.outline) ? bounds(now.outline) : null);
const plot = () => given() || came.plot || [25, 31];
const corners = () => {
  if (Array.isArray(now.outline)) return now.outline;
  if (came.outline?.length && (!now.plot || typeof now.outline === "string")) return came.outline;
  const [x, y] = plot();
  return [[0, 0], [x, 0], [x, y], [0, y]];
};
const bounds = (points) => [0, 1].map((axis) => Math.max(...points.map((p) => p[axis])));
const within = (n, [least, most]) => Math.min(most, Math.max(least, n));

function sized(size) {
  const plot = [within(size[0], WIDE), within(size[1], DEEP)];
  if (!Array.isArray(now.outline)) return { plot, plot_least: undefined, plot_most: undefined };
  const [x, y] = bounds(now.outline);
  return { outline: now.outline.map((p) => [p[0] === x ? plot[0] : p[0], p[1] === y ? plot[1] : p[1]]), plot: undefined };
}

export function fill(brief, drawn) {
  now = brief.outline?.length < 4 ? { ...brief, outline: undefined } : brief;
  came = drawn;
  if (!held) show();
}

// Show what cannot be met together on the paper: the plot's edge, rooms as slips of their least floor, and
// each other wish as it lies in a house that asks for nothing else.
export function wrong(fields, wishes = []) {
  amiss = fields;
  alone = wishes;
  show();
}

const at = (x, y) => [ROOM + x, ROOM + DEEP[1] - y];

function show() {
  const paper = $("plot").querySelector(".paper"), points = corners();
  const [wide, deep] = bounds(points);
  for (const [id, n] of [["plot-wide", wide], ["plot-deep", deep]]) { $(id).value = n; $(`${id}-out`).textContent = given() ? `${n} cells` : `as it comes: ${n}`; }
  const focus = document.activeElement?.getAttribute?.("data-handle");
  const path = (list) => list.map((p, n) => `${n ? "L" : "M"}${at(...p).join(" ")}`).join("");
  const kind = ["land", given() ? "" : "open", amiss.some((f) => /^(plot|outline)/.test(f)) ? "wrong" : ""].filter(Boolean).join(" ");
  paper.replaceChildren(
    draw("path", { class: "squares", d: grid(1) }), draw("path", { class: "fives", d: grid(5) }),
    draw("path", { class: kind, d: `${path(points)}Z` }),
    ...Object.keys(now.sides || {}).map((side) => draw("path", { class: `party${amiss.some((f) => f === "sides" || f === `sides.${side}`) ? " wrong" : ""}`, d: path(edge(side, points)) })),
    ...slips(), ...wished(), words(wide / 2, deep - 2.4, `${wide}`), words(wide - 1.8, deep / 2 - 0.7, `${deep}`),
    ...points.map((_, n) => grip(n, points)).filter(Boolean), corner(wide, deep), ...Object.keys(SIDES).map((side) => gate(side, points)),
  );
  if (focus) paper.querySelector(`[data-handle="${focus}"]`)?.focus({ preventScroll: true });
  $("open-plot").disabled = !given();
  $("whole").hidden = !now.outline;
}

const grid = (every) => {
  let d = "";
  for (let x = 0; x <= WIDE[1]; x += every) d += `M${at(x, 0).join(" ")}V${ROOM}`;
  for (let y = 0; y <= DEEP[1]; y += every) d += `M${at(0, y).join(" ")}H${ROOM + WIDE[1]}`;
  return d;
};

const words = (x, y, text) => { const [u, v] = at(x, y); return draw("text", { x: u, y: v }, text); };

function slips() {
  const rooms = amiss.filter((f) => f.startsWith("rooms.")).map((f) => now.rooms?.[Number(f.split(".")[1])]).filter(Boolean);
  let x = 1, y = 1, high = 0;
  return rooms.flatMap((wish) => Array.from({ length: Math.min(wish.count ?? 1, 24) }, () => {
    const side = Math.ceil(Math.sqrt(wish.area?.[0] || 12));
    if (x + side > plot()[0] - 1) { x = 1; y += high + 1; high = 0; }
    const [u, v] = at(x, y + side);
    x += side + 1; high = Math.max(high, side);
    return draw("g", {}, draw("title", {}, wish.kind), draw("rect", { class: "slip", x: u, y: v, width: side, height: side }));
  }));
}

function wished() {
  const box = ([x0, y0, x1, y1], name) => { const [u, v] = at(x0, y1); return draw("rect", { class: name, x: u, y: v, width: x1 - x0, height: y1 - y0 }); };
  const note = (text, n) => draw("text", { class: "note", x: ROOM + WIDE[1], y: ROOM + 2.5 + 3 * n }, text);
  return alone.flatMap(({ field, text, wings, courts }, n) => [
    draw("g", { "data-field": field }, draw("title", {}, text), ...wings.map((w) => box(w, "wing")), ...courts.map((c) => box(c, "court"))), note(text, n),
  ]);
}

function edge(side, points) {
  const [wide, deep] = bounds(points);
  const along = points.map((p, n) => [p, points[(n + 1) % points.length]]).filter(([p, q]) => {
    const axis = side === "east" || side === "west" ? 0 : 1, end = side === "east" ? wide : side === "north" ? deep : 0;
    return p[axis] === end && q[axis] === end;
  });
  const long = ([p, q]) => Math.abs(p[0] - q[0]) + Math.abs(p[1] - q[1]);
  if (along.length) return along.reduce((a, b) => (long(b) > long(a) ? b : a));
  return { south: [[0, 0], [wide, 0]], north: [[0, deep], [wide, deep]], west: [[0, 0], [0, deep]], east: [[wide, 0], [wide, deep]] }[side];
}

function gate(side, points) {
  const [dx, dy] = SIDES[side];
  const [a, b] = edge(side, points), middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const [u, v] = at(middle[0] + dx * 1.5, middle[1] + dy * 1.5), tip = [u - dx * 1.3, v + dy * 1.3];
  const d = `M${tip.join(" ")}L${u + dy * 1.1} ${v + dx * 1.1}L${u - dy * 1.1} ${v - dx * 1.1}Z`;
  const here = now.gate === side, drawn = !now.gate && came.gate === side;
  const node = draw("path", {
    class: `gate${here || drawn ? " here" : ""}${amiss.includes("gate") && (here || !now.gate) ? " wrong" : ""}`, d, tabindex: 0, role: "button", "data-handle": `gate ${side}`, "aria-pressed": here,
    "aria-label": `Gate to the ${side}${drawn ? ", as it comes" : ""}`,
  });
  const work = () => changed({ gate: here ? undefined : side });
  node.addEventListener("click", work);
  node.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); work(); } });
  return node;
}

function corner(wide, deep) {
  const [u, v] = at(wide, deep);
  const node = draw("circle", {
    class: "handle", cx: u, cy: v, r: 1.1, tabindex: 0, role: "slider", "data-handle": "corner", "aria-label": "Far corner of the plot; arrow keys move it",
    "aria-valuemin": WIDE[0], "aria-valuemax": DEEP[1], "aria-valuenow": wide, "aria-valuetext": `${wide} by ${deep} cells`,
  });
  hold(node, ([x, y]) => sized([x, y]));
  arrows(node, ([dx, dy]) => sized([wide + dx, deep + dy]));
  return node;
}

// The edges of an outline are dragged straight across themselves.
function grip(n, points) {
  if (!Array.isArray(now.outline)) return null;
  const next = (n + 1) % points.length, [a, b] = [points[n], points[next]], axis = a[0] === b[0] ? 0 : 1;
  const moveTo = (to) => {
    const fixed = points.map((p, m) => (m === n || m === next ? p.map((c, k) => (k === axis ? Math.max(0, Math.round(to)) : c)) : [...p]));
    const low = [0, 1].map((k) => Math.min(...fixed.map((p) => p[k])));
    const outline = fixed.map((p) => p.map((c, k) => c - low[k])), [wide, deep] = bounds(outline);
    const whole = wide >= WIDE[0] && wide <= WIDE[1] && deep >= DEEP[0] && deep <= DEEP[1] && outline.every((p, m) => String(p) !== String(outline[(m + 1) % outline.length]));
    return whole ? { outline, plot: undefined } : {};
  };
  const node = draw("path", { class: "grip", d: `M${at(...a).join(" ")}L${at(...b).join(" ")}`, tabindex: 0, role: "slider", "data-handle": `edge ${n}`, "aria-label": `Edge ${n + 1} of the outline; arrow keys move it`, "aria-valuenow": a[axis] });
  hold(node, (place) => moveTo(place[axis]));
  arrows(node, (by) => moveTo(a[axis] + by[axis]));
  return node;
}

function notch() {
  const points = corners().map((p) => [...p]), [wide, deep] = bounds(points);
  const cut = [Math.max(4, Math.round(wide / 3)), Math.max(4, Math.round(deep / 3))];
  const places = [[[wide, deep], [[wide, deep - cut[1]], [wide - cut[0], deep - cut[1]], [wide - cut[0], deep]]], [[0, deep], [[cut[0], deep], [cut[0], deep - cut[1]], [0, deep - cut[1]]]],
    [[wide, 0], [[wide - cut[0], 0], [wide - cut[0], cut[1]], [wide, cut[1]]]], [[0, 0], [[0, cut[1]], [cut[0], cut[1]], [cut[0], 0]]]];
  for (const [place, more] of places) {
    const n = points.findIndex((p) => String(p) === String(place));
    if (n >= 0) return changed({ outline: [...points.slice(0, n), ...more, ...points.slice(n + 1)], plot: undefined, plot_least: undefined, plot_most: undefined });
  }
  return hearers.said("All four corners are cut already.");
}

function hold(node, next) {
  node.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    held = { next, last: {} };
    event.currentTarget.ownerSVGElement.setPointerCapture(event.pointerId);
  });
}

function arrows(node, next) {
  node.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (by) { event.preventDefault(); changed(next(by)); }
  });
}

function moved(event) {
  if (!held) return;
  const paper = event.currentTarget, p = new DOMPoint(event.clientX, event.clientY).matrixTransform(paper.getScreenCTM().inverse());
  const more = held.next([Math.round(p.x - ROOM), Math.round(ROOM + DEEP[1] - p.y)]);
  if (!Object.keys(more).length || JSON.stringify(more) === JSON.stringify(held.last)) return;
  held.last = more;
  now = { ...now, ...more };
  show();
  hearers.previewed(more);
}

function dropped() {
  const last = held?.last;
  held = null;
  if (last && Object.keys(last).length) changed(last);
}

function changed(more) {
  if (Object.keys(more).length) hearers.changed(more);
}
