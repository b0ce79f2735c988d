"""A small whole study, run once a session through all rules: what the pages are told from."""

from pathlib import Path

from called import called
from study_folder import write_rows

ROOT = Path(__file__).parents[1]
STUDY = "guild"
TERMS = {  # term: its label and the piles in which the two populations tend to put it
    "ash": ("Ash wood", 0, 0),
    "elm": ("Elm", 0, 0),
    "oak": ("Oak", 0, 0),
    "yew": ("Yew", 0, 1),
    "beet": ("Beetroot", 1, 1),
    "leek": ("Leek", 1, 1),
    "kale": ("Kale", 1, 1),
    "turnip": ("Turnip", 1, 1),
    "clove": ("Clove", 2, 2),
    "ginger": ("Ginger", 2, 2),
    "pepper": ("Pepper", 2, 2),
    "mace": ("Mace", 2, 0),
}
GERMAN = {"ash": "Esche", "oak": "Eiche", "yew": "Eibe", "beet": "Rote Bete", "leek": "Lauch"}
PEOPLE = {f"somebody-{at:02d}": ("makers" if at % 2 else "panel") for at in range(1, 19)}
ONE_PILE, ABSENT_TERM = "somebody-18", "somebody-05"  # one is left out, one left a term unplaced
RESPONDENTS = [f"picker-{at:02d}" for at in range(1, 10)]
FEW = """
bootstrap: {replicates: 100, parts: 1, null_replicates: 10}
clustering: {tie_orders: 20, null_replicates: 10}
comparison: {permutations: 99, shape_permutations: 99, splits: 20}
stability: {curve_repeats: 5, curve_steps: 3}
map: {bootstrap: 10, null_replicates: 5}
circle: {adjacency_replicates: 20, random_drawings: 20, free_tour_starts: 5}
"""  # replicates: every step and every file is the same
SETTINGS = (
    """
studies: {guild: guild}
editions: []
tiers: {classes: 3, subclasses: 6}
"""
    + FEW
)


def pile_of(at, population, term):
    """Return the pile of the person of a number: mostly the population's, sometimes another."""
    usual = TERMS[term][1 if population == "panel" else 2]
    place = list(TERMS).index(term)
    strays = (7 * at + 3 * place) % 11 == 0
    finer = 3 if at % 3 == 0 and place % 4 < 2 else 0  # some people split each of their piles
    return 1 + (usual + strays) % 3 + finer


def sorts():
    """Yield every placement, in the long layout."""
    for at, (person, population) in enumerate(PEOPLE.items()):
        for place, term in enumerate(TERMS):
            pile = 1 if person == ONE_PILE else pile_of(at, population, term)
            unplaced = person == ABSENT_TERM and term == "mace"
            yield [person, term, "" if unplaced else pile, (place + at) % len(TERMS) + 1]


def write_small_study(folder):
    """Write the study as its owner would: every kind of file, and a person who is left out."""
    folder.mkdir(parents=True)
    (folder / "study.yaml").write_text(
        "title: Words of a guild (invented data)\nedition: 2031\n"
        "instruction: Put together what belongs together.\n"
        "populations:\n  panel: Trained panel\n  makers: Makers\ncautions: Wear gloves.\n",
        encoding="utf-8",
    )
    words = [
        [term, label, f"As of {label}.", "A piece.", "None known."]
        for term, (label, *_) in TERMS.items()
    ]
    write_rows(
        folder / "terms.csv", [["term", "label", "definition", "reference", "caution"], *words]
    )
    people = [
        [person, population, 31.25 + at] for at, (person, population) in enumerate(PEOPLE.items())
    ]
    write_rows(folder / "participants.csv", [["participant", "population", "minutes"], *people])
    write_rows(folder / "sorts.csv", [["participant", "term", "pile", "position"], *sorts()])
    names = [["class", "elm", "Trees", "no"], ["class", "beet", "Roots", "yes"]]
    write_rows(folder / "names.csv", [["tier", "anchor", "name", "absorbs"], *names])
    labels = [[term, "term", "de", word] for term, word in GERMAN.items()]
    labels += [["elm", "class", "de", "Bäume"], ["beet", "class", "de", "Rüben"]]
    write_rows(folder / "labels.csv", [["id", "tier", "language", "label"], *labels])
    decisions = [["mace", "clove", "a matter of taste", "2031-02-03"]]
    write_rows(folder / "decisions.csv", [["term", "beside", "reason", "decided_on"], *decisions])
    picks = [
        [term, picker, f"#{40 + 60 * TERMS[term][1]:02x}{120 - 3 * at:02x}{60 + 5 * at:02x}"]
        for term in list(TERMS)[::2]
        for at, picker in enumerate(RESPONDENTS)
    ]
    write_rows(folder / "colours.csv", [["term", "respondent", "colour"], *picks])


def run_small_study(folder):
    """Run the whole study in a new folder by the rules; return the folder of its results."""
    write_small_study(folder / STUDY)
    (folder / "small.yaml").write_text(SETTINGS, encoding="utf-8")
    command = ["-m", "snakemake", "--snakefile", ROOT / "Snakefile"]
    command += ["--workflow-profile", ROOT / "workflow" / "profiles" / "default"]
    command += ["--configfile", "small.yaml", "--directory", ".", "--cores", "2"]
    finished = called(*command, cwd=folder, timeout=600)
    assert finished.returncode == 0, finished.stdout[-2000:] + finished.stderr[-6000:]
    return folder / "results" / STUDY
