"""Step: the wheel as a page and the cards for the tasting table, in every language."""

from felloe.report.steps import write_cards, write_wheel_page


def main(
    *,
    charts: list[str],
    about: str,
    fonts: list[str],
    weak: float,
    languages: dict[str, str],
    wheels: list[str],
    cards: list[str],
    sheets: list[str],
) -> None:
    """Write the page of the wheel, the page of the cards and their sheets, language by language."""
    for chart, wheel, page, sheet in zip(charts, wheels, cards, sheets, strict=True):
        write_wheel_page.main(chart=chart, fonts=fonts, weak=weak, languages=languages, page=wheel)
        write_cards.main(chart=chart, about=about, fonts=fonts, page=page, sheets=sheet)


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main)
