"""No id of a participant or respondent leaves `validation/`, not even in a packed file."""

import re
import zipfile
import zlib
from pathlib import Path

import pytest
from small_study import PEOPLE, RESPONDENTS

NAMES = re.compile(rb"(?:somebody|picker)-[0-9]{2}")
PDF_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)


def contents(path):
    """Yield what a file holds, and what is packed in it."""
    yield path.read_bytes()
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as packed:
            yield from map(packed.read, packed.namelist())
    if path.suffix == ".pdf":
        for stream in PDF_STREAM.findall(path.read_bytes()):
            unpacker = zlib.decompressobj()
            try:
                yield unpacker.decompress(stream)
            except zlib.error:  # a stream that is not packed was read with the whole file
                continue


def named_in(path):
    return {name.decode() for content in contents(path) for name in NAMES.findall(content)}


def told(results):
    """Return the files outside `validation/`, relative to the results."""
    paths = sorted(path for path in results.rglob("*") if path.is_file())
    return [path for path in paths if "validation" not in path.relative_to(results).parts]


def test_the_ids_are_found_where_they_belong(small_results):
    assert named_in(small_results / "validation" / "register.csv") == set(PEOPLE)
    assert named_in(small_results / "validation" / "colours.csv") == set(RESPONDENTS)


@pytest.mark.parametrize("ending", ["xlsx", "pdf"])
def test_packed_files_are_looked_into(small_results, ending):
    path = next(path for path in told(small_results) if path.suffix == f".{ending}")
    assert len(list(contents(path))) > 2


def test_nobody_is_named_outside_of_validation(small_results):
    paths = told(small_results)
    assert len(paths) > 80
    named = {path.relative_to(small_results).as_posix(): named_in(path) for path in paths}
    assert {name: found for name, found in named.items() if found} == {}


def test_a_name_in_a_packed_file_would_be_found(tmp_path):
    path = Path(tmp_path / "book.xlsx")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("sheet.xml", "<t>somebody-07</t>")
    assert named_in(path) == {"somebody-07"}
