"""What was measured, as a table of one row a side and as a page with one row a kernel."""

import csv
import io

from benchmarks.side_by_side.kernel import OURS, REPEATS

COLUMNS = (
    "kernel", "size", "unit", "side", "ms_per_unit", "times_ours", "floor_ms", "times_floor",
    "largest_difference", "tolerance", "units_timed", "repeats", "floor_counted",
)  # fmt: skip


def as_csv(found):
    """Return the table of all sides; seconds are those of a processor."""
    stream = io.StringIO()
    table = csv.writer(stream, lineterminator="\n")
    table.writerow(COLUMNS)
    for one in found:
        kernel = one.kernel
        for name, side in kernel.sides.items():
            spent = one.seconds[name]
            table.writerow(
                [
                    kernel.name, kernel.size, kernel.unit, name, f"{1000 * spent:.6g}",
                    f"{one.ratio(name):.4g}", f"{1000 * one.floor:.6g}",
                    f"{spent / one.floor:.4g}", f"{one.differences.get(name, 0.0):.3g}",
                    f"{kernel.allowed(side):.3g}", side.units, REPEATS, kernel.counted,
                ]
            )  # fmt: skip
    return stream.getvalue()


def short(number):
    """Write a positive number with two digits that count, or whole from a hundred on."""
    return (
        f"{number:,.0f}" if number >= 99.5 else f"{number:.2g}" if number < 10 else f"{number:.0f}"
    )


def as_markdown(found, rates):
    """Return the table of all kernels and the rates that floors are told in."""
    lines = [
        "| kernel | this library, ms of a processor | beside, times as long | floor, ms | ours, "
        "floors | what the floor counts |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for one in found:
        kernel = one.kernel
        others = "; ".join(
            f"{name}: {short(one.ratio(name))}" for name in kernel.sides if name != OURS
        )
        lines.append(
            f"| {kernel.name}, {kernel.size} | {short(1000 * one.seconds[OURS])} a {kernel.unit} "
            f"| {others} | {short(1000 * one.floor)} | {short(one.above_floor)} "
            f"| {kernel.counted} |"
        )
    lines += ["", "| rate of this machine, one core | a second |", "| --- | --- |"]
    lines += [f"| {name} | {rate:.2g} |" for name, rate in rates.items()]
    return "\n".join(lines) + "\n"
