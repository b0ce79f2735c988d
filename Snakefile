"""From the raw sorts of one or more studies to their wheels, reports and comparisons."""

import os
import shlex
import sys
from pathlib import Path

from snakemake.exceptions import WorkflowError
from snakemake.utils import min_version

min_version("9.0")

# Snakemake calls scripts by the unquoted path of Python, which holds a blank where the project's does
sys.executable = shlex.quote(sys.executable)

ROOT = Path(workflow.basedir)
sys.path.append(str(ROOT / "scripts"))

from felloe import provenance
from felloe.errors import StudyError
from felloe.ground.edition_lists import check_order, folder_of, homes_of, pairs_of, timelines_of
from felloe.launching.withheld import MARKER
from felloe.ledger import step_of
from felloe.needs import measured, megabytes, minutes, read_needs, size_of
from felloe.settings import fed_back, read_settings, resolve
from felloe.settings_merged import of_study
from felloe.validation.intake.lexicon.languages import languages_of
from felloe.validation.intake.sorts.parts import in_parts
from felloe.validation.intake.study_file import read_headers
from felloe.versions import project_identity

try:
    read_settings(workflow.configfiles)  # Snakemake takes a key that stands twice, and `.nan`
    config = resolve(config, "the settings")
    HEADERS = read_headers(config["studies"])
    dates = {study: header.edition for study, header in HEADERS.items()}
    check_order(config["editions"], dates, "the settings")
except StudyError as error:
    raise WorkflowError(str(error)) from None


scattergather:
    replicates=config["bootstrap"]["parts"],


include: "workflow/rules/common.smk"


for (
    stage
) in "validation matrices comparison clustering tiers sensitivity circle colours report editions timeline".split():
    if (ROOT / f"workflow/rules/{stage}.smk").is_file():

        include: f"workflow/rules/{stage}.smk"


include: "workflow/rules/common_needs.smk"


ask_for_resources(workflow)


rule all:
    """Everything for every study, every pair of editions and every timeline."""
    default_target: True
    input:
        expand("results/{study}/manifest.json", study=STUDIES),
        [
            f"results/editions/{folder_of(home)}/manifest.json"
            for home in homes_of(config["editions"])
        ],
