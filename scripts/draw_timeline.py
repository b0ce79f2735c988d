"""Step: the picture of a timeline."""

from collections.abc import Sequence

from felloe.ground.drawing import figure, save_figure, use_fonts
from felloe.ground.files.records import read_json
from felloe.timeline.figure_timeline import WIDTH_MM, draw_timeline, heads_of, height_of
from felloe.timeline.figure_words import title
from felloe.timeline.picture import picture_of
from felloe.timeline.tables import TIMELINE


def main(
    *,
    table: str,
    record: str,
    paths: list[str],
    preview: bool = False,
    fonts: Sequence[str] = (),
) -> None:
    """Draw every term's line through the classes of all editions."""
    use_fonts(fonts)
    told = read_json(record)
    picture = picture_of(TIMELINE.read(table), told)
    fig = figure(WIDTH_MM, height_of(picture))
    named = title(told["editions"])
    draw_timeline(fig.add_axes((0, 0, 1, 1)), picture, heads_of(told["editions"]), named)
    save_figure(fig, paths, title=named, preview=preview)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
