"use strict";
(function () {
  const data = JSON.parse(document.getElementById("data").textContent);
  const wheel = document.getElementById("wheel");
  const panel = document.getElementById("panel");
  const search = document.getElementById("search");
  const hits = document.getElementById("hits");
  const found = document.getElementById("found");
  const zoomButton = document.getElementById("zoom");
  const wholeButton = document.getElementById("whole");
  const rings = { class: [], subclass: [], term: [] };
  const segments = new Map();
  const WHOLE = [-512, -512, 1024, 1024];
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  let current = null;
  let zoomed = null;
  let frame = 0;

  for (const segment of wheel.querySelectorAll(".seg")) {
    segments.set(segment.dataset.key, segment);
    rings[segment.dataset.tier].push(segment.dataset.key);
  }

  function element(name, text, className) {
    const made = document.createElement(name);
    made.textContent = text;
    if (className) made.className = className;
    return made;
  }

  function labelled(word, text, className) {
    const line = element("p", "", className);
    line.append(element("b", word + " "), document.createTextNode(text));
    return line;
  }

  function show(key) {
    const entry = data[key];
    if (!entry) return;
    const where = entry.path ? entry.tier + " in " + entry.path : entry.tier;
    const parts = [element("h2", entry.name), element("p", where, "where")];
    if (entry.definition) parts.push(element("p", entry.definition));
    if (entry.caution) parts.push(labelled("Caution:", entry.caution, "caution"));
    if (entry.reference) parts.push(labelled("Reference:", entry.reference));
    const list = document.createElement("dl");
    for (const [name, value] of entry.facts) list.append(element("dt", name), element("dd", value));
    panel.replaceChildren(...parts, list);
    panel.style.borderTopColor = entry.colour;
  }

  function choose(key, focus) {
    const segment = segments.get(key);
    if (!segment) return;
    if (current) segments.get(current).setAttribute("tabindex", "-1");
    wheel.querySelectorAll('.seg[tabindex="0"]').forEach((each) => each.setAttribute("tabindex", "-1"));
    current = key;
    segment.setAttribute("tabindex", "0");
    const outline = segment.querySelector(".area").getAttribute("d");
    document.getElementById("focus-out").setAttribute("d", outline);
    document.getElementById("focus-in").setAttribute("d", outline);
    if (focus) segment.focus({ preventScroll: true });
    if (zoomed && data[key].top !== zoomed) zoomTo(data[key].top);
    show(key);
  }

  function move(to) {
    cancelAnimationFrame(frame);
    const from = wheel.getAttribute("viewBox").split(" ").map(Number);
    const start = performance.now();
    const length = still.matches ? 0 : 350;
    function step(now) {
      const share = length ? Math.min(1, (now - start) / length) : 1;
      const eased = share * share * (3 - 2 * share);
      wheel.setAttribute("viewBox", from.map((value, i) => value + (to[i] - value) * eased).join(" "));
      if (share < 1) frame = requestAnimationFrame(step);
    }
    step(start);
  }

  function zoomTo(top) {
    const family = [...wheel.querySelectorAll(".family")].find((each) => each.dataset.top === top);
    if (!family) return;
    zoomed = top;
    const box = family.getBBox();
    const side = Math.max(box.width, box.height) + 30;
    move([box.x + (box.width - side) / 2, box.y + (box.height - side) / 2, side, side]);
    dim();
    wholeButton.disabled = false;
  }

  function whole() {
    zoomed = null;
    move(WHOLE);
    dim();
    wholeButton.disabled = true;
  }

  function toggle() {
    if (zoomed) whole();
    else if (current) zoomTo(data[current].top);
  }

  function matches(words, key) {
    const entry = data[key];
    const text = [entry.name, entry.definition, entry.path].join(" ").toLowerCase();
    return words.every((word) => text.includes(word));
  }

  function dim() {
    const words = search.value.trim().toLowerCase().split(/\s+/).filter(Boolean);
    for (const [key, segment] of segments) {
      const outside = zoomed && data[key].top !== zoomed;
      const missed = words.length && !(segment.dataset.tier === "term" && matches(words, key));
      segment.classList.toggle("dim", Boolean(outside || missed));
    }
    return words;
  }

  function look() {
    const words = dim();
    hits.replaceChildren();
    if (!words.length) {
      found.textContent = "";
      return;
    }
    const named = (key) => words.every((word) => data[key].name.toLowerCase().includes(word));
    const keys = rings.term.filter((key) => matches(words, key));
    keys.sort((a, b) => named(b) - named(a));
    found.textContent = keys.length === 1 ? "1 term" : keys.length + " terms";
    for (const key of keys.slice(0, 30)) {
      const button = element("button", data[key].name + " ");
      button.type = "button";
      button.append(element("small", data[key].path));
      button.addEventListener("click", () => choose(key, true));
      const item = document.createElement("li");
      item.append(button);
      hits.append(item);
    }
  }

  function neighbour(key, by) {
    const ring = rings[segments.get(key).dataset.tier];
    return ring[(ring.indexOf(key) + by + ring.length) % ring.length];
  }

  function child(key) {
    return [...rings.subclass, ...rings.term].find((each) => data[each].parent === key);
  }

  function steer(event) {
    const key = event.target.closest(".seg") && event.target.closest(".seg").dataset.key;
    if (!key || event.ctrlKey || event.metaKey || event.altKey) return;
    const ring = rings[segments.get(key).dataset.tier];
    const ways = {
      ArrowRight: () => choose(neighbour(key, 1), true),
      ArrowLeft: () => choose(neighbour(key, -1), true),
      ArrowUp: () => choose(child(key), true),
      ArrowDown: () => choose(data[key].parent, true),
      Home: () => choose(ring[0], true),
      End: () => choose(ring[ring.length - 1], true),
      Enter: toggle,
      " ": toggle,
    };
    if (ways[event.key]) {
      event.preventDefault();
      ways[event.key]();
    }
  }

  wheel.addEventListener("keydown", steer);
  document.addEventListener("focusin", (event) => {
    const segment = event.target.closest(".seg");
    if (segment && segment.dataset.key !== current) choose(segment.dataset.key, false);
  });
  wheel.addEventListener("pointerover", (event) => {
    const segment = event.target.closest(".seg");
    if (segment && event.pointerType === "mouse") show(segment.dataset.key);
  });
  wheel.addEventListener("pointerleave", () => current && show(current));
  wheel.addEventListener("click", (event) => {
    const segment = event.target.closest(".seg");
    if (!segment) return;
    const again = segment.dataset.key === current && segment.dataset.tier === "class";
    choose(segment.dataset.key, true);
    if (again || (segment.dataset.tier === "class" && !zoomed)) toggle();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      if (search.value) {
        search.value = "";
        look();
      } else if (zoomed) whole();
    } else if (event.key === "/" && document.activeElement !== search) {
      event.preventDefault();
      search.focus();
    }
  });
  search.addEventListener("input", look);
  search.addEventListener("keydown", (event) => {
    const first = hits.querySelector("button");
    if (event.key === "Enter" && first) first.click();
  });
  zoomButton.addEventListener("click", () => {
    if (!current) choose(rings.class[0], false);
    zoomTo(data[current].top);
  });
  wholeButton.addEventListener("click", whole);
})();
