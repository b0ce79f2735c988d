"""Check the settings before Snakemake reads them: a mistake there is one screen."""

import os
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[2]))

from felloe.errors import StudyError
from felloe.settings import merged, read_yaml, resolve


def main(configfiles):
    """Return 0 if the settings are complete and right, else print every fault and return 1."""
    shown = ", ".join(os.path.relpath(path) for path in configfiles) or "config/config.yaml"
    try:
        overrides = {}
        for path in configfiles:
            overrides = merged(overrides, read_yaml(path, os.path.relpath(path)))
        resolve(overrides, shown)
    except StudyError as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
