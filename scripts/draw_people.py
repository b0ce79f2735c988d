"""Step: the figures about the people, how stable and how coarse their sorts are."""

import numpy as np
from felloe.ground.drawing import save_figure
from felloe.ground.records import read_json
from felloe.ground.tables import number, read_table
from felloe.validation.figure_granularity import GranularityView, draw_granularity
from felloe.validation.figure_reliability import StabilityView, draw_stability
from felloe.validation.reliability import predicted_reliability

STEPS = 40  # points of the expected curve


def main(*, participants, terms, about, table, record, **files):
    """Read what was measured, draw both figures."""
    facts, labels = read_json(record), read_json(about)["populations"]
    kept = [row for row in read_table(participants) if row["status"] == "kept"]
    view = stability_view(read_table(table), facts, {**labels, "pooled": "All participants"})
    saved = [files[f"stability_{kind}"] for kind in ("svg", "pdf", "png")]
    save_figure(draw_stability(view), *saved, title="Stability")
    names = [name for name in labels if any(row["population"] == name for row in kept)]
    piles, shares = (
        [np.array([float(row[key]) for row in kept if row["population"] == name]) for name in names]
        for key in ("n_piles", "pairs_together_share")
    )
    view = GranularityView(
        tuple(labels[name] for name in names), piles, shares, len(read_table(terms))
    )
    saved = [files[f"granularity_{kind}"] for kind in ("svg", "pdf", "png")]
    save_figure(draw_granularity(view), *saved, title="Granularity")


def stability_view(rows, facts, labels):
    """Return what the figure of stability shows."""
    halves, curve = {}, {}
    for row in rows:
        band = tuple(number(row[key]) for key in ("low", "median", "high"))
        participants = int(row["participants"])
        if row["quantity"] == "split_half_correlation":
            halves[row["population"]] = {"label": labels[row["population"]]}
        if row["quantity"] in ("split_half_correlation", "reliability"):
            halves[row["population"]][row["quantity"]] = band
            halves[row["population"]]["participants"] = participants
        else:
            curve.setdefault(row["quantity"], []).append((participants, *band))
    halves = {name: halves[name] for name in labels if name in halves}
    pooled = facts["plans"][-1]
    n, now = pooled["participants"], pooled["reliability"]
    factors = np.linspace(0.5, 2.0, STEPS).tolist() if now is not None else []
    return StabilityView(
        halves=list(halves.values()) if len(halves) > 2 else list(halves.values())[-1:],
        curve=curve,
        predicted=[(n * factor, predicted_reliability(now, factor)) for factor in factors],
        participants=n,
        target=pooled["target"],
        classes=facts["cuts"]["classes"],
        subclasses=facts["cuts"]["subclasses"],
    )


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
