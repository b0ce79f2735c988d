/* global byId, element */
/* exported colourFields */
// A field of colours to start from: one stop for the Tab key, arrows from field to field.
function colourFields(space, named, chosen) {
  const HUES = [15, 30, 50, 70, 95, 120, 145, 180, 220, 255, 285, 325];
  const ROWS = [[92, 85], [82, 90], [70, 95], [60, 95], [50, 90], [38, 85], [80, 40], [62, 40], [44, 40]];
  const GREYS = [100, 90, 80, 70, 60, 48, 36, 24, 0];
  const WIDE = HUES.length + 1;
  const box = byId("fields");

  function field(colour) {
    const made = element("button", { type: "button", class: "field", "data-colour": colour, "aria-label": named(colour), tabindex: "-1" });
    made.style.backgroundColor = colour;
    return made;
  }

  ROWS.forEach(([lightness, strength], row) => {
    box.append(field(space.hex({ hue: 0, strength: 0, lightness: GREYS[row] })));
    for (const hue of HUES) box.append(field(space.hex({ hue, strength, lightness })));
  });
  const all = [...box.children];
  all[0].tabIndex = 0;

  function focus(next) {
    const found = all[next];
    if (!found) return;
    for (const each of all) each.tabIndex = each === found ? 0 : -1;
    found.focus();
  }

  box.addEventListener("keydown", (event) => {
    const steps = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -WIDE, ArrowDown: WIDE };
    if (!(event.key in steps)) return;
    event.preventDefault();
    focus(all.indexOf(event.target) + steps[event.key]);
  });
  box.addEventListener("click", (event) => {
    if (event.target.dataset.colour) chosen(event.target.dataset.colour);
  });

  return function mark(colour) {
    for (const each of all) each.setAttribute("aria-pressed", String(each.dataset.colour === colour));
  };
}
