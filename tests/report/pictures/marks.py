"""Finds marks in a picture by their class, and where they stand."""

import re
import xml.etree.ElementTree as ET

_SVG = "{http://www.w3.org/2000/svg}"


def root_of(svg: bytes) -> ET.Element:
    return ET.fromstring(svg)


def group(root: ET.Element, name: str) -> ET.Element:
    """The one group that carries all these classes."""
    wanted = set(name.split())
    found = [e for e in root.iter(f"{_SVG}g") if wanted <= set(e.get("class", "").split())]
    assert len(found) == 1, (name, len(found))
    return found[0]


def marks(root: ET.Element, name: str) -> list[ET.Element]:
    wanted = set(name.split())
    return [e for e in root.iter() if wanted <= set(e.get("class", "").split())]


def mark(root: ET.Element, name: str) -> ET.Element:
    found = marks(root, name)
    assert len(found) == 1, (name, len(found))
    return found[0]


def number(element: ET.Element, attribute: str) -> float:
    return float(element.attrib[attribute])


def points(element: ET.Element) -> list[tuple[float, float]]:
    """Corners of a path of straight lines."""
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", element.attrib["d"])]


def texts(root: ET.Element) -> list[str]:
    return ["".join(e.itertext()) for e in root.iter(f"{_SVG}text")]
