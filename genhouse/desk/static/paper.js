// Small tools for the page.
export const $ = (id) => document.getElementById(id);

export function el(name, attributes = {}, ...inside) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "boolean") node[key] = value;
    else if (value !== undefined) node.setAttribute(key, value);
  }
  node.append(...inside);
  return node;
}

export function draw(name, attributes = {}, ...inside) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...inside);
  return node;
}

export const words = (key) => (key.charAt(0).toUpperCase() + key.slice(1)).replaceAll("_", " ");
