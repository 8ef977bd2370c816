"use strict";
(() => {
  const root = document.documentElement;
  root.classList.add("scripted");
  const key = "genhouse " + root.dataset.house;
  let done = {};
  try { done = JSON.parse(localStorage.getItem(key) || "{}"); } catch { done = {}; }
  const keep = () => { try { localStorage.setItem(key, JSON.stringify(done)); } catch { /* nowhere to keep it */ } };
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const count = document.getElementById("ticked");
  const show = box => {
    box.closest("tr, section").classList.toggle("done", box.checked);
    const steps = boxes.filter(b => b.dataset.tick.startsWith("step"));
    if (count) count.textContent = `${steps.filter(b => b.checked).length} of ${steps.length} steps done`;
  };
  for (const box of boxes) {
    box.checked = Boolean(done[box.dataset.tick]);
    show(box);
    box.addEventListener("change", () => {
      if (box.checked) done[box.dataset.tick] = 1; else delete done[box.dataset.tick];
      keep();
      show(box);
    });
  }
  const steps = [...document.querySelectorAll("section.stage")];
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
  const slider = document.getElementById("layer");
  const sheets = [...document.querySelectorAll(".level")];
  const layer = () => {
    sheets.forEach((sheet, n) => sheet.classList.toggle("aside", n !== Number(slider.value)));
    document.getElementById("layer-name").textContent = sheets[slider.value].dataset.title;
    slider.setAttribute("aria-valuetext", sheets[slider.value].dataset.title);
  };
  slider.addEventListener("input", layer);
  layer();
  const large = document.createElement("dialog");  // not in the page: it is of no use without this script
  large.setAttribute("aria-label", "Enlarged");
  large.innerHTML = '<button type="button">Close</button><div tabindex="0" role="region" aria-label="Enlarged drawing"></div>';
  document.body.append(large);
  const frame = large.querySelector("div");
  let from = null;
  for (const figure of document.querySelectorAll("figure")) {
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
  }
  large.querySelector("button").addEventListener("click", () => large.close());
  large.addEventListener("close", () => {
    from.figure.prepend(from.drawn);
    from.figure.style.minHeight = "";
    from.button.focus({ preventScroll: true });
  });
  const shut = [...document.querySelectorAll("details")].filter(details => !details.open);
  addEventListener("beforeprint", () => shut.forEach(details => { details.open = true; }));
  addEventListener("afterprint", () => shut.forEach(details => { details.open = false; }));
  addEventListener("keydown", event => {
    if (event.altKey || event.ctrlKey || event.metaKey || /^(INPUT|BUTTON|SELECT)$/.test(event.target.tagName)) return;
    if (event.key === "n") go(at + 1);
    if (event.key === "p") go(at - 1);
  });
})();
