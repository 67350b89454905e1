"""One function a picture: records in, a checked SVG with its words out."""

from rootcase.report.pictures.comparison import draw_comparison
from rootcase.report.pictures.frontier import draw_frontier
from rootcase.report.pictures.plan import draw_plan
from rootcase.report.pictures.proof import draw_proof
from rootcase.report.pictures.remedies import draw_remedies
from rootcase.report.pictures.section import draw_section
from rootcase.report.pictures.shares import draw_shares
from rootcase.report.pictures.shoots import draw_shoots
from rootcase.report.pictures.timeline import draw_timeline
from rootcase.report.pictures.waterfall import draw_waterfall
from rootcase.report.svg import Picture

__all__ = [
    "Picture", "draw_comparison", "draw_frontier", "draw_plan", "draw_proof", "draw_remedies", "draw_section",
    "draw_shares", "draw_shoots", "draw_timeline", "draw_waterfall",
]
