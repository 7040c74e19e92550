"""What does each table of an order hold?"""

from __future__ import annotations

TABLES = {
    "order": "the order, one row per combination; grafts are understocks",
    "understocks": "understocks by caliper class, number of plants",
    "seedlings": "seedlings to raise for each understock, number of plants",
    "scion_wood": "scion pieces and sticks of each combination",
    "bench_days": "trays, days and weeks of the whole order",
    "weeks": "grafts by week, combination, wood and understock, within the limits",
    "within_limits": "what can be made of each combination within the limits, and what is short",
    "limits": "wood, understock and grafts of a week: what there is, used and left",
    "limits_to_grow": "which limit would have to grow, by how much, and the plants it brings",
    "surplus": "plants to come beside the plants wanted",
    "costs": "hours, and money in the currency of the settings, with limits",
    "date_window": "days of the season on which the take is close to its best",
    "change": "the earlier order beside this one",
    "set_aside": "rows that were left out as faulty, as typed",
}
"""Name of each table, in the order of the workbook, and what it holds."""
