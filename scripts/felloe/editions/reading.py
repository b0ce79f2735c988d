"""Reading an edition from the results of its study."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from felloe.circle.tables import ORDER
from felloe.clustering.tree_files import read_distances, read_tree
from felloe.comparison.chart import read_chart_source
from felloe.editions.edition import EditionFiles
from felloe.editions.linking.links import by_term
from felloe.ground.files.records import read_json
from felloe.tiers.tables import DATA_ONLY, PUBLISHED
from felloe.validation.analysed import read_analysed
from felloe.validation.tables import TERMS


@dataclass(frozen=True)
class EditionPaths:
    """
    The result files of a study that an edition is compared by.

    Attributes
    ----------
    about, terms, sorts : path
        `validation/study.json`, `validation/terms.csv` and `validation/analysed.csv`.
    distances, tree : path
        `clustering/distances.csv` and `clustering/linkage.csv`.
    data_only, published : path
        The two charts, `tiers/data_only.csv` and `tiers/published.csv`.
    order : path
        `circle/order.csv`.
    chart : path
        `comparison/chart.json`.
    """

    about: str | Path
    terms: str | Path
    sorts: str | Path
    distances: str | Path
    tree: str | Path
    data_only: str | Path
    published: str | Path
    order: str | Path
    chart: str | Path

    @classmethod
    def of(cls, side: str, results: Mapping[str, str]) -> "EditionPaths":
        """Take the files of one side, `older` or `newer`, whose names begin with it."""
        start = f"{side}_"
        named = {name: path for name, path in results.items() if name.startswith(start)}
        return cls(**{name.removeprefix(start): path for name, path in named.items()})


def read_edition(study: str, paths: EditionPaths, prior: float | None = None) -> EditionFiles:
    """Read the results of a study that an edition is compared by."""
    about, chart = read_json(paths.about), read_chart_source(paths.chart)
    return EditionFiles(
        study=study,
        title=about["title"],
        edition=str(about["edition"]),
        instruction=about["instruction"],
        terms=by_term(TERMS.read(paths.terms)),
        charts={
            "published": by_term(PUBLISHED.read(paths.published)),
            "data_only": by_term(DATA_ONLY.read(paths.data_only)),
        },
        sorts=read_analysed(paths.sorts, prior),
        distances=read_distances(paths.distances),
        tree=read_tree(paths.tree),
        order=tuple(row["term"] for row in ORDER.read(paths.order)),
        provisional=chart.provisional,
        source=chart.source,
        weights=chart.weights,
    )
