"""Parses XML that strangers made: bounded in size and depth, without document types; what it says is read elsewhere."""

import io
from xml.etree import ElementTree as ET

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import iterparse

from retrofit_lab.bills.reading.record import BillError
from retrofit_lab.texts.refusals import told

MOST_ELEMENTS = 2_000_000
MOST_DEPTH = 60


def parsed_xml(content: bytes, name: str) -> ET.Element:
    """Root of an XML text that has no document type, no entities and a bounded size.

    Raises
    ------
    BillError
        When it is no XML, or one that could do harm.
    """
    try:
        return _root(content, name)
    except DefusedXmlException as error:
        raise BillError(told("bill_file.doctype", name=name)) from error
    except (ET.ParseError, ValueError, LookupError) as error:
        raise BillError(told("bill_file.xml", name=name, why=str(error))) from error


def _root(content: bytes, name: str) -> ET.Element:
    depth = count = 0
    first: ET.Element | None = None
    for event, element in iterparse(io.BytesIO(content), events=("start", "end"), forbid_dtd=True):
        depth += 1 if event == "start" else -1
        count += event == "start"
        first = element if first is None else first
        if depth > MOST_DEPTH or count > MOST_ELEMENTS:
            raise BillError(told("bill_file.deep", name=name))
    if first is None:
        raise BillError(told("bill_file.empty", name=name))
    return first
