"""One function a picture: records in, a checked SVG with its words out."""

from rootcase.report.pictures.section import draw_section
from rootcase.report.svg import Picture

__all__ = ["Picture", "draw_section"]
