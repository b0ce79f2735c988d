"""Step: the tree, the ordered matrix, the numbers of classes and the sensitivity, as figures."""

from felloe.colours.figure_tree import TreeFiles, tree_figures
from felloe.ground.drawing import save_figure


def main(*, method: str, **paths: str) -> None:
    """Draw every figure and save it in three formats."""
    files = TreeFiles.of(paths)
    for name, fig in tree_figures(files, method).items():
        save_figure(fig, [paths[f"{name}_{kind}"] for kind in ("svg", "pdf", "png")], files.title)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
