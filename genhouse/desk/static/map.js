// A village: its map, the house on each plot, and plots that are moved.
import { $, draw, el } from "./paper.js";
import { asked, late } from "./net.js";

const WAYS = { north: [0, 1], south: [0, -1], west: [-1, 0], east: [1, 0] };
let told = null, chosen = 0;

function read() {
  const words = new URLSearchParams(location.search);
  const moves = new Map((words.get("moves") || "").split(" ").filter(Boolean).map((w) => { const [n, x, y] = w.split(":").map(Number); return [n, [x, y]]; }));
  return { seed: words.get("seed") || "7", size: words.get("size") || "192", houses: words.get("houses") || "6", ways: words.get("ways") || $("ways").options[0].value, moves };
}

function address({ seed, size, houses, ways, moves }) {
  const said = [...moves].filter(([, [x, y]]) => x || y).map(([n, [x, y]]) => `${n}:${x}:${y}`).join(" ");
  return `?seed=${seed}&size=${size}&houses=${houses}&ways=${encodeURIComponent(ways)}${said ? `&moves=${encodeURIComponent(said)}` : ""}`;
}

// What is laid out goes into the address once it stands.
async function show(now = read(), fresh = false) {
  for (const key of ["seed", "size", "houses", "ways"]) $(key).value = now[key];
  $("sheet").setAttribute("aria-busy", "true");
  $("said").textContent = "Laying out land, water, lanes and houses; some seconds…";
  try {
    told = await asked(`/village${address(now)}`, "village");
    if (fresh) history.pushState({}, "", address(now));
    $("picture").src = told.picture;
    await $("picture").decode().catch(() => {});
    $("picture").width = told.wide;
    $("picture").height = told.high;
    $("sheet").classList.add("drawn");
    $("refusal").hidden = true;
    $("map-name").textContent = `Village ${now.seed}`;
    $("picture").alt = `Plan of village ${now.seed}, north is up`;
    $("said").textContent = `${told.houses.length} house${told.houses.length > 1 ? "s" : ""} on ${told.size.join(" by ")} cells; ${told.cut} cells cut and ${told.fill} filled.`;
    plots();
    choose(chosen);
  } catch (error) {
    if (late(error)) return;
    $("refusal").replaceChildren(el("p", {}, /[.?!]$/.test(error.message) ? error.message : `${error.message}.`));
    $("refusal").hidden = false;
    $("said").textContent = "";
    for (const node of $("plots").children) node.removeAttribute("transform");
  }
  $("sheet").removeAttribute("aria-busy");
}

function plots() {
  const { left, scale, size, houses } = told;
  $("plots").setAttribute("viewBox", `0 0 ${told.wide} ${told.high}`);
  const focus = document.activeElement?.getAttribute?.("data-number");
  $("plots").replaceChildren(...houses.map((house) => {
    const [x0, y0, x1, y1] = house.rect;
    const node = draw("rect", {
      x: left + scale * x0, y: left + scale * (size[1] - y1), width: scale * (x1 - x0), height: scale * (y1 - y0), tabindex: 0, role: "button",
      "data-number": house.number, "aria-label": `House ${house.number}, ${house.client}`, "aria-pressed": house.number === chosen,
    });
    dragged(node, house.number);
    node.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); choose(house.number); } });
    return node;
  }));
  if (focus) $("plots").querySelector(`[data-number="${focus}"]`)?.focus({ preventScroll: true });
}

// A click chooses a house; dragged, its plot goes where it is let go.
function dragged(node, number) {
  let from = null;
  const cells = (event) => {
    const place = new DOMPoint(event.clientX, event.clientY).matrixTransform($("plots").getScreenCTM().inverse());
    return [place.x / told.scale, -place.y / told.scale];
  };
  const by = (event) => cells(event).map((n, axis) => Math.round(n - from[axis]));
  node.addEventListener("pointerdown", (event) => { from = cells(event); node.setPointerCapture(event.pointerId); });
  node.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [x, y] = by(event);
    node.setAttribute("transform", `translate(${x * told.scale} ${-y * told.scale})`);
  });
  node.addEventListener("pointerup", (event) => {
    const way = from && by(event);
    from = null;
    choose(number);
    if (way && (way[0] || way[1])) move(way);
  });
  node.addEventListener("pointercancel", () => { from = null; node.removeAttribute("transform"); });
}

function choose(number) {
  chosen = number;
  const house = told.houses.find((one) => one.number === number);
  for (const node of $("plots").children) node.setAttribute("aria-pressed", node.dataset.number === `${number}`);
  $("moving").hidden = !house;
  if (!house) return;
  const [x0, y0, x1, y1] = house.rect;
  $("chosen").replaceChildren(el("p", {}, `${house.number}. ${house.client}`),
    el("p", { class: "quiet" }, `${x1 - x0} by ${y1 - y0} cells, gate to the ${house.gate}; ${house.rooms} rooms on ${house.storeys} storey${house.storeys > 1 ? "s" : ""}; ${house.quarter}.`));
  $("open").href = `/?${house.query}`;
}

function move(by) {
  const now = read(), [x, y] = now.moves.get(chosen) || [0, 0];
  now.moves.set(chosen, by ? [x + by[0], y + by[1]] : [0, 0]);
  show(now, true);
}

$("laying").addEventListener("submit", (event) => {
  event.preventDefault();
  chosen = 0;
  show({ seed: $("seed").value, size: $("size").value, houses: $("houses").value, ways: $("ways").value, moves: new Map() }, true);
});
for (const node of document.querySelectorAll("[data-side]")) node.addEventListener("click", () => move(WAYS[node.dataset.side].map((n) => n * Math.min(32, Math.max(1, Number($("by").value))))));
$("back").addEventListener("click", () => move(null));
addEventListener("popstate", () => show());
show();
