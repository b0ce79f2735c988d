/* global byId, element, sortLayout */
/* exported sortBoard */
// Piles, deck and the card in hand, drawn from the state; what is drawn already is kept and changed.
function sortBoard(data, text, state, hand) {
  const { say, counted } = text;
  const cards = new Map(data.cards.map((each) => [each.term, each]));
  const piles = byId("piles");
  const layout = sortLayout(piles);
  const drawn = new Map(); // elements of piles by their number
  let definitionOf = null;

  const label = (term) => cards.get(term).label;

  function card(term) {
    return element("li", {}, element("button", { type: "button", class: "card", "data-term": term, lang: data.language, dir: "auto", tabindex: "-1", text: label(term) }));
  }

  // Buttons of cards: rebuilt where the cards are others, so that nobody's focus is lost for nothing.
  function fill(list, terms) {
    const wanted = terms.join(" ");
    if (list.dataset.terms !== wanted) {
      list.dataset.terms = wanted;
      list.replaceChildren(...terms.map(card));
    }
    const inHand = new Set(hand.cards());
    const buttons = [...list.querySelectorAll(".card")];
    for (const each of buttons) {
      each.setAttribute("aria-pressed", String(inHand.has(each.dataset.term)));
      each.tabIndex = -1;
    }
    const first = buttons.find((each) => each === document.activeElement) || buttons[0];
    if (first) first.tabIndex = 0; // one stop for the Tab key; arrows go on from there
  }

  function newPile(number) {
    const name = "pile-" + number;
    const head = element("div", { class: "pile-head" },
      element("h4", { id: name }, element("span", { class: "unseen", text: say("pile") + " " }), element("span", { class: "number", text: String(number) })),
      element("span", { class: "many" }),
      element("button", { type: "button", class: "put" }, element("span", { text: say("put_here") }), element("span", { class: "unseen" })),
      element("button", { type: "button", class: "remove", "data-remove": String(number), text: say("remove"), "aria-describedby": name }),
      element("button", { type: "button", class: "unfold", "data-unfold": String(number), "aria-expanded": "false", "aria-label": say("unfold", { number }) }));
    const words = element("label", { class: "words" }, element("span", { class: "unseen", text: say("words", { number }) }),
      element("input", { type: "text", "data-words": String(number), maxlength: String(data.longestWords), placeholder: say("words_short"), autocomplete: "off", dir: "auto" }));
    const list = element("ul", { class: "cards", "aria-labelledby": name });
    return element("section", { class: "pile", "data-drop": String(number), "aria-labelledby": name }, head, words, element("p", { class: "glance", dir: "auto", lang: data.language }), list);
  }

  function drawPile(each) {
    let made = drawn.get(each.number);
    if (!made) {
      made = newPile(each.number);
      drawn.set(each.number, made);
    }
    const input = made.querySelector("input");
    if (input.value !== each.words) input.value = each.words;
    const many = counted("cards", each.terms.length);
    made.querySelector(".many").textContent = many;
    made.querySelector(".put .unseen").textContent = ": " + [say("pile") + " " + each.number, state.tidy(each.words), many].filter(Boolean).join(", ");
    made.querySelector(".remove").hidden = each.terms.length > 0;
    const labels = each.terms.map(label).join(", ");
    made.querySelector(".glance").replaceChildren(...(each.words ? [element("b", { text: each.words }), " "] : []), labels);
    fill(made.querySelector(".cards"), each.terms);
    return made;
  }

  function drawPiles() {
    const wanted = state.piles().map(drawPile);
    for (const [number, made] of drawn) {
      if (state.pile(number)) continue;
      made.remove();
      drawn.delete(number);
    }
    wanted.forEach((made, at) => {
      if (piles.children[at] !== made) piles.insertBefore(made, piles.children[at] || byId("new-pile"));
    });
    const unknown = byId("unknown");
    fill(unknown.querySelector(".cards"), state.unknown());
    unknown.querySelector(".many").textContent = counted("cards", state.unknown().length);
    byId("glance-unknown").textContent = state.unknown().map(label).join(", ");
    layout();
  }

  function drawHand() {
    const inHand = hand.cards();
    const [first] = inHand;
    const place = first && hand.isTaken() ? state.where(first) : null;
    const from = !place ? "" : place === "unknown" ? say("from_unknown") : say("from_pile", { number: place });
    byId("hand-from").textContent = !first ? "" : hand.isTaken() ? from : say("next_card");
    byId("current").textContent = first ? inHand.map(label).join(", ") : say("none_left");
    byId("current").classList.toggle("empty", !first);
    byId("current").classList.toggle("several", inHand.length > 1);
    const told = inHand.length === 1 ? cards.get(first).definition : "";
    if (definitionOf !== first) definitionOf = null;
    byId("show-definition").hidden = !told;
    byId("show-definition").setAttribute("aria-expanded", String(definitionOf !== null));
    byId("definition").hidden = !told || definitionOf === null;
    byId("definition").textContent = told;
    const pile = state.pile(place);
    byId("take-pile").hidden = !pile || pile.terms.length === inHand.length;
    byId("finish-here").hidden = state.deck().length > 0;
    byId("back-to-deck").hidden = byId("lay-back").hidden = !hand.isTaken();
    for (const id of ["last-card", "next-card"]) byId(id).disabled = state.deck().length < 2 && !hand.isTaken();
    byId("not-known").disabled = byId("put-new").disabled = !first;
    for (const each of document.querySelectorAll(".put")) each.disabled = !first;
  }

  function drawBar() {
    const left = state.deck().length;
    byId("progress").max = state.all();
    byId("progress").value = state.placed();
    byId("progress-said").textContent = say("progress", { placed: state.placed(), all: state.all() });
    byId("undo").disabled = !state.canUndo();
    byId("redo").disabled = !state.canRedo();
    byId("deck-title").textContent = counted("deck", left);
    byId("deck").hidden = !left;
    byId("to-end").classList.toggle("ready", !left);
    fill(byId("deck-cards"), state.deck());
  }

  // Whoever had the keyboard on something that is gone finds it on the card in hand.
  function draw() {
    const before = document.activeElement;
    drawPiles();
    drawHand();
    drawBar();
    if (before && before !== document.body && (!before.isConnected || before.disabled || before.closest("[hidden]"))) byId("current").focus({ preventScroll: true });
  }

  function defined() {
    definitionOf = definitionOf === null ? hand.cards()[0] : null;
    drawHand();
  }

  function flash(place) {
    const made = place === "unknown" ? byId("unknown") : drawn.get(place);
    if (!made) return;
    made.classList.remove("flash");
    void made.offsetWidth; // so that it starts again
    made.classList.add("flash");
    if (place !== "unknown") made.scrollIntoView({ block: "nearest" }); // the tray lies far below on a phone
  }

  return { draw, defined, flash, label };
}
