"""The report of the small study, told from changed files."""

import html
import re
import shutil
from html.parser import HTMLParser

import yaml
from felloe.ground.files.records import read_json, write_json
from felloe.matrices.tables import UNSEEN
from felloe.report.catalogue import table_of
from felloe.report.telling.evidence import Evidence
from felloe.report.telling.study_report import write_report
from felloe.settings import DEFAULTS


def rewrite(folder, name, change):
    """Change the rows of a table in place, each a dict, and write it as it is declared."""
    table = table_of(name)
    rows = table.read(folder / name)
    table.write(folder / name, change(rows), further=list(rows[0])[len(table.names) :])


def set_cells(folder, name, where, **cells):
    """Set cells in the rows of a table that hold what is given."""

    def change(rows):
        for row in rows:
            if all(row[column] == value for column, value in where.items()):
                row.update(cells)
        return rows

    rewrite(folder, name, change)


def change_record(folder, name, **changes):
    """Rewrite values of a record; a dotted key goes into its parts."""
    record = read_json(folder / name)
    for key, value in changes.items():
        *above, last = key.split("__")
        found = record
        for part in above:
            found = found[part]
        found[last] = value
    write_json(folder / name, record)


class Quotes(HTMLParser):
    """Collects the numbers that say where they stand, and every address that is loaded."""

    def __init__(self):
        super().__init__()
        self.numbers, self.loaded, self.images, self.headings = [], [], [], []

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "data":
            self.numbers.append((attrs["title"], attrs["value"]))
        if tag in ("img", "script", "link", "iframe", "object", "video", "source"):
            self.loaded.append(attrs.get("src") or attrs.get("href") or tag)
        if tag == "img":
            self.images.append(attrs)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


def told(folder, **changes):
    paths = [path for path in folder.rglob("*") if path.suffix in (".csv", ".json", ".svg", ".png")]
    settings = yaml.safe_load(DEFAULTS.read_text(encoding="utf-8"))
    settings.update(changes)
    write_report(folder / "report.html", Evidence(folder, paths, table_of), "guild", settings)
    return (folder / "report.html").read_text(encoding="utf-8")


def parsed(text):
    quotes = Quotes()
    quotes.feed(text)
    return quotes


def words_of(text):
    return html.unescape(re.sub("<[^>]*>", "", text))


def copied(small_results, folder):
    """Return a copy of a whole study's tables and records, its drawings left out."""
    drawn = ("*.svg", "*.png", "*.pdf", "*.html", "*.tsv", "*.log", "*.xlsx", ".snakemake*")
    ignored = shutil.ignore_patterns(*drawn)
    shutil.copytree(small_results, folder / "study", ignore=ignored)
    shutil.rmtree(folder / "study" / "figures")
    return folder / "study"


def sorted_in_parts(folder, least=0, median=2.0, largest=4):
    """Turn a copied study into one of which everybody was shown a part, as far as is told of it."""
    shown = {"least": 9, "median": 9.0, "largest": 9}
    change_record(folder, "validation/study.json", partial=True, terms_per_participant=shown)
    seen = {
        "least": least, "median": median, "largest": largest, "effective": median,
        "pairs": 66, "unseen_pairs": 0, "unseen_share": 0.0,
    }  # fmt: skip
    populations = dict.fromkeys(("makers", "panel", "pooled"), seen)
    write_json(
        folder / "matrices/observers.json",
        {"prior": 1.0, "unplaced": 0, "populations": populations},
    )
    UNSEEN.write(folder / "matrices/unseen.csv", [])
    return folder
