"""The document: frozen records, edits, file, migration, references check."""

from survey_app.site.checksum import checksum
from survey_app.site.fault import Fault, FileFaultsError
from survey_app.site.file import read_site, site_file, site_folder, write_site
from survey_app.site.new import new_site
from survey_app.site.references import check_references, check_touched
from survey_app.site.site import Design, Site

__all__ = [
    "Design",
    "Fault",
    "FileFaultsError",
    "Site",
    "check_references",
    "check_touched",
    "checksum",
    "new_site",
    "read_site",
    "site_file",
    "site_folder",
    "write_site",
]
