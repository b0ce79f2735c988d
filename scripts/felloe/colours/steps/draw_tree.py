"""Step: the tree, the ordered matrix, the numbers of classes and the sensitivity, as figures."""

from collections.abc import Sequence
from typing import Any

from felloe.colours.figure_tree import TreeFiles, tree_figures
from felloe.ground.drawing import save_figure, use_fonts


def main(*, method: str, preview: bool = False, fonts: Sequence[str] = (), **paths: Any) -> None:
    """Draw every figure and save it as each of its paths says."""
    use_fonts(fonts)
    files = TreeFiles.of(paths)
    for name, fig in tree_figures(files, method).items():
        save_figure(fig, paths[f"{name}_figure"], files.title, preview=preview)
