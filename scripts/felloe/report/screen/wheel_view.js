"use strict";
/* exported wheelView */
// What part of the wheel is seen: zoom about a place that stays where it is, and moving.
function wheelView(wheel, onChange) {
  const scene = wheel.querySelector(".scene");
  const box = wheel.viewBox.baseVal;
  const half = box.width / 2;
  const LARGEST = 8;
  const STEP = 1.5;
  const RIM = 0.95; // of the way from the centre to the edge of the box
  const DRAG = 5; // pixels from which a press is a move and no click
  const pointers = new Map();
  let scale = 1;
  let left = 0;
  let top = 0;
  let dragged = false;
  let pressed = null;

  function placed(x, y) {
    const at = new DOMPoint(x, y).matrixTransform(wheel.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  function draw() {
    const whole = scale === 1;
    if (whole) left = top = 0;
    const most = half * scale; // the wheel's centre or more of it stays within the window
    left = Math.max(-most, Math.min(most, left));
    top = Math.max(-most, Math.min(most, top));
    if (whole) scene.removeAttribute("transform");
    else scene.setAttribute("transform", `translate(${left} ${top}) scale(${scale})`);
    wheel.classList.toggle("zoomed", !whole);
    onChange(scale, LARGEST);
  }

  function zoomAt([x, y], factor) {
    const next = Math.max(1, Math.min(LARGEST, scale * factor));
    left = x - ((x - left) * next) / scale;
    top = y - ((y - top) * next) / scale;
    scale = next;
    draw();
  }

  function middleOf(piece) {
    const area = piece.querySelector(".area").getBBox();
    return [left + scale * (area.x + area.width / 2), top + scale * (area.y + area.height / 2)];
  }

  function onRim(angle) {
    const turned = (angle * Math.PI) / 180;
    return [left + scale * RIM * half * Math.sin(turned), top - scale * RIM * half * Math.cos(turned)];
  }

  // About a place of the wheel, so that it stays in sight: it is brought there if it is not.
  function step(inwards, place) {
    if (place().some((at) => Math.abs(at) > half)) bring(place());
    zoomAt(place(), inwards ? STEP : 1 / STEP);
  }

  function reveal(piece) {
    if (scale === 1) return;
    bring(middleOf(piece));
  }

  function bring([x, y]) {
    const room = 0.8 * half;
    left += Math.max(-room, Math.min(room, x)) - x;
    top += Math.max(-room, Math.min(room, y)) - y;
    draw();
  }

  function reset() {
    scale = 1;
    draw();
  }

  function apart() {
    const [one, other] = [...pointers.values()];
    return {
      length: Math.hypot(one[0] - other[0], one[1] - other[1]),
      middle: [(one[0] + other[0]) / 2, (one[1] + other[1]) / 2],
    };
  }

  function down(event) {
    pointers.set(event.pointerId, [event.clientX, event.clientY]);
    if (pointers.size === 1) {
      dragged = false;
      pressed = [event.clientX, event.clientY];
    }
  }

  function moved(event) {
    if (!pointers.has(event.pointerId)) return;
    const here = [event.clientX, event.clientY];
    const before = pointers.size === 2 ? apart() : null;
    const [x0, y0] = placed(...pointers.get(event.pointerId));
    pointers.set(event.pointerId, here);
    if (before) {
      const after = apart();
      dragged = true;
      shift(placed(...before.middle), placed(...after.middle));
      if (before.length) zoomAt(placed(...after.middle), after.length / before.length);
      return;
    }
    if (!dragged && Math.hypot(here[0] - pressed[0], here[1] - pressed[1]) < DRAG) return;
    if (scale === 1) return;
    dragged = true;
    shift([x0, y0], placed(...here));
  }

  function shift([x0, y0], [x1, y1]) {
    left += x1 - x0;
    top += y1 - y0;
    draw();
  }

  function up(event) {
    pointers.delete(event.pointerId);
  }

  wheel.addEventListener(
    "wheel",
    (event) => {
      if (!event.ctrlKey && !event.metaKey) return; // else the page scrolls
      event.preventDefault();
      zoomAt(placed(event.clientX, event.clientY), Math.exp(-event.deltaY / 300));
    },
    { passive: false },
  );
  wheel.addEventListener("pointerdown", down);
  window.addEventListener("pointermove", moved);
  window.addEventListener("pointerup", up);
  window.addEventListener("pointercancel", up);
  return { step, middleOf, onRim, reveal, reset, wasDragged: () => dragged };
}
