/* exported sortHand */
// Which card is in hand: the next of the deck, or those that were taken up from where they lay.
function sortHand(state) {
  let current = state.deck()[0] || null;
  let taken = [];

  function settle(wanted) {
    const deck = state.deck();
    if (wanted && deck.includes(wanted)) current = wanted;
    if (!deck.includes(current)) current = deck[0] || null;
    taken = taken.filter((term) => state.where(term) !== "deck");
  }

  return {
    settle,
    cards: () => (taken.length ? [...taken] : current ? [current] : []),
    isTaken: () => taken.length > 0,
    current: () => current,
    take(term, more) {
      if (state.where(term) === "deck") {
        current = term;
        taken = [];
      } else if (more) {
        taken = taken.includes(term) ? taken.filter((each) => each !== term) : [...taken, term];
      } else taken = taken.length === 1 && taken[0] === term ? [] : [term];
    },
    takeAll(terms) {
      taken = [...terms];
    },
    release() {
      taken = [];
    },
    // the next or the last card of the deck, around its end
    step(by) {
      const deck = state.deck();
      taken = [];
      if (deck.length) current = deck[(deck.indexOf(current) + by + deck.length) % deck.length];
    },
    // After a card of the deck was placed the one behind it comes.
    putting(act) {
      const at = state.deck().indexOf(current);
      const result = act();
      taken = [];
      const deck = state.deck();
      if (!deck.includes(current)) current = deck[at] || deck[0] || null;
      return result;
    },
  };
}
