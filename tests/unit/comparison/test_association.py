"""Mantel, RV and Procrustes against R (vegan, ade4), scikit-bio and full enumeration."""

import numpy as np
import pytest
from felloe.comparison.correlating.association import (
    exact_mantel,
    mantel,
    match_configurations,
    nuclear_norms,
    planar_map,
)
from scipy.spatial import procrustes
from scipy.spatial.distance import pdist, squareform
from scipy.stats import rankdata

PERMUTATIONS = 9999


def dissimilar(reference, source):
    counts, people, terms = reference.source_counts(source)
    return 1.0 - counts / people, terms


def attributes(reference, terms, name):
    rows = {row["term"]: row[name] for row in reference.rows("data/kinship_term_attributes.csv")}
    return [rows[term] for term in terms]


def gap(values):
    numbers = np.array(values, dtype=float)
    return np.abs(numbers[:, None] - numbers[None, :])


def monte_carlo(p):
    """Four standard errors of both our p and the reference's, for p as given."""
    return 4 * np.sqrt(max(p, 1e-4) * (1 - p) / PERMUTATIONS) + 1e-4


def mantel_of(a, b, method="pearson", seed=1):
    return mantel(a, b, method, PERMUTATIONS, np.random.default_rng(seed))


@pytest.mark.parametrize(
    ("dataset", "sources"),
    [
        ("kin_women_single_vs_men_single", ("women_single", "men_single")),
        ("kin_women_first_vs_men_first", ("women_first_of_two", "men_first_of_two")),
    ],
)
@pytest.mark.parametrize("method", ["pearson", "spearman"])
def test_mantel_between_women_and_men_is_that_of_r_vegan(reference, dataset, sources, method):
    result = mantel_of(*(dissimilar(reference, source)[0] for source in sources), method)
    assert result.correlation == pytest.approx(
        reference.value(dataset, f"mantel_r_{method}"), abs=1e-9
    )
    expected = reference.value(dataset, f"mantel_p_{method}")
    assert abs(result.p_value - expected) <= monte_carlo(expected)


@pytest.mark.parametrize(
    ("dataset", "source", "attribute", "dropped"),
    [
        ("kin_women_single_vs_generation_gap", "women_single", "generation", ()),
        ("kin_women_single_vs_degree_gap", "women_single", "degree", ()),
        ("kin_women_single_vs_gender_differs_14terms", "women_single", "gender", ("cousin",)),
        ("kin_men_single_vs_gender_differs_14terms", "men_single", "gender", ("cousin",)),
    ],
)
def test_middling_mantel_correlations_are_those_of_r_vegan(
    reference, dataset, source, attribute, dropped
):
    apart, terms = dissimilar(reference, source)
    keep = [i for i, term in enumerate(terms) if term not in dropped]
    kept_terms = [terms[i] for i in keep]
    values = attributes(reference, kept_terms, attribute)
    if attribute == "gender":
        values = [float(value == values[0]) for value in values]
    result = mantel_of(apart[np.ix_(keep, keep)], gap(values))
    assert result.correlation == pytest.approx(
        reference.value(dataset, "mantel_r_pearson"), abs=1e-9
    )
    expected = reference.value(dataset, "mantel_p_pearson")
    assert abs(result.p_value - expected) <= monte_carlo(expected)


def seven_terms(reference):
    terms = ["grandfather", "brother", "father", "son", "nephew", "cousin", "uncle"]
    apart, every = dissimilar(reference, "women_single")
    keep = [every.index(term) for term in terms]
    return apart[np.ix_(keep, keep)], gap(attributes(reference, terms, "degree"))


def test_both_exact_p_of_seven_terms_are_those_of_full_enumeration_in_r(reference):
    exact = exact_mantel(*seven_terms(reference))
    dataset = "kin_women_single_vs_degree_gap_7_male_or_neutral_terms"
    assert exact.greater == reference.value(dataset, "mantel_exact_count_ge")
    assert exact.greater / exact.orders == pytest.approx(
        reference.value(dataset, "mantel_exact_p_one_sided"), abs=1e-12
    )
    assert exact.two_sided / exact.orders == pytest.approx(
        reference.value(dataset, "mantel_exact_p_two_sided"), abs=1e-12
    )


def test_shuffled_p_of_seven_terms_is_the_exact_one_within_its_error(reference):
    exact = reference.value(
        "kin_women_single_vs_degree_gap_7_male_or_neutral_terms", "mantel_exact_p_one_sided"
    )
    assert abs(mantel_of(*seven_terms(reference)).p_value - exact) <= monte_carlo(exact)


