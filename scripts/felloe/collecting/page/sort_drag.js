/* global byId, element */
/* exported sortDrag */
// Cards drawn with mouse or pen, and the large one with a finger; a finger on small ones scrolls.
function sortDrag(act) {
  const FAR = 7; // pixels before a press is a pull
  const EDGE = 60; // pixels from top and bottom where the page moves along
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
    held.ghost = element("div", { class: "ghost", dir: "auto", "aria-hidden": "true", text: held.source.textContent });
    document.body.append(held.ghost);
    document.body.classList.add("dragging");
    act.taken(held.source.dataset.term || null);
    move(event);
  }

  function move(event) {
    held.ghost.style.transform = `translate(${event.clientX + 8}px, ${event.clientY + 8}px)`;
    light(over(event.clientX, event.clientY));
    if (event.clientY < EDGE) window.scrollBy(0, -12);
    else if (event.clientY > innerHeight - EDGE) window.scrollBy(0, 12);
  }

  function end() {
    if (held && held.ghost) held.ghost.remove();
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
  document.addEventListener("pointercancel", end);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && held) end();
  });
  byId("current").style.touchAction = "none";
}
