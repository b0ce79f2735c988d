"""What the rules declare to make for a study, for the documents that gather it."""

from snakemake.io import is_flagged

# tables that tell of single people, as `personal` in their declarations says (a test compares)
PERSONAL = tuple(
    f"validation/{name}.csv"
    for name in (
        "findings",
        "participants",
        "register",
        "colours",
        "sorts",
        "pile_words",
        "design",
        "analysed",
    )
)
MANIFESTS = ("manifest.json", "SHA256SUMS", "environment.json")
CRATE = "ro-crate-metadata.json"  # names all the others
# what is written last of all, by the job that reads the others
CONCLUDING = (CRATE, "/report/report.html", "/validation/protocol.json")


def declared_results(study, suffixes=None):
    """Return the lasting results that the rules declare for a study, in sorted order."""
    lasting = [
        item for each in workflow.rules for item in each.output if not is_flagged(item, "temp")
    ]
    paths = {
        str(item.apply_wildcards({"study": study}))
        for item in lasting
        if "study" in item.get_wildcard_names()
    }
    # a rule made for one study has no wildcards
    paths |= {str(item) for item in lasting if str(item).startswith(f"results/{study}/")}
    paths -= {f"results/{study}/{name}" for name in MANIFESTS}
    return sorted(path for path in paths if suffixes is None or path.endswith(suffixes))


def computed_results(*suffixes):
    """Return the input function of a document: the results it is made from, no documents."""

    def of_study(wildcards):
        paths = declared_results(wildcards.study, suffixes)
        own = f"results/{wildcards.study}"
        return [path for path in paths if not path.startswith((f"{own}/report/", f"{own}/{CRATE}"))]

    return of_study


def shown_results(wildcards):
    """Return the results that a report tells from, but for what its own job writes."""
    paths = computed_results(".csv", ".json", ".svg", ".png")(wildcards)
    return [path for path in paths if not path.endswith(CONCLUDING)]


def other_results(wildcards):
    """Return the further results that a manifest is over: pages, sheets and other documents."""
    shown = shown_results(wildcards)
    paths = [path for path in declared_results(wildcards.study) if path not in shown]
    return [path for path in paths if not path.endswith(CONCLUDING)]


def open_tables(wildcards):
    """Return the tables of a study that tell of nobody alone."""
    closed = personal_tables(wildcards)
    return [path for path in computed_results(".csv")(wildcards) if path not in closed]


def personal_tables(wildcards):
    """Return the tables of a study that tell of single people, as far as a rule makes them."""
    made = declared_results(wildcards.study, ".csv")
    paths = [f"results/{wildcards.study}/{name}" for name in PERSONAL]
    return [path for path in paths if path in made]


def described_results(wildcards):
    """Return the results that the crate names, relative to their folder."""
    own = f"results/{wildcards.study}/"
    paths = [path.removeprefix(own) for path in declared_results(wildcards.study)]
    return [path for path in paths if path != CRATE]
