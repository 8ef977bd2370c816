/* Hatches as lines for as long as a page is printed: what is filled by a pattern would be printed as a picture,
   coarse, and a hundred times as heavy. */
"use strict";
const BOX = /M(-?[\d.]+) (-?[\d.]+)h([\d.]+)v([\d.]+)/g;
/** The lines of a tile, as a pattern has them, moved to a place. */
const moved = (lines, x, y) => lines.replace(/([MLHV])([\d.]+)(?: ([\d.]+))?/g, (_, way, a, b) =>
  way === "V" ? `V${Number(a) + y}` : `${way}${Number(a) + x}${b === undefined ? "" : ` ${Number(b) + y}`}`);

/** Draws the hatch of an element by lines; gives what takes them away again. */
const lined = (drawn, n) => {
  const fill = drawn.getAttribute("fill"), pattern = document.getElementById(fill.slice(5, -1));
  const [ground, lines] = pattern.children, size = Number(pattern.getAttribute("width"));
  const box = drawn.getAttribute("d") ?? `M0 0h${drawn.getAttribute("width")}v${drawn.getAttribute("height")}`;
  let path = "";
  for (const [x, y, wide, high] of [...box.matchAll(BOX)].map(found => found.slice(1).map(Number)))
    for (let down = Math.floor(y / size) * size; down < y + high; down += size)
      for (let across = Math.floor(x / size) * size; across < x + wide; across += size)
        path += moved(lines.getAttribute("d"), across, down);
  const clip = document.createElementNS(drawn.namespaceURI, "clipPath"), hatch = lines.cloneNode();
  clip.id = `hatched-${n}`;
  clip.append(drawn.cloneNode());
  hatch.setAttribute("d", path);
  hatch.setAttribute("fill", "none");
  hatch.setAttribute("clip-path", `url(#hatched-${n})`);
  drawn.setAttribute("fill", ground.getAttribute("fill"));
  drawn.after(clip, hatch);
  return () => {
    drawn.setAttribute("fill", fill);
    clip.remove();
    hatch.remove();
  };
};
const linedAll = () => [...document.querySelectorAll('[fill^="url(#m"]')].map(lined);
