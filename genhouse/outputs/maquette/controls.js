/* The model in its place on a page, with all that one can do with it.
     const model = mountMaquette(place, data, {onStep});
     model.step(5); model.cut(9); model.replace(data); model.close();
   place: an element, whose content is replaced.  data: as maquette.py writes it.  onStep is told the number of
   each step that is chosen here, 0 for the whole house. */
"use strict";
const made = (tag, attributes, ...children) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value !== false) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
};
const NO_VIEW = "This browser cannot show the model, for it has no WebGL 2. The pictures of the steps and the layer sheets show the same, and any cell can be looked up here.";
const KEYS = "Drag, or use the arrow keys, to turn the model; plus and minus bring it nearer, Page Up and Page Down move the cut, n and p the step, Home puts it back. Click a piece to be told what it is.";
const TURN = Math.PI / 12;
const bounded = (n, least, most) => Math.min(most, Math.max(least, n));
let mounted = 0;

const mountMaquette = (place, first, { onStep = () => {} } = {}) => {
  const id = name => `maquette-${name}-${number}`, number = ++mounted;
  let house, shown, marked, camera, chosen, view = null, inSight = false, stale = true, waiting = false;

  const canvas = made("canvas", { tabindex: 0, role: "application", "aria-describedby": id("keys") });
  const north = made("span", { class: "maquette-north", "aria-hidden": "true" }, "\u2191", made("small", {}, "N"));
  const told = made("p", { class: "maquette-told", role: "status" });
  const slider = (name, label, choose) => {
    const range = made("input", { type: "range", id: id(name), min: 0, oninput: () => choose(Number(range.value)) });
    const words = made("output", { for: id(name) });
    return { range, words, row: made("div", {}, made("label", { for: id(name) }, label), range, words) };
  };
  const button = (label, act) => made("button", { type: "button", onclick: act }, label);
  const steps = slider("step", "Step", n => step(n, true));
  const layers = slider("cut", "Cut above", n => cut(n));
  const alone = made("input", { type: "checkbox", id: id("alone"), onchange: () => build() });
  const only = made("div", {}, made("label", { for: id("alone") }, alone, " Only what the step sets"));
  const field = (name, label, kind) => made("label", {}, `${label} `, made("input", { name, required: true, ...kind }));
  const lookup = made("form", { "aria-label": "Look up a cell", onsubmit: event => { event.preventDefault(); lookedUp(); } },
    field("column", "Column", { size: 3, pattern: "[A-Za-z]{1,2}", autocomplete: "off" }),
    field("row", "Row", { type: "number", min: 1 }), field("layer", "Layer", { type: "number" }),
    made("button", {}, "Look up"));
  const stage = made("div", { class: "maquette-stage" }, canvas, north);
  const keys = made("p", { class: "maquette-keys", id: id("keys") }, KEYS);
  const controls = made("div", { class: "maquette-controls", role: "group", "aria-label": "The model" }, steps.row, layers.row, only,
    made("div", { class: "maquette-buttons" },
      button("Turn left", () => turn(TURN, 0)), button("Turn right", () => turn(-TURN, 0)),
      button("From above", () => turn(0, TURN)), button("From the side", () => turn(0, -TURN)),
      button("Nearer", () => nearer(1.25)), button("Further", () => nearer(0.8)), button("As at first", () => reset())));
  place.classList.add("maquette");
  place.replaceChildren(stage, keys, told, controls, lookup);

  const css = name => getComputedStyle(place).getPropertyValue(name).trim() || "#888888";
  const rgb = colour => [1, 3, 5].map(n => parseInt(colour.slice(n, n + 2), 16) / 255);
  /** What is worked out only once the model is in sight, so that a page need not wait for it. */
  const shownFirst = () => {
    if (view ??= viewOn(canvas)) return true;
    stage.replaceWith(made("p", {}, NO_VIEW));
    for (const idle of [keys, controls]) idle.remove();
    return false;
  };
  const draw = () => {
    if (waiting || !inSight) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      if (!canvas.isConnected || !shownFirst()) return;
      if (stale) view.take(meshed(house, shown));
      stale = false;
      camera.across ??= fitting();
      view.mark(marked);
      view.draw(camera, { wash: rgb(css("--wash")), line: rgb(css("--line-work")), mark: rgb(css("--found")) });
      const { right, up } = frameOf(camera);
      north.style.transform = `rotate(${Math.atan2(right[1], up[1])}rad)`;
    });
  };
  const build = () => {
    const { data } = house;
    shown = standing(house, { step: chosen.step, layer: chosen.layer, alone: alone.checked });
    const last = chosen.step || data.steps.length, name = data.steps[last - 1]?.name ?? "";
    steps.words.textContent = chosen.step ? `${chosen.step} of ${data.steps.length}: ${name}` : "the whole house";
    layers.words.textContent = chosen.layer === house.size[2] - 1 ? "nothing" : data.levels[chosen.layer];
    steps.range.setAttribute("aria-valuetext", steps.words.textContent);
    layers.range.setAttribute("aria-valuetext", layers.words.textContent);
    alone.disabled = !chosen.step;
    canvas.setAttribute("aria-label", `Model, ${chosen.step ? `step ${steps.words.textContent}` : "the whole house"}, cut above ${layers.words.textContent}; ${shown.list.length} pieces in sight`);
    stale = true;
    draw();
  };
  const reset = () => {
    camera = { yaw: house.data.yaw * Math.PI / 180, tilt: Math.asin(1 / Math.sqrt(3)), pan: [0, 0], middle: house.size.map(n => n / 2), reach: Math.hypot(...house.size) / 2 + 1 };
    draw();
  };
  /** Cells that the canvas is high where it shows all of the house. */
  const fitting = () => {
    const { right, up } = frameOf(camera);
    const long = vector => vector.reduce((sum, n, axis) => sum + Math.abs(n) * house.size[axis], 0);
    return 1.04 * Math.max(long(up), long(right) * canvas.clientHeight / canvas.clientWidth);
  };
  const turn = (yaw, tilt) => {
    camera.yaw += yaw;
    camera.tilt = bounded(camera.tilt + tilt, 0, Math.PI / 2);
    draw();
  };
  const nearer = by => {
    camera.across = bounded((camera.across ?? fitting()) / by, 4, 4 * camera.reach);
    draw();
  };
  const step = (n, here = false) => {
    chosen.step = n > house.data.steps.length ? 0 : Math.max(0, n);
    steps.range.value = chosen.step || house.data.steps.length + 1;
    if (here) onStep(chosen.step);
    build();
  };
  const cut = layer => {
    chosen.layer = bounded(layer, 0, house.size[2] - 1);
    layers.range.value = chosen.layer;
    build();
  };

  /** What a cell is, in words. */
  const said = (at, here) => {
    const cell = house.cells.findLast(c => c[0] === at && c[3] === Infinity) ?? house.cells.find(c => c[0] === at);
    const { data } = house;
    if (!cell) return `${here}: nothing stands there.`;
    const { material, form } = data.kinds[cell[1] - 1], name = data.steps[cell[2] - 1].name;
    const later = chosen.step && cell[2] > chosen.step ? ", which is still to come" : "";
    const struck = cell[3] < Infinity ? `, struck in step ${cell[3]}` : "";
    const room = cell[4] ? ` Room ${data.rooms[cell[4]]}.` : "";
    return `${here}: ${material}, ${form}. Step ${cell[2]}, ${name}${later}${struck}.${room}`;
  };
  const tell = (x, y, z) => {
    const at = house.place(x, y, z);
    told.textContent = said(at, `${house.data.columns[x]}${y + 1}, layer ${z - house.data.ground + 1}`);
    marked = boxed(x, y, z);
    draw();
  };
  const boxed = (x, y, z) => {
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].map(n => [x + (n & 1), y + (n >> 1 & 1), z + (n >> 2)].map(c => SUB * c));
    const words = [];
    for (let n = 0; n < 8; n++) for (const bit of [1, 2, 4]) if (!(n & bit)) words.push(...corners[n], 1, ...corners[n | bit], 1);
    return new Uint16Array(words);
  };
  const lookedUp = () => {
    const { column, row, layer } = Object.fromEntries(new FormData(lookup));
    const [x, y, z] = [house.data.columns.indexOf(column.toUpperCase()), row - 1, Number(layer) + house.data.ground - 1];
    const within = [x, y, z].every((n, axis) => n >= 0 && n < house.size[axis]);
    if (within) tell(x, y, z);
    else told.textContent = `There is no such cell: columns run from A to ${house.data.columns.at(-1)}, rows from 1 to ${house.size[1]}, layers from ${1 - house.data.ground} to ${house.size[2] - house.data.ground}.`;
  };
  const pointed = event => {
    const box = canvas.getBoundingClientRect(), { right, up, into } = frameOf(camera);
    const cell = camera.across / box.height;
    const [across, upward] = [(event.clientX - box.left - box.width / 2) * cell + camera.pan[0], (box.top + box.height / 2 - event.clientY) * cell + camera.pan[1]];
    const from = camera.middle.map((n, axis) => n + across * right[axis] + upward * up[axis] - 4 * camera.reach * into[axis]);
    const at = met(house, shown.grid, from, into);
    if (at) tell(Math.floor(at / house.stride[0]) - 1, Math.floor(at % house.stride[0] / house.stride[1]) - 1, at % house.stride[1] - 1);
    else told.textContent = "No piece is there.";
  };

  let held = null, moved = 0;
  canvas.addEventListener("pointerdown", event => {
    held = [event.clientX, event.clientY];
    moved = 0;
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", event => {
    if (!held) return;
    const [dx, dy] = [event.clientX - held[0], event.clientY - held[1]];
    held = [event.clientX, event.clientY];
    moved += Math.abs(dx) + Math.abs(dy);
    if (event.shiftKey) {
      const cell = camera.across / canvas.clientHeight;
      camera.pan = [camera.pan[0] - dx * cell, camera.pan[1] + dy * cell];
      draw();
    } else turn(-dx / 150, dy / 150);
  });
  canvas.addEventListener("pointerup", event => {
    if (held && moved < 5) pointed(event);
    held = null;
  });
  canvas.addEventListener("pointercancel", () => { held = null; });
  canvas.addEventListener("wheel", event => {
    if (document.activeElement !== canvas) return;
    event.preventDefault();
    nearer(event.deltaY < 0 ? 1.1 : 1 / 1.1);
  }, { passive: false });
  const onKey = {
    ArrowLeft: () => turn(TURN / 2, 0), ArrowRight: () => turn(-TURN / 2, 0), ArrowUp: () => turn(0, TURN / 2), ArrowDown: () => turn(0, -TURN / 2),
    "+": () => nearer(1.25), "=": () => nearer(1.25), "-": () => nearer(0.8), Home: () => reset(),
    PageUp: () => cut(chosen.layer + 1), PageDown: () => cut(chosen.layer - 1),
    n: () => step((chosen.step || house.data.steps.length) + 1, true), p: () => step((chosen.step || house.data.steps.length + 1) - 1 || 1, true),
  };
  canvas.addEventListener("keydown", event => {
    if (event.altKey || event.ctrlKey || event.metaKey || !onKey[event.key]) return;
    event.preventDefault();
    event.stopPropagation();
    onKey[event.key]();
  });
  new ResizeObserver(draw).observe(canvas);
  new IntersectionObserver(seen => {
    inSight = seen.at(-1).isIntersecting;
    draw();
  }, { rootMargin: "50%" }).observe(canvas);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);

  const replace = data => {
    house = housed(data);
    chosen = { step: 0, layer: house.size[2] - 1 };
    steps.range.min = 1;
    steps.range.max = data.steps.length + 1;
    steps.row.hidden = only.hidden = data.steps.length < 2;
    layers.range.max = house.size[2] - 1;
    layers.range.value = chosen.layer;
    steps.range.value = data.steps.length + 1;
    marked = new Uint16Array();
    reset();
    build();
  };
  replace(first);
  return { step, cut, tell, replace, close: () => view?.close() };
};
