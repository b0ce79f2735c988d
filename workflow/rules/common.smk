"""Studies, populations and wildcards; nothing else."""

from functools import cache

STUDIES = list(config["studies"])
STUDY_FILES = {
    "settings": ["study.yaml"],
    "terms": ["terms.csv"],
    "left_out": ["left_out.csv"],
    "participants": ["participants.csv"],
    "sorts": ["sorts.csv", "sorts.xlsx"],
    "design": ["design.csv", "design.xlsx"],
    "names": ["names.csv", "names.xlsx"],
    "decisions": ["decisions.csv", "decisions.xlsx"],
    "colours": ["colours.csv", "colours.xlsx"],
    "labels": ["labels.csv", "labels.xlsx"],
    "crosswalk": ["crosswalk.csv", "crosswalk.xlsx"],
    "pile_words": ["pile_words.csv"],
    "protocol": ["protocol.json"],
    "ballot": ["ballot.xlsx"],
}
# further languages of each study; what its labels.csv does not say rightly the validation tells
LANGUAGES = {
    study: languages_of(folder, HEADERS[study].language)
    for study, folder in config["studies"].items()
}
# what a figure of the evidence is written as; wheels to print, cards and timelines have PDFs anyway
DRAWN_AS = ["svg", "png", *(["pdf"] if config["figures"]["pdf"] else [])]
# the settings as they are for each study
OWN = {study: of_study(config, study) for study in STUDIES}
# studies whose people were shown some terms each, as their design says; an archive without people
# holds no design, and the counts that follow from it
IN_PARTS = {
    study: in_parts(folder)
    or (Path(MARKER).is_file() and Path(f"results/{study}/matrices/unseen.csv").is_file())
    for study, folder in config["studies"].items()
}
# what is compared, and what is followed through three editions and more, by first and last study
PAIRS = pairs_of(config["editions"])
TIMELINES = timelines_of(config["editions"])
# which code a step is made of, each read once
hash_of_code = cache(provenance.code_of)
# what the project is, for the manifests
IDENTITY = project_identity()


wildcard_constraints:
    study="|".join(STUDIES),
    older="|".join(STUDIES),
    newer="|".join(STUDIES),
    population=r"[a-z0-9][a-z0-9_-]*",


def code_of(step):
    """Return the input function of a step's code: a job on a cluster asks for its own alone."""
    return lambda wildcards: hash_of_code(step)


def names_of(study, table):
    """Return what the file of a study's table may be called: as usual, or as the settings say."""
    named = config["crosswalks"].get(study) if table == "crosswalk" else None
    return [named] if named else STUDY_FILES[table]


def study_files(wildcards):
    """Return the files of a study's folder that are there; validation says which are missing."""
    folder = Path(config["studies"][wildcards.study])
    names = [name for table in STUDY_FILES for name in names_of(wildcards.study, table)]
    names += config["wheel"]["fonts"]
    return [str(folder / name) for name in names if (folder / name).is_file()]


def table_of_study(study, table):
    """Return the file of a study's folder that holds a table, or the first that might."""
    places = [Path(config["studies"][study]) / name for name in names_of(study, table)]
    return next((place for place in places if place.is_file()), places[0]).as_posix()


def designs(wildcards):
    """Return who was shown what in a study, in one form; nothing where all saw every term."""
    path = f"results/{wildcards.study}/validation/design.csv"
    return [path] if IN_PARTS[wildcards.study] else []


def prior_of_study(study):
    """Return how many observers each pair has at the mean; None where all saw every term."""
    return config["matrices"]["prior"] if IN_PARTS[study] else None


def prior_of(wildcards):
    """Return the prior of the study of a job."""
    return prior_of_study(wildcards.study)


def fonts_of(studies):
    """Return the font files of studies, in the order in which they are tried for a letter."""
    places = [Path(config["studies"][study]) for study in studies]
    paths = [place / name for place in places for name in config["wheel"]["fonts"]]
    return [str(path) for path in paths if path.is_file()]


def font_files(wildcards):
    """Return the study's own font files."""
    return fonts_of([wildcards.study])


def edition_fonts(wildcards):
    """Return the font files of two editions, those of the newer one first."""
    return fonts_of([wildcards.newer, wildcards.older])


def protocol_file(wildcards):
    """Return what was frozen before the data of a study were seen, if anything was."""
    (name,) = STUDY_FILES["protocol"]
    return [path for path in study_files(wildcards) if Path(path).name == name]


def populations_of(study):
    """Return the population ids that a study declares, in its order."""
    return list(HEADERS[study].populations)


def tags_of(study):
    """Return what stands before the suffix of a product in each language; "" is the study's own."""
    return ["", *(f".{language}" for language in LANGUAGES[study])]


def tagged_languages(study):
    """Return the languages of a study by what stands before the suffix of its products."""
    return dict(zip(tags_of(study), [HEADERS[study].language, *LANGUAGES[study]]))


def translated_charts(wildcards):
    """Return the charts of a study in its further languages."""
    further = LANGUAGES[wildcards.study]
    return expand(f"results/{wildcards.study}/report/chart.{{language}}.json", language=further)


def drawn(path):
    """Return the files of a figure of the evidence, from their path without its suffix."""
    return [f"{path}.{kind}" for kind in DRAWN_AS]


def own(block, name):
    """Return the input function of one setting of a study, of a block that may differ by study."""
    return lambda wildcards: OWN[wildcards.study][block][name]


def own_block(block, *names):
    """Return the input function of some settings of such a block, or of all of it."""
    return lambda wildcards: {
        name: value
        for name, value in OWN[wildcards.study][block].items()
        if not names or name in names
    }


def all_validated():
    """Return the mark of every study, so that nothing is computed while one of them is faulty."""
    return expand("results/{study}/validation/sorts.csv", study=STUDIES)


def older_edition(study):
    """Return the study that this one is compared with as its newer edition, or None."""
    return next((older for older, newer in PAIRS if newer == study), None)


def older_order(wildcards):
    """Return the order of the older edition that this study is to lie like, if there is one."""
    older = older_edition(wildcards.study)
    return f"results/{older}/circle/order.csv" if older else []


def settings_files(wildcards):
    """Return the files of settings that were given; what they say stands in the manifest."""
    return [os.path.relpath(path) for path in workflow.configfiles]
