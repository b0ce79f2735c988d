/* global byId, element, pageText, pageFrame, colourSpace, colourNames, colourState, colourFields */
// The page of colours: a word, the fields, three sliders.
(function () {
  const data = JSON.parse(byId("data").textContent);
  const text = pageText(data.words);
  const { say, counted } = text;
  const cards = new Map(data.cards.map((each) => [each.term, each]));
  const state = colourState(data.cards);
  const space = colourSpace();
  const named = colourNames(space, text);
  const SLIDERS = ["hue", "strength", "lightness"];
  const START = { hue: 0, strength: 0, lightness: 60 };
  const mark = colourFields(space, named, (colour) => choose(colour, space.sliders(colour)));
  let places = { ...START }; // of the sliders; a grey has no hue, so they are not always what the colour says
  let defined = null;
  const frame = pageFrame(data, text, {
    answer: state.answer,
    kept: state.kept,
    restore: state.restore,
    load: state.load,
    open: () => state.open().length,
    any: () => state.open().length < state.all(),
    summary,
    show,
    shown: show,
  });

  function summary() {
    const { picks, unknown } = state.answer();
    const decided = say("progress", { placed: state.all() - state.open().length, all: state.all() });
    return [decided + ":", counted("picked", Object.keys(picks).length) + ",", counted("without", unknown.length) + "."];
  }

  function told(term) {
    const pick = state.pick(term);
    if (pick === undefined) return say("not_yet");
    return pick === state.NONE ? say("no_colour") : named(pick);
  }

  function paint(made, pick) {
    const colour = pick && pick !== state.NONE ? pick : "";
    made.style.backgroundColor = colour;
    made.style.color = colour && space.readable(colour);
    made.classList.toggle("undecided", pick === undefined);
    made.classList.toggle("without", pick === state.NONE);
  }

  function track(name) {
    const stops = [];
    const last = name === "hue" ? 359 : 100;
    for (let i = 0; i <= 12; i++) stops.push(space.hex({ ...places, strength: name === "hue" ? Math.max(places.strength, 60) : places.strength, [name]: (last * i) / 12 }));
    return `linear-gradient(to right, ${stops.join(", ")})`;
  }

  function drawSliders() {
    for (const name of SLIDERS) {
      const input = byId(name);
      input.value = String(places[name]);
      input.style.backgroundImage = track(name);
      const unit = name === "hue" ? "°" : " %";
      const colour = named(space.hex(name === "hue" && !places.strength ? { ...places, strength: 60 } : places));
      byId(name + "-said").textContent = places[name] + unit;
      input.setAttribute("aria-valuetext", say("value", { number: places[name] + unit, colour }));
    }
  }

  function drawWords() {
    const list = byId("words");
    if (!list.children.length) {
      list.append(...data.cards.map((each) => element("li", {}, element("button", { type: "button", class: "word", "data-term": each.term }, element("span", { class: "dot", "aria-hidden": "true" }), element("span", { lang: data.language, dir: "auto", text: each.label }), element("span", { class: "unseen" })))));
    }
    for (const each of list.querySelectorAll(".word")) {
      paint(each.querySelector(".dot"), state.pick(each.dataset.term));
      each.setAttribute("aria-current", String(each.dataset.term === state.at()));
      each.querySelector(".unseen").textContent = ": " + told(each.dataset.term);
    }
  }

  function draw() {
    const term = state.at();
    const card = cards.get(term);
    const pick = state.pick(term);
    byId("current").textContent = card.label;
    paint(byId("swatch"), pick);
    byId("name").textContent = told(term);
    byId("none").setAttribute("aria-pressed", String(pick === state.NONE));
    byId("clear").disabled = pick === undefined;
    if (defined !== term) defined = null;
    byId("show-definition").hidden = !card.definition;
    byId("show-definition").setAttribute("aria-expanded", String(defined !== null));
    byId("definition").hidden = defined === null;
    byId("definition").textContent = card.definition;
    mark(pick);
    drawSliders();
    drawWords();
    const done = state.all() - state.open().length;
    byId("progress").max = state.all();
    byId("progress").value = done;
    byId("progress-said").textContent = say("progress", { placed: done, all: state.all() });
    byId("to-end").classList.toggle("ready", done === state.all());
  }

  function show() {
    const pick = state.pick(state.at());
    places = pick && pick !== state.NONE ? space.sliders(pick) : { ...START };
    draw();
  }

  function tell() {
    byId("said").textContent = say("chosen", { card: cards.get(state.at()).label, colour: told(state.at()) });
  }

  function choose(value, moved) {
    state.choose(value);
    if (moved) places = moved;
    frame.keep();
    draw();
    tell();
  }

  function slid(name) {
    // a grey has no hue to be seen: whoever moves the hue wants a colour
    if (name === "hue" && !places.strength) places.strength = 60;
    places[name] = Number(byId(name).value);
    state.choose(space.hex(places));
    frame.keep();
    draw();
  }

  function go(act) {
    act();
    frame.keep();
    show();
    tell();
  }

  for (const name of SLIDERS) byId(name).addEventListener("input", () => slid(name));
  byId("none").addEventListener("click", () => choose(state.NONE));
  byId("clear").addEventListener("click", () => go(state.clear));
  byId("previous").addEventListener("click", () => go(() => state.step(-1)));
  byId("next").addEventListener("click", () => go(() => state.step(1)));
  byId("show-definition").addEventListener("click", () => {
    defined = defined === null ? state.at() : null;
    draw();
  });
  byId("words").addEventListener("click", (event) => {
    const word = event.target.closest(".word");
    if (word) go(() => state.go(word.dataset.term));
  });
  document.documentElement.classList.add("js");
  frame.open();
})();
