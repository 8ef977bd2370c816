"use strict";
(() => {
  const root = document.documentElement;
  root.classList.add("scripted");
  const key = "genhouse " + root.dataset.house;
  let done = {};
  try { done = JSON.parse(localStorage.getItem(key) || "{}"); } catch { done = {}; }
  const keep = () => { try { localStorage.setItem(key, JSON.stringify(done)); } catch { /* nowhere to keep it */ } };
  const show = box => box.closest("tr, section").classList.toggle("done", box.checked);
  for (const box of document.querySelectorAll("input[data-tick]")) {
    box.checked = Boolean(done[box.dataset.tick]);
    if (box.checked) show(box);
  }
  const steps = [...document.querySelectorAll("section.stage")];
  const count = () => {
    const over = steps.filter(step => step.querySelector("h3 input").checked).length;
    document.getElementById("ticked").textContent = `${over} of ${steps.length} steps done`;
  };
  document.addEventListener("change", ({ target }) => {
    if (!target.dataset.tick) return;
    if (target.checked) done[target.dataset.tick] = 1; else delete done[target.dataset.tick];
    keep();
    show(target);
    count();
  });
  count();
  let at = -1;
  const model = mountMaquette(document.getElementById("maquette"), JSON.parse(document.getElementById("model-data").textContent), { onStep: n => { at = n - 1; } });
  for (const button of document.querySelectorAll("button[data-step]"))
    button.addEventListener("click", () => {
      model.step(Number(button.dataset.step));
      document.getElementById("model").scrollIntoView({ block: "start" });
      document.querySelector("#maquette canvas, #maquette input").focus({ preventScroll: true });
    });
  const go = n => {
    at = Math.max(0, Math.min(steps.length - 1, n));
    model.step(at + 1);
    steps[at].scrollIntoView({ block: "start" });
    steps[at].querySelector("h3").focus({ preventScroll: true });
    document.getElementById("at").textContent = `Step ${at + 1} of ${steps.length}`;
  };
  document.getElementById("before").addEventListener("click", () => go(at - 1));
  document.getElementById("after").addEventListener("click", () => go(at + 1));
  const large = document.createElement("dialog");  // not in the page: it is of no use without this script
  large.setAttribute("aria-label", "Enlarged");
  large.innerHTML = '<button type="button">Close</button><div tabindex="0" role="region" aria-label="Enlarged drawing"></div>';
  document.body.append(large);
  const frame = large.querySelector("div");
  let from = null;
  const enlarged = figure => {
    const drawn = figure.querySelector("img, svg"), name = drawn.alt || drawn.querySelector("title")?.textContent || "";
    const button = document.createElement("button");
    button.type = "button";
    button.className = "enlarge";
    button.textContent = "Enlarge";
    button.setAttribute("aria-label", `Enlarge: ${name}`);
    const open = () => {
      if (large.open) return;
      from = { figure, drawn, button };
      figure.style.minHeight = `${figure.offsetHeight}px`;
      frame.append(drawn);
      large.showModal();
    };
    button.addEventListener("click", open);
    drawn.addEventListener("click", open);
    figure.append(button);
  };
  large.querySelector("button").addEventListener("click", () => large.close());
  large.addEventListener("close", () => {
    from.figure.prepend(from.drawn);
    from.figure.style.minHeight = "";
    from.button.focus({ preventScroll: true });
  });
  /** Draws what waits in a figure as text, which costs a page nothing. */
  const draw = figure => {
    const waits = figure.querySelector("noscript");
    if (!waits) return;
    waits.outerHTML = waits.textContent;
    enlarged(figure);
  };
  for (const figure of document.querySelectorAll("figure:not(:has(noscript))")) enlarged(figure);
  const slider = document.getElementById("layer");
  const sheets = [...document.querySelectorAll(".level")];
  const next = () => {
    const figure = sheets[slider.value].querySelector("figure:has(noscript)");
    if (!figure) return;
    draw(figure);
    requestAnimationFrame(next);
  };
  const layer = () => {
    sheets.forEach((sheet, n) => sheet.classList.toggle("aside", n !== Number(slider.value)));
    document.getElementById("layer-name").textContent = sheets[slider.value].dataset.title;
    slider.setAttribute("aria-valuetext", sheets[slider.value].dataset.title);
    next();
  };
  slider.addEventListener("input", layer);
  for (const link of document.querySelectorAll('a[href^="#sheet-"]'))
    link.addEventListener("click", () => {
      slider.value = sheets.findIndex(sheet => `#${sheet.id}` === link.getAttribute("href"));
      layer();
    });
  layer();
  const shut = [...document.querySelectorAll("details")].filter(details => !details.open);
  let hatches = [];
  addEventListener("beforeprint", () => {
    shut.forEach(details => { details.open = true; });
    document.querySelectorAll("figure").forEach(draw);
    if (!hatches.length) hatches = linedAll();
  });
  addEventListener("afterprint", () => {
    shut.forEach(details => { details.open = false; });
    hatches.splice(0).forEach(undo => undo());
  });
  addEventListener("keydown", event => {
    if (event.altKey || event.ctrlKey || event.metaKey || /^(INPUT|BUTTON|SELECT)$/.test(event.target.tagName)) return;
    if (event.key === "n") go(at + 1);
    if (event.key === "p") go(at - 1);
  });
})();
