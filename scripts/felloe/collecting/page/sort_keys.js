/* global byId */
/* exported sortKeys */
// The keyboard: numbers of piles, arrows, and the way back.
function sortKeys(state, act) {
  let typed = "";

  // Wait for a second digit where a pile's number goes on with one; Enter says that it does not.
  function digit(figure) {
    const wanted = typed + figure;
    const fits = state.piles().map((each) => String(each.number)).filter((number) => number.startsWith(wanted));
    if (!typed && figure === "0") act.put("new");
    else if (!fits.length) {
      typed = "";
      act.noPile(wanted);
    } else if (fits.length === 1 && fits[0] === wanted) {
      typed = "";
      act.put(Number(wanted));
    } else {
      typed = wanted;
      act.waiting(wanted);
    }
  }

  function inList(event) {
    const own = event.target.closest(".card");
    const steps = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 };
    if (!own) return false;
    const all = [...own.closest(".cards").querySelectorAll(".card")];
    const at = all.indexOf(own);
    const next = event.key === "Home" ? 0 : event.key === "End" ? all.length - 1 : event.key in steps ? at + steps[event.key] : null;
    if (next === null) return false;
    const found = all[Math.max(0, Math.min(all.length - 1, next))];
    own.tabIndex = -1;
    found.tabIndex = 0;
    found.focus();
    return true;
  }

  function plain(event) {
    const figure = /^(?:Digit|Numpad)(\d)$/.exec(event.code);
    if (figure && !event.shiftKey) digit(figure[1]);
    else if (/^\d$/.test(event.key)) digit(event.key);
    else if (event.key === "?") act.put("unknown");
    else return false;
    return true;
  }

  function command(event) {
    if (event.key === "ArrowRight") act.step(1);
    else if (event.key === "ArrowLeft") act.step(-1);
    else if (event.key === "Escape") {
      typed = "";
      act.release();
    } else if (event.key === "Delete" || event.key === "Backspace") act.back();
    else return false;
    return true;
  }

  function withControl(event) {
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) act.undo();
    else if (key === "y" || key === "z") act.redo();
    else return false;
    return true;
  }

  function pressed(event) {
    if (!act.isWorking() || event.altKey || event.isComposing) return false;
    if (event.target.matches("input, textarea, select")) return false;
    if (event.ctrlKey || event.metaKey) {
      typed = "";
      return withControl(event);
    }
    if (event.key === "Enter" && typed) {
      const number = Number(typed);
      typed = "";
      act.put(number);
      return true;
    }
    if (!/^(Digit|Numpad)\d$/.test(event.code) && !/^\d$/.test(event.key)) typed = "";
    return inList(event) || (byId("single-keys").checked && plain(event)) || command(event);
  }

  document.addEventListener("keydown", (event) => {
    if (pressed(event)) event.preventDefault();
  });
  document.addEventListener("pointerdown", () => (typed = "")); // whoever goes on by hand waits for no digit
}
