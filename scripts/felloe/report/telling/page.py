"""A page that quotes results: every number carries its file and key, every figure stands inside."""

import base64
import re
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup, escape

from felloe.ground.files.numbers import as_number, is_blank, shown
from felloe.ground.files.tables import Row, cell
from felloe.report.filling import fill
from felloe.report.telling.evidence import Evidence
from felloe.report.tones import css_variables

Shown = tuple[str, str, str]  # column, heading, style
READS = ("report/telling/frame.html.j2",)
WORDS = ("plain", "label", "labels", "group", "colour")
COLOUR = re.compile("#[0-9a-fA-F]{6}")
SHORT = 8  # rows; a table of no more stays on one page
HEAD = 4000  # characters of a drawing in which its first element ends
VIEW = re.compile(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"')
TALLEST = (
    2.0  # height over width of a drawing that can be read on one page, at the most (no source)
)
LARGEST_VECTOR = 1_500_000  # bytes; a larger drawing is shown as its PNG, to keep pages light


class Page:
    """
    What a template may call; it remembers which files a section has quoted.

    Parameters
    ----------
    evidence : Evidence
    labels : dict of str to str, optional
        Wording of identifiers, used where a column is of style `label`.
    groups : dict of str to str, optional
        Names of classes, used where a column is of style `group`.
    base : str
        Where the results lie, as seen from the document.
    """

    def __init__(
        self,
        evidence: Evidence,
        labels: Mapping[str, str] | None = None,
        groups: Mapping[str, str] | None = None,
        base: str = "",
    ) -> None:
        self.base = base
        self.evidence = evidence
        self.labels = labels or {}
        self.groups = groups or {}
        self.quoted: list[str] = []

    def quote(self, name: str) -> None:
        """Remember that a file was quoted."""
        if name not in self.quoted:
            self.quoted.append(name)

    def has(self, name: str, *keys: str) -> bool:
        """Return whether a file is there and holds every key or column."""
        return self.evidence.has(name, *keys)

    def number(self, value: object, style: str, name: str, key: str) -> Markup:
        """Return a number as HTML that says where it stands, in full."""
        self.quote(name)
        full = as_number(value)
        text = escape(shown(value, style))
        place = escape(f"{name}: {key}")
        if full is None:
            return Markup('<span title="{}">{}</span>').format(place, text)
        return Markup('<data value="{}" title="{}">{}</data>').format(cell(value), place, text)

    def num(self, name: str, key: str, style: str = "plain") -> Markup:
        """Quote a value of a JSON file."""
        return self.number(self.evidence.value(name, key), style, name, key)

    def cell(self, name: str, column: str, style: str = "plain", **where: Any) -> Markup:
        """Quote one cell of a table."""
        key = ", ".join([column, *conditions(where)])
        return self.number(self.evidence.cell(name, column, **where), style, name, key)

    def count(self, name: str, **where: Any) -> Markup:
        """Quote the number of rows of a table."""
        key = " and ".join(conditions(where))
        rows = self.evidence.select(name, **where)
        return self.number(len(rows), "count", name, f"rows with {key}" if key else "rows")

    def things(
        self, one: str, many: str, name: str, key: str | None = None, **where: Any
    ) -> Markup:
        """Quote a number of things with the word for them: a JSON value, or rows of a table."""
        if key is None:
            value, told = len(self.evidence.select(name, **where)), self.count(name, **where)
        else:
            value, told = self.evidence.value(name, key), self.num(name, key, "count")
        return Markup("{} {}").format(told, one if value == 1 else many)

    def distinct(self, name: str, column: str) -> Markup:
        """Quote the number of different values of a column."""
        values = {row[column] for row in self.evidence.select(name) if not is_blank(row[column])}
        return self.number(len(values), "count", name, f"different values of {column}")

    def text(self, name: str, key: str) -> Markup:
        """Quote words of a JSON file."""
        self.quote(name)
        return escape(str(self.evidence.value(name, key)))

    def label(self, identifier: str) -> str:
        """Return the wording of an identifier, itself if it has none."""
        return self.labels.get(identifier) or identifier

    def follows(self, sentence: str) -> Markup:
        """Return the sentence that says what follows from a table or figure."""
        if not sentence:
            raise ValueError("a table or figure needs a sentence that says what follows from it")
        return Markup('<p class="so"><b>What follows:</b> {}</p>').format(sentence)

    def table(
        self,
        name: str,
        columns: Sequence[Shown],
        caption: str,
        rows: Sequence[Row] | None = None,
        *,
        so: str,
    ) -> Markup:
        """
        Show rows of a table, and what follows from them.

        Parameters
        ----------
        name : str
        columns : sequence of (column, heading, style)
            Columns that the table does not have are left out. Style `label` shows the wording of
            an identifier, `labels` that of several joined by `;`.
        caption : str
        rows : list of dict, optional
            Only these.
        so : str
            What follows from it, a sentence.

        Returns
        -------
        Markup
        """
        self.quote(name)
        rows = self.evidence.select(name) if rows is None else rows
        columns = [column for column in columns if rows and column[0] in rows[0]]
        head = Markup("").join(
            Markup('<th scope="col"{}>{}</th>').format(align(style), heading)
            for _, heading, style in columns
        )
        body = Markup("\n").join(
            Markup("<tr>{}</tr>").format(
                Markup("").join(
                    self.table_cell(row[column], style, first=place == 0)
                    for place, (column, _, style) in enumerate(columns)
                )
            )
            for row in rows
        )
        return Markup(
            '<div class="scroll{}" tabindex="0"><table><caption>{} <span class="path">{}</span>'
            "</caption><thead><tr>{}</tr></thead>\n<tbody>{}</tbody></table></div>\n{}"
        ).format(
            " short" if len(rows) <= SHORT else "", caption, name, head, body, self.follows(so)
        )

    def filled(
        self, name: str, columns: Sequence[Shown], rows: Sequence[Row] | None = None
    ) -> list[Shown]:
        """Return those of some (column, heading, style) that are not empty throughout a table."""
        rows = self.evidence.select(name) if rows is None else rows
        return [
            column for column in columns if any(not is_blank(row.get(column[0])) for row in rows)
        ]

    def table_cell(self, value: Any, style: str, first: bool) -> Markup:
        """Return one cell; the first of a row is its header."""
        if style == "group":
            text = self.groups.get(value) or self.label(value) or shown("")
        elif style in ("label", "labels"):
            several = (value,) if isinstance(value, str) else value or ()
            text = ", ".join(self.label(part) for part in several if part) or shown("")
        elif style == "colour" and COLOUR.fullmatch(value or ""):
            text = Markup('<span class="swatch" style="background:{}"></span>{}').format(
                value, value
            )
        else:
            text = shown(value, style)
        tag = Markup('th scope="row"') if first else Markup("td")
        return Markup("<{}{}>{}</{}>").format(tag, align(style), text, "th" if first else "td")

    def figure(
        self, name: str, alt: str, caption: str, *, so: str, folder: str = "figures/"
    ) -> Markup:
        """Return a figure and what follows from it as part of the page, nothing if not drawn."""
        vector, bitmap = f"{folder}{name}.svg", f"{folder}{name}.png"
        paths = self.evidence.paths
        if vector in paths and paths[vector].stat().st_size <= LARGEST_VECTOR:
            chosen, kind = vector, "svg+xml"
        elif bitmap in paths:
            chosen, kind = bitmap, "png"
        else:
            return Markup("")
        data = base64.b64encode(paths[chosen].read_bytes()).decode("ascii")
        return Markup(
            '<figure id="figure-{}"><img alt="{}" src="data:image/{};base64,{}">'
            '<figcaption>{} <a class="path" href="{}">{}</a>{}</figcaption>{}</figure>'
        ).format(
            name, alt, kind, data, caption, self.base + chosen, chosen,
            self.too_tall(folder + name),
            self.follows(so),
        )  # fmt: skip

    def head_of(self, name: str) -> str:
        """Return the first element of a drawing, which says how large it is; "" if not drawn."""
        path = self.evidence.paths.get(name)
        if path is None:
            return ""
        with path.open(encoding="utf-8") as stream:
            return stream.read(HEAD).partition("<svg")[2].partition(">")[0]

    def too_tall(self, name: str) -> Markup:
        """Return the sentence for paper where a drawing is too tall to be read on one page."""
        box = VIEW.search(self.head_of(f"{name}.svg"))
        if box is None or float(box[2]) <= TALLEST * float(box[1]):
            return Markup("")
        return Markup(
            ' <span class="onpaper">On one page it is too small to be read: <code>{}.svg'
            "</code> has it in full size.</span>"
        ).format(name)

    def sources(self) -> Markup:
        """Return the line that names the files quoted since the last such line."""
        names, self.quoted = self.quoted, []
        if not names:
            return Markup("")
        listed = Markup(" \u00b7 ").join(Markup("<code>{}</code>").format(name) for name in names)
        return Markup('<p class="sources">Read from: {}</p>').format(listed)


def conditions(where: Mapping[str, Any]) -> list[str]:
    """Return which rows are meant, each condition as the file has it."""
    return [f"{column} = {cell(value)}" for column, value in where.items()]


def align(style: str) -> Markup:
    """Return the class that sets numbers to the right."""
    return Markup("") if style in WORDS else Markup(' class="n"')


def render(template: str, page: Page, **values: Any) -> str:
    """
    Fill a template.

    Parameters
    ----------
    template : str
        Path of a template within the library.
    page : Page
    **values
        What the template needs beside the results.

    Returns
    -------
    str
    """
    return fill(template, page=page, evidence=page.evidence, tones=css_variables(), **values)