@pytest.mark.parametrize(("method", "printed"), [("pearson", 0.30474541), ("spearman", 0.28379104)])
def test_the_example_of_vegans_help_page(reference, method, printed):
    species = reference.rows("data/varespec.csv")
    soil = reference.rows("data/varechem.csv")
    cover = np.array([[float(row[name]) for name in list(row)[1:]] for row in species])
    chemistry = np.array([[float(row[name]) for name in list(row)[1:]] for row in soil])
    chemistry = (chemistry - chemistry.mean(axis=0)) / chemistry.std(axis=0, ddof=1)
    result = mantel_of(squareform(pdist(cover, "braycurtis")), squareform(pdist(chemistry)), method)
    assert result.correlation == pytest.approx(printed, abs=5e-9)
    assert result.correlation == pytest.approx(
        reference.value("varespec_varechem", f"mantel_r_{method}"), abs=1e-9
    )


def test_the_example_of_scikit_bios_documentation():
    # documented: 0.7559...; two 3 x 3 matrices
    x = np.array([[0, 1, 2], [1, 0, 3], [2, 3, 0]], dtype=float)
    y = np.array([[0, 2, 7], [2, 0, 6], [7, 6, 0]], dtype=float)
    assert mantel_of(x, y).correlation == pytest.approx(0.7559, abs=5e-5)


def test_a_matrix_is_perfectly_related_to_itself(reference):
    apart, _ = dissimilar(reference, "women_single")
    assert mantel_of(apart, apart).correlation == pytest.approx(1.0, abs=1e-12)


def test_a_constant_matrix_is_related_to_nothing(reference):
    apart, _ = dissimilar(reference, "women_single")
    result = mantel_of(apart, 1.0 - np.eye(15))
    assert np.isnan(result.correlation)
    assert result.p_value == 1.0


def test_exact_orders_of_too_many_terms_are_refused():
    with pytest.raises(ValueError, match="too many orders"):
        exact_mantel(np.zeros((9, 9)), np.zeros((9, 9)))


@pytest.mark.parametrize("seed", range(5))
def test_exact_p_counts_every_order_by_the_definition(seed):
    from itertools import permutations

    rng = np.random.default_rng(seed)
    a, b = (squareform(rng.integers(1, 4, size=10).astype(float)) for _ in range(2))
    upper = np.triu_indices(5, 1)
    observed = np.corrcoef(a[upper], b[upper])[0, 1]
    at_least = sum(
        np.corrcoef(a[np.ix_(order, order)][upper], b[upper])[0, 1] >= observed - 1e-9
        for order in map(list, permutations(range(5)))
    )
    assert exact_mantel(a, b).greater == at_least


@pytest.mark.parametrize(
    ("dataset", "sources"),
    [
        ("kin_women_single_vs_men_single", ("women_single", "men_single")),
        ("kin_women_first_vs_men_first", ("women_first_of_two", "men_first_of_two")),
    ],
)
def test_rv_procrustes_and_protest_are_those_of_r(reference, dataset, sources):
    a, b = (dissimilar(reference, source)[0] for source in sources)
    result = match_configurations(a, b, PERMUTATIONS, np.random.default_rng(1))
    for found, quantity in (
        (result.rv, "rv_coefficient_pcoa2"),
        (result.m_squared, "procrustes_m12_squared"),
        (result.correlation, "protest_correlation"),
    ):
        assert found == pytest.approx(reference.value(dataset, quantity), abs=1e-8)
    assert abs(result.p_value - reference.value(dataset, "protest_p")) <= monte_carlo(1e-4)


def test_what_procrustes_leaves_is_scipys_disparity(reference):
    a, b = (dissimilar(reference, source)[0] for source in ("women_single", "men_second_of_two"))
    found = match_configurations(a, b, 99, np.random.default_rng(1)).m_squared
    assert found == pytest.approx(procrustes(planar_map(a), planar_map(b))[2], abs=1e-8)


def test_sums_of_singular_values_are_numpys():
    products = np.random.default_rng(2).normal(size=(20, 2, 2))
    expected = np.linalg.svd(products, compute_uv=False).sum(axis=-1)
    assert nuclear_norms(products) == pytest.approx(expected, abs=1e-12)


def test_ranks_behind_spearman_are_averages_of_ties(reference):
    a, b = (dissimilar(reference, source)[0] for source in ("women_single", "men_single"))
    upper = np.triu_indices(15, 1)
    expected = np.corrcoef(rankdata(a[upper]), rankdata(b[upper]))[0, 1]
    assert mantel_of(a, b, "spearman").correlation == pytest.approx(expected, abs=1e-9)
