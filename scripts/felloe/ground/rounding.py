"""Where numbers are rounded before anything is decided from them, and why."""

# Distances that are equal as fractions must be equal as numbers, or ties would be broken by the
# last bit of a division.
DISTANCE_DECIMALS = 12
# Matrix products of floats, eigenvalues and logarithms differ in their last bits between machines.
PRODUCT_DECIMALS = 9
# Heights at which terms join: equal merges are equal whatever order summed their distances.
HEIGHT_DECIMALS = 9
