/* global byId, pageText, pageFrame, sortState, sortHand, sortBoard, sortDrag, sortKeys */
// The page of a sort: every hand movement ends in the state, is drawn, kept and told.
(function () {
  const data = JSON.parse(byId("data").textContent);
  const text = pageText(data.words);
  const { say, counted } = text;
  const state = sortState(data.cards, data.longestWords);
  const hand = sortHand(state);
  const board = sortBoard(data, text, state, hand);
  const frame = pageFrame(data, text, {
    answer: state.answer,
    kept: state.kept,
    restore: state.restore,
    load: state.load,
    open: () => state.deck().length,
    any: () => state.placed() > 0,
    summary,
    show,
    shown: board.draw,
  });

  function summary() {
    const { piles, unknown } = state.answer();
    return [say("progress", { placed: state.placed(), all: state.all() }) + ":", counted("piles", piles.length) + ",", counted("not_known", unknown.length) + "."];
  }

  function show() {
    hand.settle();
    board.draw();
  }

  function tell(sentence) {
    byId("said").textContent = sentence;
  }

  function named(terms) {
    return terms.length === 1 ? board.label(terms[0]) : counted("cards", terms.length);
  }

  function change(sentence) {
    frame.keep();
    board.draw();
    tell(sentence);
  }

  function nextSaid() {
    const left = state.deck().length;
    return left ? say("next", { card: board.label(hand.current()) }) + " " + counted("left", left) : say("all_placed");
  }

  function put(place) {
    const terms = hand.cards();
    if (!terms.length) return;
    const found = hand.putting(() => state.put(terms, place));
    if (found === null) {
      board.draw();
      return;
    }
    const card = named(terms);
    const where = found === "unknown" ? say("put_unknown", { card }) : found === "deck" ? say("put_deck", { card }) : say("put_pile", { card, number: found });
    change(`${where} ${nextSaid()}`);
    board.flash(found);
  }

  function turn(act, key) {
    const before = new Set(state.deck());
    if (!act()) return;
    hand.release();
    hand.settle(state.deck().find((term) => !before.has(term)));
    change(`${say(key)} ${nextSaid()}`);
  }

  function take(term, more) {
    hand.take(term, more);
    board.draw();
    tell(hand.cards().length ? say("taken", { card: named(hand.cards()) }) : say("laid_back"));
  }

  const act = {
    put,
    isWorking: frame.isWorking,
    noPile: (number) => tell(say("no_pile", { number })),
    waiting: (number) => tell(say("waiting", { number })),
    undo: () => turn(state.undo, "undone"),
    redo: () => turn(state.redo, "redone"),
    back: () => hand.isTaken() && put("deck"),
    step(by) {
      hand.step(by);
      board.draw();
      if (hand.current()) tell(say("shown", { card: board.label(hand.current()) }));
    },
    release() {
      if (!hand.isTaken()) return;
      hand.release();
      board.draw();
      tell(say("laid_back"));
    },
    taken(term) {
      if (term && !hand.cards().includes(term)) hand.take(term, false);
      board.draw();
    },
    dropped: (place) => put(/^\d+$/.test(place) ? Number(place) : place),
  };

  function removed(number) {
    state.remove(number);
    hand.settle();
    change(say("removed", { number }));
  }

  function unfold(button) {
    const open = button.closest(".pile").classList.toggle("unfolded");
    button.setAttribute("aria-expanded", String(open));
  }

  function clicked(event) {
    const on = (selector) => event.target.closest(selector);
    const card = on(".card");
    if (card) take(card.dataset.term, event.ctrlKey || event.metaKey || event.shiftKey);
    else if (on("[data-remove]")) removed(Number(on("[data-remove]").dataset.remove));
    else if (on("[data-unfold]")) unfold(on("[data-unfold]"));
    else if (on("[data-drop]") && !on("label, input")) act.dropped(on("[data-drop]").dataset.drop);
  }

  function short(on) {
    byId("piles").classList.toggle("short", on);
    byId("short").setAttribute("aria-pressed", String(on));
  }

  byId("board").addEventListener("click", clicked);
  byId("board").addEventListener("input", (event) => {
    if (!event.target.dataset.words) return;
    state.type(Number(event.target.dataset.words), event.target.value);
    frame.keep();
  });
  byId("board").addEventListener("change", (event) => {
    if (!event.target.dataset.words) return;
    state.typed();
    frame.keep();
    board.draw();
  });
  byId("undo").addEventListener("click", act.undo);
  byId("redo").addEventListener("click", act.redo);
  byId("next-card").addEventListener("click", () => act.step(1));
  byId("last-card").addEventListener("click", () => act.step(-1));
  byId("not-known").addEventListener("click", () => put("unknown"));
  byId("put-new").addEventListener("click", () => put("new"));
  byId("back-to-deck").addEventListener("click", act.back);
  byId("lay-back").addEventListener("click", act.release);
  byId("show-definition").addEventListener("click", board.defined);
  byId("take-pile").addEventListener("click", () => {
    hand.takeAll(state.pile(state.where(hand.cards()[0])).terms);
    board.draw();
    tell(say("taken", { card: named(hand.cards()) }));
  });
  byId("finish-here").addEventListener("click", () => byId("to-end").click());
  byId("short").addEventListener("click", () => short(!byId("piles").classList.contains("short")));
  short(matchMedia("(max-width: 44rem)").matches);
  byId("deck").open = !matchMedia("(max-width: 44rem)").matches;
  sortDrag(act);
  sortKeys(state, act);
  document.documentElement.classList.add("js");
  frame.open();
})();
