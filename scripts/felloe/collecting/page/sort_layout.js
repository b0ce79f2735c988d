/* exported sortLayout */
// Piles stand in columns, each as high as it is: a pile keeps its column while others grow.
function sortLayout(box) {
  const ROW = 4; // pixels, as in the style
  const GAP = 11;

  function lay() {
    for (const pile of box.children) pile.style.gridColumn = ""; // else a wide window's columns stay
    const columns = getComputedStyle(box).gridTemplateColumns.split(" ").length;
    const heights = [...box.children].map((pile) => pile.offsetHeight); // all before anything is moved
    heights.forEach((height, at) => {
      box.children[at].style.gridColumn = String((at % columns) + 1);
      box.children[at].style.gridRow = "span " + Math.ceil((height + GAP) / ROW);
    });
  }

  const changes = new ResizeObserver(() => requestAnimationFrame(lay));
  changes.observe(box);

  return function watch() {
    for (const each of box.children) changes.observe(each); // one that is watched already stays so
    lay();
  };
}
