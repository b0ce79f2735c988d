"""The jobs that Snakemake plans for a command, whether they would run or not."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from felloe import ledger
from felloe.step import named_items


@dataclass(frozen=True)
class Job:
    """
    One job of the plan.

    Attributes
    ----------
    rule : str
    wildcards : dict of str to str
    entry : str
        Path of its entry in the ledger, relative to the working folder.
    code : str
    settings : dict
        As they are recorded.
    inputs, outputs : list of str
        Paths as they are recorded; `inputs` are waited for and read.
    unrecorded : list of str
        Outputs that no hash is kept of.
    records : list of str
        Its logs and its benchmark, whose age the engine minds too.
    passing : set of str
        Outputs that are removed when they have been read.
    upstream : list of str
        Entries of the jobs that it waits for.
    seconds : float, optional
        That such a job took where it was measured; None if that is not known.
    """

    rule: str
    logs: list[str]
    wildcards: dict[str, str]
    entry: str
    code: str
    settings: dict[str, Any]
    inputs: list[str]
    outputs: list[str]
    unrecorded: list[str]
    records: list[str]
    passing: frozenset[str]
    upstream: list[str]
    seconds: float | None = None


@dataclass(frozen=True)
class Plan:
    """
    All jobs of a command, upstream ones first.

    Attributes
    ----------
    jobs : dict of str to Job
        By entry.
    forced : bool
        Whether the command itself asks for jobs to be run again.
    whole : bool
        Whether these are all jobs of the studies and comparisons that they are of.
    """

    jobs: dict[str, Job]
    forced: bool
    whole: bool = True


def planned(words: Sequence[str]) -> Plan:
    """
    Let Snakemake plan a command without running anything.

    Parameters
    ----------
    words : sequence of str
        What would be typed after `snakemake`.

    Raises
    ------
    Exception
        Whatever Snakemake raises where it cannot plan.
    """
    from snakemake.api import SnakemakeApi
    from snakemake.cli import parse_args, parse_config
    from snakemake.settings.types import (
        ConfigSettings,
        DAGSettings,
        OutputSettings,
        ResourceSettings,
        WorkflowSettings,
    )

    _, asked = parse_args(list(words))
    with SnakemakeApi(OutputSettings(dryrun=True)) as api:
        of_workflow = api.workflow(
            resource_settings=ResourceSettings(cores=1, overwrite_scatter=asked.set_scatter),
            config_settings=ConfigSettings(
                config=parse_config(asked.config), configfiles=asked.configfile
            ),
            workflow_settings=WorkflowSettings(),
            snakefile=asked.snakefile,
            workdir=asked.directory,
        )
        of_workflow.dag(
            DAGSettings(targets=asked.targets, until=asked.until, omit_from=asked.omit_from)
        )
        workflow = of_workflow._workflow  # no public call hands out the jobs of a plan
        workflow._prepare_dag(forceall=False, ignore_incomplete=True, lock_warn_only=True)
        workflow._build_dag()
        forced = bool(asked.force or asked.forceall or asked.forcerun)
        whole = not (asked.targets or asked.until or asked.omit_from)
        return Plan(jobs_of(workflow.dag, workflow.globals["seconds_expected"]), forced, whole)


def jobs_of(dag: Any, expected: Callable[[str, Any], float | None]) -> dict[str, Job]:
    """Return the jobs of a planned graph that write something, upstream ones first."""
    found = {}
    for level in dag.toposorted():
        for job in level:
            if job.output and job.log:
                found[ledger.entry_path(str(job.log[0]))] = job_of(dag, job, expected)
    return found


def job_of(dag: Any, job: Any, expected: Callable[[str, Any], float | None]) -> Job:
    """Return one of Snakemake's jobs as a record of ours."""
    params = named_items(job.params)
    outputs = [str(path) for path in job.output]
    recorded = ledger.recorded_paths(named_items(job.output), ())
    return Job(
        rule=job.rule.name,
        logs=[str(path) for path in job.log],
        wildcards={str(name): str(value) for name, value in job.wildcards_dict.items()},
        entry=ledger.entry_path(str(job.log[0])),
        code=str(params.get("code", "")),
        settings=ledger.recorded_settings(params),
        inputs=ledger.recorded_paths(named_items(job.input), ledger.UNRECORDED_INPUTS),
        outputs=recorded,
        unrecorded=[path for path in outputs if path not in recorded],
        records=[str(path) for path in (*job.log, *([job.benchmark] if job.benchmark else []))],
        passing=frozenset(str(path) for path in job.temp_output),
        upstream=sorted(ledger.entry_path(str(other.log[0])) for other in dag.dependencies[job]),
        seconds=expected(str(job.log[0]), job.wildcards),
    )
