"""Records: files into a checked frame of trays, and the settings of the trial."""

from takestats.records.calipers import caliper_mm
from takestats.records.frame import Records
from takestats.records.plants import PlantName, plant_name
from takestats.records.reading import read_records, records_from_frame
from takestats.records.settings import TrialSettings, read_trial

__all__ = [
    "PlantName",
    "Records",
    "TrialSettings",
    "caliper_mm",
    "plant_name",
    "read_records",
    "read_trial",
    "records_from_frame",
]
