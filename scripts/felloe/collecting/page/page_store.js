/* exported pageStore */
// What this browser keeps for one person and one task, as far as it may.
function pageStore(identity) {
  const { kind, study, edition, participant, terms } = identity;
  const KEY = ["felloe-return", kind, study, edition, participant, terms].map(encodeURIComponent).join("|");

  function allowed() {
    try {
      localStorage.setItem(KEY + "|try", "1");
      localStorage.removeItem(KEY + "|try");
      return true;
    } catch {
      return false;
    }
  }

  function parsed(text) {
    try {
      const found = JSON.parse(text);
      return found && typeof found === "object" ? found : null;
    } catch {
      return null; // somebody else's text under our name
    }
  }

  let open = allowed();

  return {
    keeps: () => open,
    read: () => (open ? parsed(localStorage.getItem(KEY)) : null),
    write(value) {
      if (!open) return;
      try {
        localStorage.setItem(KEY, JSON.stringify(value));
      } catch {
        open = false; // no room is left, or it was forbidden since
      }
    },
    forget() {
      if (open) localStorage.removeItem(KEY);
    },
    // another window of the same page wrote, or took everything away
    followed(act, gone) {
      window.addEventListener("storage", (event) => {
        if (event.key !== KEY) return;
        const found = event.newValue ? parsed(event.newValue) : null;
        if (found) act(found);
        else if (event.newValue === null) gone();
      });
    },
  };
}
