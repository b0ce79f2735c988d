/* exported sortLayout */
// Piles stand in columns, each as high as it is: a pile keeps its column while others grow.
function sortLayout(box) {
  const ROW = 4; // pixels, as in the style
  const GAP = 11;

  function lay() {
    for (const pile of box.children) pile.style.gridColumn = ""; // else a wide window's columns stay
    const columns = getComputedStyle(box).gridTemplateColumns.split(" ").length;
    [...box.children].forEach((pile, at) => {
      pile.style.gridColumn = String((at % columns) + 1);
      pile.style.gridRow = "span " + Math.ceil((pile.offsetHeight + GAP) / ROW);
    });
  }

  const heights = new ResizeObserver(lay);
  heights.observe(box);

  return function watch() {
    for (const each of box.children) heights.observe(each); // one that is watched already stays so
    lay();
  };
}
