"""What is said beside what is circulated of a study, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from felloe.archiving.how_to import NO_LICENSE, wrapped

CAUTIONS = (
    "A pseudonymised sort is as good as a fingerprint, so no file here has one person's sort, "
    "minutes, pile sizes or colours; breakdowns of people have no cell of fewer than {least}.",
    "The counts of who put two terms together are whole, since everything is made from them. "
    "Whoever knows all sorts of a population but one can reckon that one from them, and whoever "
    "has this study with and without a person, that person's. Do not pass on two versions "
    "that differ by a few people.",
    "What the committee wrote (reasons of decisions, cautions, references) is passed on as it "
    "stands. See that it names nobody.",
    "Sorting needs no tasting. Whoever prepares or tastes references follows the cautions in "
    "report/report.html and local food law, and has somebody trained to see to it.",
)
TOLD = {
    "report.html": "what changed",
    "members.html": "each old word",
    "timeline.html": "every term through all editions",
}
LICENSED = "Licence: {license}."


def readme(
    study: str,
    about: Mapping[str, Any],
    project: Mapping[str, str],
    pages: Sequence[str],
    least: int,
) -> str:
    """
    Return the text of `README.txt`.

    Parameters
    ----------
    study : str
    about : mapping
        Its `validation/study.json`.
    project : mapping
        Version and hash of the code, from the manifest.
    pages : sequence of str
        Pages about editions that are here.
    least : int
    """
    home = f"results/{study}"
    told = [
        f"{about['title']}, edition {about['edition']}",
        LICENSED.format(license=about.get("license") or NO_LICENSE),
        bullets(
            "Open",
            [
                f"{home}/report/report.html: the study from question to chart",
                f"{home}/figures/wheel.pdf and {home}/report/wheel.html: the wheel",
                f"{home}/report/tables.xlsx: every table, with a sheet that explains the columns",
                *(f"{page}: {TOLD.get(page.rpartition('/')[2], 'editions')}" for page in pages),
            ],
        ),
        wrapped(
            "The pages name files in validation/ and the manifest: they are not here, "
            "NOT_INCLUDED.txt says why. SHA256SUMS holds the hash of every file: sha256sum --check "
            f"SHA256SUMS. Made with Felloe {project['version']}, code {project['code']}."
        ),
        bullets("Cautions", [caution.format(least=least) for caution in CAUTIONS]),
    ]
    own = about.get("cautions", [])
    if own:
        told.append(bullets("Cautions of this study", own))
    return "\n\n".join(told) + "\n"


def not_included(
    home: str,
    people: Sequence[str],
    lists: Sequence[str],
    inputs: Sequence[str],
    pairs: Sequence[str],
) -> str:
    """
    Return the text of `NOT_INCLUDED.txt`.

    Parameters
    ----------
    home : str
        Where the results of the study stand.
    people, lists : sequence of str
        Results that were left out.
    inputs : sequence of str
        Files of the study's folder.
    pairs : sequence of str
        Folders of comparisons and timelines that are here.
    """
    folders = [home, *(f"results/editions/{pair}" for pair in pairs)]
    told = [
        bullets("Tells of single people, or stands among what does", people),
        bullets(
            "The study's own files, which the sorts and the participants are among",
            inputs,
        ),
        bullets(
            "Lists files that are not here, or their hashes: from the hash of a short file one can "
            "guess what it holds, by trying",
            [*lists, *(f"{folder}/{name}" for folder in folders for name in OF_THE_RUN)],
        ),
        bullets(
            "Tells of the machine and the run",
            [f"{folder}/{name}" for folder in folders for name in OF_THE_MACHINE],
        ),
        wrapped(
            "No comparison of editions names this study."
            if not pairs
            else "Of the other study of a comparison nothing else is here; share it by itself."
        ),
        wrapped("Who has to make the results anew needs an archive: python3 scripts/run archive."),
    ]
    return "\n\n".join(told) + "\n"


OF_THE_RUN = ("manifest.json", "SHA256SUMS", "ledger/")
OF_THE_MACHINE = ("environment.json", "logs/", "benchmarks/")


def bullets(head: str, lines: Sequence[str]) -> str:
    """Return a heading with a list."""
    return "\n".join([wrapped(f"{head}:"), *(wrapped(f"- {line}", "  ") for line in lines)])
