"""Parses XML that strangers made: bounded in size and depth, without document types; what it says is read elsewhere."""

from pathlib import Path
from xml.etree import ElementTree as ET
from xml.parsers import expat

from retrofit_lab.bills.record import BillError

MOST_BYTES = 40_000_000
MOST_ELEMENTS = 2_000_000
MOST_DEPTH = 60


def read_guarded_xml(path: Path) -> ET.Element:
    """Root element of an XML file.

    Raises
    ------
    BillError
        When it cannot be opened, is too large, is no XML, or could do harm.
    """
    return parsed_xml(_bytes(path), path.name)


def parsed_xml(content: bytes, name: str) -> ET.Element:
    """Root of an XML text that has no document type, no entities and a bounded size.

    Raises
    ------
    BillError
        When it is no XML, or one that could do harm.
    """
    _refuse_dangerous(content, name)
    return ET.fromstring(content)  # noqa: S314 - guarded in the line above


def _bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise BillError(
                f"{path.name}: larger than {MOST_BYTES:,} bytes. Give one or two years."
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise BillError(f"{path.name}: there is no such file. Check the name.") from None
    except OSError as error:
        raise BillError(f"{path.name}: cannot be read ({error}). Choose another.") from error


def _refuse_dangerous(content: bytes, name: str) -> None:
    """A first pass by the parser itself, so that no encoding can hide a document type."""
    parser = expat.ParserCreate()
    depth = count = 0

    def doctype(*_: object) -> None:
        raise BillError(
            f"{name}: it has a document type, which could hold harmful entities; interval files have none. "
            f"Download the file again."
        )

    def start(*_: object) -> None:
        nonlocal depth, count
        depth += 1
        count += 1
        if depth > MOST_DEPTH or count > MOST_ELEMENTS:
            raise BillError(f"{name}: too deep or too many elements. Give one or two years.")

    def end(*_: object) -> None:
        nonlocal depth
        depth -= 1

    parser.StartDoctypeDeclHandler = doctype
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    try:
        parser.Parse(content, True)
    except expat.ExpatError as error:
        raise BillError(f"{name}: is no readable XML ({error}). Download it again.") from error
