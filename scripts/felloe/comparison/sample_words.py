"""What is said of a dossier whose tests of people looked at a sample."""

from collections.abc import Mapping
from typing import Any

Record = Mapping[str, Any]


def sample_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return whom the tests of people looked at, "" where it is everybody."""
    sample = dossier.get("sample")
    if sample is None:
        return ""
    people = " and ".join(
        f"{number} of the {sample['of'][name]} of {labels[name]}"
        for name, number in sample["drawn"].items()
    )
    error, whole = sample["corrected_r_error"], sample["corrected_r_standard_error_of_all"]
    cost = (
        f" The corrected correlation is an estimate from them: its error about that of everybody "
        f"is {error:.3f} (standard error), and counted into its interval; with everybody its "
        f"standard error would be about {whole:.3f}."
        if error is not None and whole is not None
        else ""
    )
    return (
        f"The tests that shuffle people, the test of single terms and the corrected correlations "
        f"look at a sample: {people}, drawn at random (the setting comparison.people_at_most). A "
        f"test of people drawn at random errs no more often than one of all; it overlooks more. "
        f"Matrices, charts, halves, splits and differences are counted from everybody.{cost}"
    )


def undrawn_sentence(dossier: Record, labels: Mapping[str, str]) -> str:
    """Return that a plan of more people should begin with those not drawn, "" without any."""
    sample = dossier.get("sample")
    if sample is None or dossier["plan"] is None:
        return ""
    left = {name: sample["of"][name] - number for name, number in sample["drawn"].items()}
    people = " and ".join(f"{number} of {labels[name]}" for name, number in left.items() if number)
    return (
        f"These numbers count from the people drawn. The study has {people} who were not: raise "
        "comparison.people_at_most before asking anybody else."
    )
