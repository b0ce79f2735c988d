"""What a scripter writes in R, where R is installed: run beside, timed by its own clock."""

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
from benchmarks.side_by_side.kernel import R, Side

PROGRAM = "Rscript"
FRAME = """
units <- as.integer(commandArgs(trailingOnly = TRUE)[1])
{read}
started <- proc.time()[["user.self"]]
{loop}
spent <- proc.time()[["user.self"]] - started
write.table(format(result, digits = 17), "result.csv", row.names = FALSE, col.names = FALSE,
            quote = FALSE, sep = ",")
cat(spent)
"""
BOOTSTRAP = """
consensus <- matrix(0, ncol(piles), ncol(piles))
for (r in seq_len(units)) {
  together <- matrix(0, ncol(piles), ncol(piles))
  for (person in people[r, ]) together <- together + outer(piles[person, ], piles[person, ], "==")
  order <- orders[r, ]
  apart <- round(1 - together / ncol(people), 12)[order, order]
  labels <- integer(ncol(piles))
  labels[order] <- cutree(hclust(as.dist(apart), "average"), classes[1, 1])
  consensus <- consensus + outer(labels, labels, "==")
}
result <- consensus / units
"""
LINKAGE = """
for (r in seq_len(units)) result <- hclust(as.dist(apart), "average")$height
"""
LABELS = """
total <- sum(apart) / (2 * ncol(apart))
among <- function(group) {
  within <- sum(apart[group, group]) / (2 * sum(group)) +
    sum(apart[!group, !group]) / (2 * sum(!group))
  round((total - within) / total, 9)
}
observed <- among(first[1, ] == 1)
reached <- 0
for (r in seq_len(units)) reached <- reached + (among(first[r + 1, ] == 1) >= observed)
result <- c(observed, (reached + 1) / (units + 1))
"""


class Loop:
    """
    A loop in R as one side of a kernel.

    Parameters
    ----------
    script : str
        Does `units` units and leaves `result`.
    tables : callable
        From a number of units to the matrices that it reads, by name.
    """

    def __init__(self, script, tables):
        self.script, self.tables, self.spent = script, tables, 0.0

    def __call__(self, units):
        """Do so many units; return what R gives."""
        tables = self.tables(units)
        read = "\n".join(f'{name} <- as.matrix(read.csv("{name}.csv", FALSE))' for name in tables)
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            for table, values in tables.items():
                whole = np.issubdtype(np.asarray(values).dtype, np.integer)
                path = folder / f"{table}.csv"
                np.savetxt(path, values, "%d" if whole else "%.17g", delimiter=",")
            text = FRAME.format(read=read, loop=self.script)
            (folder / "loop.R").write_text(text, encoding="utf-8")
            command = [PROGRAM, "loop.R", str(units)]
            done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
            self.spent += float(done.stdout.split()[-1])
            return np.loadtxt(folder / "result.csv", delimiter=",")

    def clock(self):
        """Return the seconds of a processor that the loop has taken so far."""
        return self.spent


def sides(script, tables, units, tolerance=None):
    """Return the side in R by its name; none where R is not installed."""
    if not shutil.which(PROGRAM):
        return {}
    loop = Loop(script, tables)
    return {R: Side(loop, units, loop.clock, tolerance)}
