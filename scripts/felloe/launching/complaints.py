"""What keeps the launcher from starting anything."""


class LaunchError(Exception):
    """What keeps the run from starting, in words for the person who typed the command."""

    status = 1


class WrongCommand(LaunchError):
    """What was typed can not be meant so."""

    status = 2
