"""What lies in `results/` and belongs to nothing that the settings name: said, and left there."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from felloe.errors import StudyError, shortened
from felloe.ground.edition_lists import EDITIONS, Lists, folder_of, pairs_of, timelines_of
from felloe.settings import read_settings, resolve
from felloe.validation.intake.lexicon.languages import LABELS_FILE, LABELS_SHEET, languages_of
from felloe.validation.intake.study_file import StudyFile, read_headers

MARKS = ("validation", "manifest.json")  # a folder with one of these was made by a run
PAIR_MARKS = ("comparison.json", "report.html")
TIMELINE_MARKS = ("timeline.json", "timeline.html")
COUNTS = (".together.csv", ".both.csv")  # of a population
CHART = "chart.*.json"  # in a further language
POOLED = "pooled"
PRINTS = ("wheel", "wheel_a4")  # figures that always have a PDF, in each language
SHOWN = 12  # lines; more would hide how the run ended
LEFT = "it was left as it is"


def stale_results(
    results: str | Path, settings: Mapping[str, Any], headers: Mapping[str, StudyFile]
) -> list[str]:
    """
    Return a sentence for everything in the results that the settings no longer name.

    Parameters
    ----------
    results : str or Path
        The folder of the results, as it is to be named.
    settings : dict
        Complete, with `studies` and `editions`.
    headers : dict of str to StudyFile
        Of every study, with its `populations`.

    Returns
    -------
    list of str
        Studies, then pairs of editions and timelines, then populations and languages, then PDFs of
        figures. What no run made is passed over.
    """
    results = Path(results)
    found = [
        f"{named(folder)} is of no study in these settings; {LEFT}."
        for folder in made_folders(results, MARKS)
        if folder.name not in settings["studies"] and folder.name != EDITIONS
    ]
    found += stale_editions(results / EDITIONS, settings["editions"])
    for study, header in headers.items():
        declared = {*header.populations, POOLED}
        folder = results / study / "matrices"
        found += [
            f"{named(folder)} holds counts of '{shortened(name)}', no population in "
            f"{settings['studies'][study]}/study.yaml; they were left as they are."
            for name in counted(folder)
            if name not in declared
        ]
        report = results / study / "report"
        found += [
            f"{named(report)} holds products in '{shortened(name)}', no language of "
            f"{settings['studies'][study]}/{LABELS_FILE}; they were left as they are."
            for name in dropped_languages(report, settings["studies"][study], header)
        ]
    if not settings["figures"]["pdf"]:
        pairs = [f"{EDITIONS}/{folder_of(pair)}" for pair in pairs_of(settings["editions"])]
        found += stale_prints(results / home / "figures" for home in [*headers, *pairs])
    return found


def stale_prints(folders: Iterable[Path]) -> Iterator[str]:
    """Yield a sentence for every folder with PDFs of figures that are made without them now."""
    for folder in folders:
        made = [path for path in folder.glob("*.pdf") if path.with_suffix(".svg").exists()]
        if any(path.name.partition(".")[0] not in PRINTS for path in made):
            yield (
                f"{named(folder)} holds figures as PDF, which `figures.pdf` in these settings does "
                "not ask for; they were left as they are."
            )


def stale_editions(folder: Path, lists: Lists) -> Iterator[str]:
    """Yield a sentence for every pair and timeline in a folder that no list names."""
    pairs = {folder_of(home) for home in pairs_of(lists)}
    timelines = {folder_of(home) for home in timelines_of(lists)}
    for each in made_folders(folder, PAIR_MARKS):
        if each.name not in pairs | timelines:
            yield f"{named(each)} is of no pair of editions in these settings; {LEFT}."
        elif each.name not in pairs:
            yield f"{named(each)} holds a comparison of no pair in these settings; {LEFT}."
    for each in made_folders(folder, TIMELINE_MARKS):
        if each.name not in timelines:
            yield f"{named(each)} holds a timeline of no list in these settings; {LEFT}."


def dropped_languages(report: Path, folder: str, header: StudyFile) -> list[str]:
    """Return the languages of charts that a study no longer has; none while that is not known."""
    made = [path.name.split(".")[1] for path in sorted(report.glob(CHART))]
    known = languages_of(folder, header.language) if made else []
    given = any((Path(folder) / name).exists() for name in (LABELS_FILE, LABELS_SHEET))
    if given and not known:  # the file has a fault
        return []
    return [name for name in made if name not in known]


def made_folders(parent: Path, marks: Sequence[str]) -> Iterator[Path]:
    """Yield the folders in `parent` that a run made, in sorted order."""
    if parent.is_dir():
        for folder in sorted(parent.iterdir()):
            if folder.is_dir() and any((folder / mark).exists() for mark in marks):
                yield folder


def counted(folder: Path) -> list[str]:
    """Return the populations whose counts lie in a study's folder of matrices."""
    names = [path.name for ending in COUNTS for path in folder.glob(f"*{ending}")]
    return sorted({name.partition(".")[0] for name in names})


def named(folder: Path) -> str:
    """Return a folder as a reader is shown it."""
    return shortened(folder.as_posix(), 200)


def left_over(configfiles: Sequence[str]) -> list[str]:
    """Return what is stale in the results of the folder in which this runs, in sentences."""
    try:
        settings = resolve(read_settings(configfiles))
        found = stale_results("results", settings, read_headers(settings["studies"]))
    except (StudyError, OSError):  # this is no more than a hint
        return []
    if len(found) > SHOWN:
        more = f"... and {len(found) - SHOWN} more in results that these settings do not name."
        return [*found[:SHOWN], more]
    return found
