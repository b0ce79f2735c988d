"""Four jobs as Snakemake would plan them, run by hand, for tests of what has to run."""

import os

from felloe import ledger
from felloe.launching.planning.plan import Job
from felloe.versions import package_versions

NAMES = ("count", "draw", "gather", "tell")


def job(name, inputs, outputs, upstream=(), passing=(), **settings):
    return Job(
        rule=name,
        logs=[f"results/a/logs/{name}.log"],
        wildcards={"study": "a"},
        entry=f"results/a/ledger/{name}.json",
        code=f"code of {name}",
        settings=settings,
        inputs=inputs,
        outputs=outputs,
        unrecorded=[],
        records=[],
        passing=frozenset(passing),
        upstream=[f"results/a/ledger/{each}.json" for each in upstream],
    )


PART = "results/a/part.npz"
JOBS = {
    each.entry: each
    for each in (
        job("count", ["far/sorts.csv"], ["results/a/counts.csv"], minimum=2),
        job("draw", ["results/a/counts.csv"], [PART], ["count"], [PART], seed=1),
        job("gather", [PART], ["results/a/support.csv"], ["draw"]),
        job("tell", ["results/a/support.csv"], ["results/a/report.html"], ["gather"]),
    )
}
COUNT, DRAW, GATHER, TELL = (f"results/a/ledger/{name}.json" for name in NAMES)


def run(job):
    """Write what a job writes, and its entry, as a step does."""
    for path in job.outputs:
        with open(path, "w", encoding="utf-8") as stream:
            stream.write(f"{path} from {sorted(ledger.hashed(job.inputs).items())}")
    entry = ledger.Entry(
        step=job.rule,
        code=job.code,
        settings=dict(job.settings),
        versions=package_versions(),
        inputs=ledger.hashed(job.inputs),
        outputs=ledger.hashed(job.outputs),
    )
    ledger.write_entry(job.entry, entry)


def make_all(tmp_path, monkeypatch):
    """Run all four jobs in a new folder; what passes is gone then."""
    monkeypatch.chdir(tmp_path)
    os.makedirs("far")
    os.makedirs("results/a")
    write("far/sorts.csv", "who,what\n")
    for each in JOBS.values():
        run(each)
    os.unlink(PART)


def write(path, text):
    with open(path, "w", encoding="utf-8") as stream:
        stream.write(text)
