"""Step: both populations' matrices, the noise ceiling and the terms that differ."""

import numpy as np
from felloe.comparison.figures import PopulationsView, draw_populations
from felloe.ground.counts import count_cooccurrence
from felloe.ground.drawing import save_figure
from felloe.ground.records import read_json
from felloe.ground.tables import number, read_table
from felloe.validation.tables import read_analysed


def main(*, populations, terms, splits, consequence, sorts, lexicon, svg, pdf, png):
    """Read the dossier and the sorts, draw the figure."""
    record, analysed = read_json(populations), read_analysed(sorts)
    rows = read_table(consequence)
    order = np.argsort([int(row["position"]) for row in rows], kind="stable")
    label = {row["term"]: row["label"] or row["term"] for row in read_table(lexicon)}
    names = record.get("populations") or list(record["labels"])
    shares = [shares_together(analysed.of(name).piles)[np.ix_(order, order)] for name in names]
    sizes = [analysed.populations.count(name) for name in names]
    titles = [f"{record['labels'][name]} ({size})" for name, size in zip(names, sizes, strict=True)]
    view = PopulationsView(
        terms=tuple(label[rows[i]["term"]] for i in order),
        classes=tuple(rows[i]["class_pooled"] for i in order),
        upper=shares[0],
        lower=shares[-1],
        titles=tuple(titles),
        record=record,
        splits=np.array([number(row["r"]) for row in read_table(splits)]),
        differences=differences_of(read_table(terms), record, label),
        changing=tuple(label[term] for term in changing_of(record)),
    )
    save_figure(draw_populations(view), svg, pdf, png, title="Populations compared")


def shares_together(piles):
    """Return the share of people who put two terms together, nan where nobody placed both."""
    together, both = count_cooccurrence(piles)
    return np.where(both > 0, together / np.maximum(both, 1), np.nan)


def differences_of(rows, record, label):
    """Return label, difference, p and whether it counts, by falling difference."""
    differing = set(record["terms"]["differing"]) if record["compared"] else set()
    listed = [
        (
            label[row["term"]],
            float(row["difference_adjusted"]),
            float(row["p_maxT_adjusted"]),
            row["term"] in differing,
        )
        for row in rows
    ]
    return sorted(listed, key=lambda row: (not row[3], -row[1], row[0]))


def changing_of(record):
    """Return the terms that change class between the populations' own charts."""
    return record["consequence"]["class"]["changing"] if record["compared"] else []


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
