"""The casework, each stage alone, and what an import brought, as text that reads well in a terminal."""

from rootcase.report.terminal.imports import import_text, weather_text
from rootcase.report.terminal.lists import listing_text
from rootcase.report.terminal.stages import comparison_text, explanation_text, plan_text, readings_text
from rootcase.report.terminal.whole import brief, summary

__all__ = [
    "brief", "comparison_text", "explanation_text", "import_text", "listing_text", "plan_text", "readings_text",
    "summary", "weather_text",
]
