"""Looks into files as far as anybody could: what is packed, encoded or drawn in them."""

import base64
import binascii
import gzip
import html
import io
import json
import re
import zipfile
import zlib
from pathlib import Path
from urllib.parse import unquote_to_bytes

BASE64 = re.compile(rb"base64,([A-Za-z0-9+/=\s]{16,})")
PDF_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
DEPTH = 6  # of a package within a package


def parts_of(name, data, depth=0):
    """Yield a name and the bytes of a file, and of all that is packed in it."""
    yield name, data
    if depth < DEPTH:
        for inner, content in packed_in(name, data):
            yield from parts_of(inner, content, depth + 1)


def packed_in(name, data):
    """Yield what one file packs: members, embedded data, streams, chunks, the text of a PDF."""
    if data[:4] == b"PK\x03\x04":
        with zipfile.ZipFile(io.BytesIO(data)) as box:
            for member in box.namelist():
                yield f"{name}!{member}", box.read(member)
    elif data[:2] == b"\x1f\x8b":
        yield f"{name}!gz", gzip.decompress(data)
    elif data[:5] == b"%PDF-":
        yield from in_pdf(name, data)
    elif data[:8] == b"\x89PNG\r\n\x1a\n":
        yield from in_png(name, data)
    else:
        for number, found in enumerate(BASE64.finditer(data)):
            try:
                yield f"{name}!base64-{number}", base64.b64decode(found[1])
            except binascii.Error:
                continue


def in_pdf(name, data):
    """Yield the streams of a PDF, unpacked, and what a reader copies from its pages."""
    for number, found in enumerate(PDF_STREAM.finditer(data)):
        try:
            yield f"{name}!stream-{number}", zlib.decompress(found[1])
        except zlib.error:
            continue
    from pypdf import PdfReader

    reader = PdfReader(io.BytesIO(data))
    text = "\n".join(page.extract_text() for page in reader.pages)
    told = json.dumps({key: str(value) for key, value in (reader.metadata or {}).items()})
    yield f"{name}!text", f"{text}\n{told}".encode()


def in_png(name, data):
    """Yield the chunks of words of a PNG; pixels are left alone."""
    place = 8
    while place + 8 <= len(data):
        length, kind = int.from_bytes(data[place : place + 4]), data[place + 4 : place + 8]
        body = data[place + 8 : place + 8 + length]
        place += 12 + length
        if kind in (b"tEXt", b"iTXt", b"zTXt", b"eXIf"):
            yield f"{name}!{kind.decode()}", body
            key, _, rest = body.partition(b"\0")
            for start in range(min(4, len(rest))):
                try:
                    yield f"{name}!{key.decode('latin-1')}", zlib.decompress(rest[start:])
                except zlib.error:
                    continue


def readings(data):
    """Yield the ways in which bytes can be read as words."""
    yield data
    if b"%" in data:
        yield unquote_to_bytes(data)
    if b"&" in data:
        yield html.unescape(data.decode("utf-8", "replace")).encode()
    if b"\\u00" in data:
        yield re.sub(rb"\\u00([0-9a-fA-F]{2})", lambda code: bytes.fromhex(code[1].decode()), data)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff") or data[1:8:2] == b"\0\0\0\0":
        yield data.replace(b"\0", b"")


def files_in(folder, but=()):
    """Yield the name below a folder and the bytes of every file, but those below some folders."""
    for path in sorted(Path(folder).rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and not set(but) & set(path.relative_to(folder).parts[:-1]):
            yield name, path.read_bytes()


def hits(files, words):
    """
    Return where any of some words stands, however it is packed, in contents or names.

    Parameters
    ----------
    files : iterable of (str, bytes)
    words : iterable of str
        Letters are compared whatever their case.

    Returns
    -------
    dict of str to set of str
        By the name of the part.
    """
    wanted = re.compile(
        b"|".join(re.escape(word.encode()) for word in sorted(words, key=len, reverse=True)),
        re.IGNORECASE,
    )
    found = {}
    for name, data in files:
        for part, content in parts_of(name, data):
            for text in (part.encode(), unquote_to_bytes(part), *readings(content)):
                seen = {word.decode("utf-8", "replace").lower() for word in wanted.findall(text)}
                if seen:
                    found.setdefault(part, set()).update(seen)
    return found
