"""The names of concepts: URNs, for no host is promised."""


def scheme_uri(study: str) -> str:
    """Return the name of a study's concept scheme."""
    return f"urn:felloe:{study}"


def concept_uri(study: str, tier: str, name: str) -> str:
    """Return the name of a concept; `tier` is class, subclass or term."""
    return f"urn:felloe:{study}:{tier}:{name}"
