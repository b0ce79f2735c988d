/* exported sortState */
// Which card lies where, and the way back: nothing here knows the screen.
function sortState(cards, longestWords) {
  const MOST_STEPS = 200;
  const STEPS_KEPT = 20; // in this browser, beyond a closed window
  const order = cards.map((each) => each.term);
  const known = new Set(order);
  let now = { piles: [], unknown: [] };
  let past = [];
  let coming = [];
  let beforeWords = null;

  const copy = (state) => JSON.parse(JSON.stringify(state));
  const same = (one, other) => JSON.stringify(one) === JSON.stringify(other);
  const pile = (number) => now.piles.find((each) => each.number === number);

  function tidy(text) {
    const plain = text.normalize("NFC").replace(/[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069\u200b\u2060\ufeff]/gu, " ");
    return [...plain.replace(/\s+/g, " ").trim()].slice(0, longestWords).join(""); // no letter cut in half
  }

  function deck() {
    const placed = new Set([...now.unknown, ...now.piles.flatMap((each) => each.terms)]);
    return order.filter((term) => !placed.has(term));
  }

  function where(term) {
    if (now.unknown.includes(term)) return "unknown";
    const found = now.piles.find((each) => each.terms.includes(term));
    return found ? found.number : "deck";
  }

  function freeNumber(state) {
    const taken = new Set(state.piles.map((each) => each.number));
    let number = 1;
    while (taken.has(number)) number += 1;
    return number;
  }

  function step(next) {
    if (same(next, now)) return false;
    typed(); // a finger that draws a card leaves the field of words as it is
    past = [...past, now].slice(-MOST_STEPS);
    coming = [];
    now = next;
    return true;
  }

  // Put cards into a pile (its number, or "new"), to the unknown words, or back ("deck").
  function put(terms, place) {
    const next = copy(now);
    const moved = new Set(terms);
    const target = place === "new" ? freeNumber(next) : place;
    const rest = (list) => list.filter((term) => !moved.has(term));
    next.unknown = rest(next.unknown);
    for (const each of next.piles) each.terms = rest(each.terms);
    if (place === "new") next.piles.push({ number: target, words: "", terms: [] });
    if (target === "unknown") next.unknown.push(...terms);
    else if (target !== "deck") next.piles.find((each) => each.number === target).terms.push(...terms);
    next.piles = next.piles.filter((each) => each.terms.length || each.words);
    next.piles.sort((one, other) => one.number - other.number);
    return step(next) ? target : null;
  }

  function remove(number) {
    const next = copy(now);
    next.piles = next.piles.filter((each) => each.number !== number);
    return step(next);
  }

  // Words are typed letter by letter and taken back as a whole.
  function type(number, words) {
    if (!pile(number)) return;
    beforeWords = beforeWords || copy(now);
    pile(number).words = words;
  }

  function withTyped() {
    return beforeWords && !same(beforeWords, now) ? [...past, beforeWords].slice(-MOST_STEPS) : past;
  }

  function typed() {
    const steps = withTyped();
    if (steps !== past) coming = [];
    past = steps;
    beforeWords = null;
  }

  function undo() {
    typed();
    if (!past.length) return false;
    coming.push(now);
    now = past.pop();
    return true;
  }

  function redo() {
    typed();
    if (!coming.length) return false;
    past.push(now);
    now = coming.pop();
    return true;
  }

  // Only what is ours is taken over: from a draft, or from a file that was saved.
  function clean(given) {
    const seen = new Set();
    const fresh = (terms) => (Array.isArray(terms) ? terms : []).filter((term) => known.has(term) && !seen.has(term) && seen.add(term));
    const next = { piles: [], unknown: [] };
    for (const each of Array.isArray(given.piles) ? given.piles : []) {
      if (!each || typeof each !== "object") continue;
      const words = typeof each.words === "string" ? tidy(each.words) : "";
      const free = Number.isInteger(each.number) && each.number > 0 && !next.piles.some((other) => other.number === each.number);
      const terms = fresh(each.terms);
      if (terms.length || words) next.piles.push({ number: free ? each.number : freeNumber(next), words, terms });
    }
    next.unknown = fresh(given.unknown);
    next.piles.sort((one, other) => one.number - other.number);
    return next;
  }

  function kept() {
    return { ...copy(now), past: withTyped().slice(-STEPS_KEPT) };
  }

  function restore(given) {
    now = clean(given);
    past = (Array.isArray(given.past) ? given.past : []).filter((each) => each && typeof each === "object").map(clean);
    coming = [];
    beforeWords = null;
  }

  function load(given) {
    return step(clean(given));
  }

  function answer() {
    const piles = now.piles.filter((each) => each.terms.length);
    return { piles: piles.map((each) => ({ words: tidy(each.words), terms: [...each.terms] })), unknown: [...now.unknown], unplaced: deck() };
  }

  return {
    put, remove, type, typed, undo, redo, kept, restore, load, answer, deck, where, pile, tidy,
    piles: () => now.piles,
    unknown: () => now.unknown,
    canUndo: () => past.length > 0,
    canRedo: () => coming.length > 0,
    placed: () => order.length - deck().length,
    all: () => order.length,
  };
}
