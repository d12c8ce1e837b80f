"""The catalogue of gear types: reading, look-up, comparison and plausibility checks."""

from survey_app.gear.catalogue import Catalogue, load_catalogue
from survey_app.gear.checks import check_catalogue, check_gear
from survey_app.gear.comparison import GearChange, compare, compare_with_catalogue
from survey_app.gear.fault import GearFault
from survey_app.gear.user_folder import user_gear_folder, user_gear_folders

__all__ = [
    "Catalogue",
    "GearChange",
    "GearFault",
    "check_catalogue",
    "check_gear",
    "compare",
    "compare_with_catalogue",
    "load_catalogue",
    "user_gear_folder",
    "user_gear_folders",
]
