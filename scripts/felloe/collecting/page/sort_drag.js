/* global byId, element */
/* exported sortDrag */
// Cards drawn with mouse or pen, and the large one with a finger; a finger on small ones scrolls.
function sortDrag(act) {
  const FAR = 7; // pixels before a press is a pull
  const EDGE = 60; // pixels from top and bottom where the page moves along
  const STEP = 12; // pixels that it moves each time
  const OFTEN = 25; // milliseconds between
  let held = null;

  function over(x, y) {
    const found = document.elementFromPoint(x, y);
    return found && found.closest("[data-drop]");
  }

  function light(target) {
    for (const each of document.querySelectorAll(".target")) each.classList.toggle("target", each === target);
    if (target) target.classList.add("target");
  }

  function begin(event) {
    held.ghost = element("div", { class: "ghost", dir: "auto", "aria-hidden": "true" });
    document.body.append(held.ghost);
    document.body.classList.add("dragging");
    act.taken(held.source.dataset.term || null);
    held.ghost.textContent = byId("current").textContent; // of several all
    held.along = setInterval(along, OFTEN);
    move(event);
  }

  function move(event) {
    held.at = { x: event.clientX, y: event.clientY };
    held.ghost.style.transform = `translate(${held.at.x + 8}px, ${held.at.y + 8}px)`;
    light(over(held.at.x, held.at.y));
  }

  // also while the hand rests at an edge
  function along() {
    const { x, y } = held.at;
    const by = y < EDGE ? -STEP : y > innerHeight - EDGE ? STEP : 0;
    if (!by) return;
    window.scrollBy(0, by);
    light(over(x, y));
  }

  function end() {
    if (held && held.ghost) {
      clearInterval(held.along);
      held.ghost.remove();
    }
    document.body.classList.remove("dragging");
    light(null);
    held = null;
  }

  // the click that ends a pull is none
  function swallow(event) {
    event.stopPropagation();
    event.preventDefault();
  }

  document.addEventListener("pointerdown", (event) => {
    if (!event.isPrimary) return; // a second finger
    end();
    window.removeEventListener("click", swallow, { capture: true }); // what comes now is a click
    const source = event.target.closest(".card, #current:not(.empty)");
    const finger = event.pointerType === "touch" && !event.target.closest("#current");
    if (!source || finger || event.button !== 0) return;
    held = { source, x: event.clientX, y: event.clientY, pointer: event.pointerId, ghost: null };
  });
  document.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.pointer) return;
    if (held.ghost) move(event);
    else if (Math.hypot(event.clientX - held.x, event.clientY - held.y) > FAR) begin(event);
  });
  document.addEventListener("pointerup", (event) => {
    if (!held || event.pointerId !== held.pointer) return;
    const pulled = held.ghost !== null;
    end();
    if (!pulled) return;
    window.addEventListener("click", swallow, { capture: true, once: true });
    setTimeout(() => window.removeEventListener("click", swallow, { capture: true }), 0);
    const target = over(event.clientX, event.clientY);
    if (target) act.dropped(target.dataset.drop);
  });
  document.addEventListener("pointercancel", (event) => {
    if (held && event.pointerId === held.pointer) end();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && held) end();
  });
  byId("current").style.touchAction = "none";
}
