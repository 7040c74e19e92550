"""What is said when the settings do not ask for a layout that can be drawn?"""

from __future__ import annotations

NO_TREATMENTS = (
    "there are no bench.treatments",
    "A layout is drawn from treatments: factors with their levels, or one line for each.",
    'Write under [bench]: treatments = { method = ["cleft", "side veneer"] }.',
)
NO_TRAYS_EACH = (
    "there is no bench.trays_each",
    "A layout needs to know how many trays each treatment gets.",
    "Write under [bench]: trays_each = 6.",
)
WRITTEN_LAYOUT = (
    "bench.layout names a layout that was drawn already",
    "What was drawn by lot once is not drawn again for the same trays.",
    "Use the workbook of that layout, or take bench.layout out to draw a new one.",
)
