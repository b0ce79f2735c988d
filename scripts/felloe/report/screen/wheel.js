"use strict";
/* global wheelView, wheelSearch */
(function () {
  const byId = (id) => document.getElementById(id);
  const data = JSON.parse(byId("data").textContent);
  const wheel = byId("wheel");
  const panel = byId("panel");
  const shown = byId("shown");
  const search = byId("search");
  const hits = byId("hits");
  const scheme = byId("scheme");
  const shortcut = byId("shortcut");
  const neighbours = byId("neighbours");
  const narrow = window.matchMedia("(max-width: 62rem)");
  const SVG = "http://www.w3.org/2000/svg";
  const items = [...document.querySelectorAll("#list li[data-key]")];
  const itemOf = new Map(items.map((item) => [item.dataset.key, item]));
  const pieces = new Map([...wheel.querySelectorAll(".piece")].map((piece) => [piece.dataset.key, piece]));
  const rings = { class: [], subclass: [], term: [] };
  for (const key of pieces.keys()) rings[tierOf(key)].push(key);
  const welcome = [...shown.childNodes];
  const lastBelow = new Map();
  const opened = []; // for print alone
  let chosen = null;

  const view = wheelView(wheel, (scale, largest) => {
    byId("zoom-in").disabled = scale >= largest;
    byId("zoom-out").disabled = byId("zoom-reset").disabled = scale === 1;
  });
  const index = wheelSearch(items);

  function tierOf(key) {
    return key.slice(0, key.indexOf("-"));
  }

  function lies(key, group) {
    for (let at = key; at; at = data.above[at]) if (at === group) return true;
    return false;
  }

  function element(name, text, className) {
    const made = document.createElement(name);
    made.textContent = text;
    if (className) made.className = className;
    return made;
  }

  // An entry's name: of either direction, and maybe in another language than the page.
  function named(tag, key) {
    const { name, lang } = itemOf.get(key).dataset;
    const made = element(tag, name);
    made.dir = "auto";
    if (lang) made.lang = lang;
    return made;
  }

  function link(key) {
    const made = named("a", key);
    made.href = "#" + key;
    return made;
  }

  // The address: what is chosen, and what was switched, so that both outlive a reload.
  function keep() {
    const kept = new URLSearchParams();
    if (scheme.value) kept.set("scheme", scheme.value);
    if (!shortcut.checked) kept.set("key", "off");
    if (neighbours.checked) kept.set("nearest", "on");
    const rest = String(kept) && "?" + kept;
    const hash = chosen || rest ? "#" + (chosen || "") + rest : "";
    history.replaceState(null, "", hash || location.pathname + location.search);
  }

  function read() {
    const [written, rest] = location.hash.slice(1).split("?");
    const key = items.map((item) => item.dataset.key).find((each) => each === written || encodeURI(each) === written) || written;
    const kept = new URLSearchParams(rest || "");
    if (rest !== undefined) {
      scheme.value = kept.get("scheme") || "";
      shortcut.checked = kept.get("key") !== "off";
      neighbours.checked = kept.get("nearest") === "on";
      repaint();
    }
    const meant = data.also[key] || key;
    if (itemOf.has(meant)) return meant;
    if (written && !byId(written)) byId("found").textContent = data.words.no_entry.replace("{text}", () => plain(written));
    return null;
  }

  function plain(text) {
    try {
      return decodeURIComponent(text);
    } catch {
      return text; // a lone per cent sign
    }
  }

  function repaint() {
    if (scheme.value) document.documentElement.dataset.scheme = scheme.value;
    else delete document.documentElement.dataset.scheme;
  }

  function show(key) {
    const item = itemOf.get(key);
    const where = element("p", "", "where");
    const path = [];
    for (let at = data.above[key]; at; at = data.above[at]) path.unshift(at);
    where.append(item.dataset.path);
    path.forEach((each, at) => where.append(at ? " › " : ": ", link(each)));
    const about = item.querySelector(":scope .about").cloneNode(true);
    shown.replaceChildren(named("h2", key), where, about);
    const band = (pieces.get(key) || wheel).closest(".family") || pieces.get(path[0]);
    const fill = band && band.querySelector(".class .look > :nth-child(2)");
    panel.style.borderTopColor = fill ? fill.getAttribute("fill") : "";
    panel.scrollTop = 0;
  }

  function chords() {
    const group = byId("wheel-chords");
    group.replaceChildren();
    for (const piece of wheel.querySelectorAll(".near")) piece.classList.remove("near");
    const from = chosen && data.angles[chosen];
    if (!neighbours.checked || from === undefined || from === null) return;
    for (const [key, share] of data.nearest[chosen]) {
      if (data.angles[key] === undefined) continue;
      const [[x0, y0], [x1, y1]] = [from, data.angles[key]].map(tip);
      const path = document.createElementNS(SVG, "path");
      const inwards = 0.44 - 0.36 * Math.min(1, Math.hypot(x0 - x1, y0 - y1) / data.leaf);
      path.setAttribute("d", `M${x0} ${y0}Q${inwards * (x0 + x1)} ${inwards * (y0 + y1)} ${x1} ${y1}`);
      path.setAttribute("stroke-width", (0.2 + 2 * share).toFixed(2));
      group.append(path);
      pieces.get(key).classList.add("near");
    }
  }

  function tip(angle) {
    const turned = (angle * Math.PI) / 180;
    return [data.leaf * Math.sin(turned), -data.leaf * Math.cos(turned)];
  }

  function dim(stays) {
    for (const [key, piece] of pieces) piece.classList.toggle("dim", Boolean(stays) && !stays(key));
    wheel.classList.toggle("dimmed", Boolean(stays));
    const lines = new Set(rings.class.filter((key) => stays && stays(key)).map(lineOf));
    for (const line of wheel.querySelectorAll(".branches path, .joins path")) {
      const colour = line.getAttribute("stroke") || line.getAttribute("fill");
      line.classList.toggle("stays", lines.has(colour));
    }
  }

  // The colour of a class's lines, by which the hub's branches are known as its own.
  function lineOf(key) {
    return pieces.get(key).querySelector("[stroke]").getAttribute("stroke");
  }

  // The chosen one, what lies in it, and what it lies in stay at full strength.
  function dimAround(key) {
    dim(key && ((each) => lies(each, key) || lies(key, each)));
  }

  function mark(key) {
    for (const each of wheel.querySelectorAll(".chosen")) {
      each.classList.remove("chosen");
      each.removeAttribute("aria-current");
    }
    const piece = pieces.get(key);
    if (!piece) return;
    for (const each of wheel.querySelectorAll('.piece[tabindex="0"]')) each.setAttribute("tabindex", "-1");
    piece.classList.add("chosen");
    piece.setAttribute("aria-current", "true");
    piece.setAttribute("tabindex", "0");
  }

  function choose(key, from) {
    chosen = key;
    mark(key);
    dimAround(key);
    chords();
    keep();
    show(key);
    if (!search.value) byId("found").textContent = "";
    byId("said").replaceChildren(...(from === "keys" ? [] : [named("span", key)]));
    const piece = pieces.get(key);
    if (piece && from === "keys") piece.focus({ preventScroll: true });
    if (piece && from !== "wheel") view.reveal(piece);
    if (!narrow.matches || from === "list") return;
    const listed = getComputedStyle(byId("place")).display === "none";
    document.body.classList.toggle("sheet", !listed);
    if (listed) openItem(key);
    else if (piece) clear(piece);
  }

  // Where the panel lies over the wheel it leaves what is chosen free: it goes to the other edge.
  function clear(piece) {
    const here = piece.querySelector(".area").getBoundingClientRect();
    const over = panel.getBoundingClientRect();
    if (here.bottom > over.top && here.top < over.bottom) document.body.classList.toggle("sheet-above");
  }

  function leave() {
    chosen = null;
    mark(null);
    dimAround(null);
    chords();
    keep();
    shown.replaceChildren(...welcome);
    panel.style.borderTopColor = "";
    document.body.classList.remove("sheet");
  }

  // A button enlarges what is chosen; with nothing chosen the start of the first class, at the top.
  function zoom(inwards) {
    let key = chosen;
    while (key && !pieces.has(key)) key = data.above[key];
    if (key && tierOf(key) !== "class") return view.step(inwards, () => view.middleOf(pieces.get(key)));
    const terms = rings.term.filter((each) => lies(each, key || rings.class[0]));
    const angle = data.angles[terms[key ? terms.length >> 1 : 0]];
    return view.step(inwards, () => view.onRim(angle));
  }

  function openItem(key) {
    const item = itemOf.get(key);
    for (let at = item; at; at = at.parentElement.closest("li[data-key]")) {
      at.querySelector("details").open = true;
    }
    item.scrollIntoView({ block: "start" });
    item.querySelector("summary").focus({ preventScroll: true });
  }

  function look() {
    const found = index.find(search.value);
    const count = found ? found.length : 0;
    const words = data.words;
    hits.replaceChildren();
    byId("found").textContent = "";
    if (!found) return dimAround(chosen);
    if (!count) byId("found").textContent = words.found_none.replace("{text}", () => search.value.trim());
    else byId("found").textContent = count === 1 ? words.found_one : words.found_many.replace("{number}", count);
    for (const { key, place } of found) hits.append(hit(key, place));
    const keys = new Set(found.map((each) => each.key));
    return dim((key) => keys.has(key));
  }

  function hit(key, place) {
    const item = document.createElement("li");
    const button = document.createElement("button");
    const { path, above: where } = itemOf.get(key).dataset;
    const why = place === "name" ? null : data.words["in_" + place];
    button.type = "button";
    button.append(named("span", key), " ", element("small", [path, where, why].filter(Boolean).join(", ")));
    button.addEventListener("click", () => choose(key, "search"));
    item.append(button);
    return item;
  }

  function beside(key, by) {
    const ring = rings[tierOf(key)];
    return ring[(ring.indexOf(key) + by + ring.length) % ring.length];
  }

  function above(key) {
    let at = data.above[key];
    while (at && !pieces.has(at)) at = data.above[at];
    if (at) lastBelow.set(at, key);
    return at;
  }

  function below(key) {
    if (lastBelow.has(key)) return lastBelow.get(key);
    const inside = (each) => each !== key && lies(each, key);
    return rings[tierOf(key) === "class" ? "subclass" : "term"].find(inside) || rings.term.find(inside);
  }

  function steer(event) {
    const piece = event.target.closest(".piece");
    if (!piece || event.ctrlKey || event.metaKey || event.altKey) return;
    const { key } = piece.dataset;
    const ring = rings[tierOf(key)];
    const ways = {
      ArrowRight: () => beside(key, 1),
      ArrowLeft: () => beside(key, -1),
      ArrowUp: () => above(key),
      ArrowDown: () => (tierOf(key) === "term" ? null : below(key)),
      Home: () => ring[0],
      End: () => ring[ring.length - 1],
      Enter: () => key,
      " ": () => key,
    };
    if (!ways[event.key]) return;
    event.preventDefault();
    const next = ways[event.key]();
    if (next) choose(next, "keys");
  }

  function typed(event) {
    if (event.key === "Escape") {
      if (search.value) {
        search.value = "";
        look();
      } else if (chosen) leave();
    } else if (event.key === "/" && shortcut.checked && !event.ctrlKey && !event.metaKey && !event.altKey) {
      if (event.target.closest("input[type=search], select, textarea")) return;
      event.preventDefault();
      search.focus();
    }
  }

  function toggleList(event) {
    const details = event.target;
    if (opened.length || !details.open || !narrow.matches || !details.matches(".class-item")) return;
    const before = details.getBoundingClientRect().top;
    for (const other of document.querySelectorAll(".class-item[open]")) if (other !== details) other.open = false;
    window.scrollBy(0, details.getBoundingClientRect().top - before); // what was touched stays
  }

  function openAll() {
    const closed = [...document.querySelectorAll(".class-item, .subclass-item")].some((each) => !each.open);
    for (const each of document.querySelectorAll(".class-item, .subclass-item")) each.open = closed;
    byId("open-all").textContent = closed ? data.words.close_all : data.words.open_all;
  }

  // On paper the whole list is open; afterwards it is as it was.
  function openForPrint() {
    for (const each of document.querySelectorAll("#list details:not([open])")) {
      each.open = true;
      opened.push(each);
    }
  }

  function toggleWheel() {
    const open = document.body.classList.toggle("with-wheel");
    byId("show-wheel").setAttribute("aria-expanded", String(open));
    byId("show-wheel").textContent = open ? data.words.hide_wheel : data.words.show_wheel;
    if (!open) document.body.classList.remove("sheet");
  }

  document.documentElement.classList.add("js");
  // without this script nothing on the wheel can be chosen, and so nothing says that it can
  [...pieces.values()].forEach((piece, at) => {
    piece.setAttribute("role", "button");
    piece.setAttribute("tabindex", at ? "-1" : "0");
  });
  wheel.addEventListener("keydown", steer);
  wheel.addEventListener("click", (event) => {
    const piece = event.target.closest(".piece");
    if (!view.wasDragged() && piece) choose(piece.dataset.key, "wheel");
  });
  document.addEventListener("keydown", typed);
  document.addEventListener("click", (event) => {
    const made = event.target.closest('a[href^="#"]');
    const key = made && made.getAttribute("href").slice(1);
    if (!itemOf.has(key)) return;
    event.preventDefault();
    choose(key, "link");
  });
  byId("list").addEventListener("click", (event) => {
    const summary = event.target.closest("summary");
    if (summary && !summary.parentElement.open) choose(summary.closest("li").dataset.key, "list");
  });
  byId("list").addEventListener("toggle", toggleList, true);
  search.addEventListener("input", look);
  search.addEventListener("keydown", (event) => {
    const first = hits.querySelector("button");
    if (event.key !== "Enter" || !first) return;
    event.preventDefault(); // else the same stroke closes what it has opened: its line has the focus now
    first.click();
  });
  byId("close").addEventListener("click", leave);
  byId("zoom-in").addEventListener("click", () => zoom(true));
  byId("zoom-out").addEventListener("click", () => zoom(false));
  byId("zoom-reset").addEventListener("click", view.reset);
  byId("open-all").addEventListener("click", openAll);
  byId("show-wheel").addEventListener("click", toggleWheel);
  neighbours.addEventListener("change", () => (chords(), keep()));
  shortcut.addEventListener("change", keep);
  scheme.addEventListener("change", () => (repaint(), keep()));
  window.addEventListener("hashchange", () => {
    const key = read();
    if (key && key !== chosen) choose(key, "link");
  });
  window.addEventListener("beforeprint", openForPrint);
  window.addEventListener("afterprint", () => opened.splice(0).forEach((each) => (each.open = false)));
  const first = read();
  // without scripts an address leads into the list; here the wheel shows it, so nothing scrolls
  for (const item of items) item.removeAttribute("id");
  if (first) {
    window.scrollTo(0, 0);
    choose(first, "link");
  }
})();
