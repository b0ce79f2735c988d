"""The search for people in files finds them wherever they are hidden: the tester is tested."""

import base64
import gzip
import io
import json
import zipfile
import zlib

import pytest
from peering import files_in, hits

WHO = "zebrafinch-07"


def as_workbook():
    import xlsxwriter

    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.add_worksheet("a").write_string(3, 2, WHO)
    book.close()
    return stream.getvalue()


def as_zip(name, data):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as box:
        box.writestr(name, data)
    return stream.getvalue()


def as_pdf():
    from fpdf import FPDF

    pdf = FPDF()
    pdf.add_page()
    pdf.set_font("Helvetica", size=12)
    pdf.cell(text=WHO)
    return bytes(pdf.output())


def as_uri(data):
    return b'<img src="data:image/svg+xml;base64,' + base64.b64encode(data) + b'">'


def as_png(kind, body):
    chunk = len(body).to_bytes(4) + kind + body + b"\0\0\0\0"
    return b"\x89PNG\r\n\x1a\n" + chunk


SVG = f"<svg><text>{WHO}</text></svg>".encode()
HIDDEN = {
    "a.csv": f"participant,n\n{WHO},4\n".encode(),
    "a.xlsx": as_workbook(),
    "a.zip": as_zip("inner.xlsx", as_workbook()),
    f"{WHO}.csv": b"",
    "zebrafinch%2D07.csv": b"",
    "b.zip": as_zip(f"deep/{WHO}.txt", b""),
    "a.gz": gzip.compress(SVG),
    "a.html": as_uri(SVG),
    "b.html": as_uri(as_uri(SVG)),
    "c.html": b"zebrafinch&#45;07",
    "d.html": b'<a href="x?zebrafinch%2d07">',
    "a.json": json.dumps({"who": WHO}).replace("-", "\\u002d").encode(),
    "a.pdf": as_pdf(),
    "a.svg": SVG.replace(b"zebra", b"ZEBRA"),
    "a.png": as_png(b"tEXt", b"Author\0" + WHO.encode()),
    "b.png": as_png(b"zTXt", b"Author\0\0" + zlib.compress(WHO.encode())),
    "a.txt": WHO.encode("utf-16"),
}


@pytest.mark.parametrize("name", HIDDEN)
def test_a_person_is_found_wherever_hidden(name):
    assert set().union(*hits([(name, HIDDEN[name])], [WHO]).values()) == {WHO}


def test_nobody_is_found_where_nobody_is():
    assert hits([("a.csv", b"term,n\ndill,4\n"), ("a.zip", as_zip("b", b"dill"))], [WHO]) == {}


def test_some_folders_are_passed_over(tmp_path):
    for folder in ("validation", "report"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "a.csv").write_text(WHO, encoding="utf-8")
    assert hits(files_in(tmp_path, ["validation"]), [WHO]) == {"report/a.csv": {WHO}}
