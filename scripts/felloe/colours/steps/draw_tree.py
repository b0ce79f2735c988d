"""Step: the tree, the ordered matrix, the numbers of classes and the sensitivity, as figures."""

from collections.abc import Sequence

from felloe.colours.figure_tree import TreeFiles, tree_figures
from felloe.ground.drawing import save_figure, use_fonts


def main(*, method: str, preview: bool = False, fonts: Sequence[str] = (), **paths: str) -> None:
    """Draw every figure and save it in three formats."""
    use_fonts(fonts)
    files = TreeFiles.of(paths)
    for name, fig in tree_figures(files, method).items():
        files_of_figure = [paths[f"{name}_{kind}"] for kind in ("svg", "pdf", "png")]
        save_figure(fig, files_of_figure, files.title, preview=preview)
