/* exported colourState */
// Which colour was chosen for which word: a colour, "none" (no colour fits), or not decided yet.
function colourState(cards) {
  const order = cards.map((each) => each.term);
  const known = new Set(order);
  const NONE = "none";
  let picks = {};
  let at = order[0] || null;

  const isColour = (value) => typeof value === "string" && /^#[0-9a-f]{6}$/.test(value);

  function open() {
    return order.filter((term) => !(term in picks));
  }

  function answer() {
    const chosen = order.filter((term) => isColour(picks[term]));
    return {
      picks: Object.fromEntries(chosen.map((term) => [term, picks[term]])),
      unknown: order.filter((term) => picks[term] === NONE),
      unplaced: open(),
    };
  }

  function restore(given) {
    const own = given.picks && typeof given.picks === "object" ? Object.entries(given.picks) : [];
    picks = Object.fromEntries(own.filter(([term, value]) => known.has(term) && (isColour(value) || value === NONE)));
    at = known.has(given.at) ? given.at : order[0] || null;
  }

  function load(given) {
    restore({ picks: given.picks, at });
    for (const term of Array.isArray(given.unknown) ? given.unknown : []) if (known.has(term) && !(term in picks)) picks[term] = NONE;
  }

  return {
    open, answer, restore, load, NONE,
    kept: () => ({ picks: { ...picks }, at }),
    at: () => at,
    pick: (term) => picks[term],
    choose: (value) => (picks[at] = value),
    clear: () => delete picks[at],
    go: (term) => (at = term),
    step(by) {
      at = order[(order.indexOf(at) + by + order.length) % order.length];
    },
    all: () => order.length,
    order,
  };
}
