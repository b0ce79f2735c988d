"""What the settings ask of the map and of the circle."""

from dataclasses import dataclass

# From what on a map is not to be trusted. Constants, since a map must not pass because its bound
# was moved. Common practice where no reason is given.
DEGENERATE_STRESS = 0.01  # fits all but exactly ...
DEGENERATE_CROWDING = 0.05  # ... while the median nearest term is this share of the map's size away
NEAR_BEST = 1.05  # starts within 5 % of the least stress draw a map that is as good
FEWEST_NEAR = 5  # starts compared with the best one at least: a median of fewer is an accident
NO_BETTER = 0.05  # share of the maps without structure that may fit as well as the map
MOSTLY = 0.5  # share of pairs put together by nobody, from which most of the map is not measured


@dataclass(frozen=True)
class MapSettings:
    """
    The block `map` of the settings; see there for units and reasons.

    Attributes
    ----------
    type : {'metric', 'ordinal'}
    ties : {'primary', 'secondary'}
    starts, rounds : int
        Of the map itself.
    angle_agreement : float
        Least agreement of directions between starts that may be quoted, 0 to 1.
    most_dimensions : int
    null_replicates, null_starts, null_rounds : int
        Of sorts without structure; starts and rounds also for each number of dimensions.
    bootstrap, bootstrap_rounds : int
        Redraws of participants, and rounds of each.
    ellipse_level : float
        Share of redrawn maps within an ellipse.
    most_pairs : int
        Pairs of terms to which starts are fitted; of more, a sample of that many.
    """

    type: str
    ties: str
    starts: int
    rounds: int
    angle_agreement: float
    most_dimensions: int
    null_replicates: int
    null_starts: int
    null_rounds: int
    bootstrap: int
    bootstrap_rounds: int
    ellipse_level: float
    most_pairs: int


@dataclass(frozen=True)
class CircleSettings:
    """
    The part of the block `circle` that orders and lays out; see there for units and reasons.

    Attributes
    ----------
    order_freedom : {'tree', 'tiers'}
    gap_budget_deg : float
    class_gap : float
        Least gap between classes over least gap between subclasses.
    sector_width : {'equal', 'column'}
    adjacency_replicates, random_drawings, free_tour_starts, permutations : int
    agreement_p : float
        Largest p at which ring and map are said to agree.
    weak_adjacency : float
        Share of redraws below which two neighbours are not to be read as kin.
    """

    order_freedom: str
    gap_budget_deg: float
    class_gap: float
    sector_width: str
    adjacency_replicates: int
    random_drawings: int
    free_tour_starts: int
    permutations: int
    agreement_p: float
    weak_adjacency: float
