"""Edits: pure functions that make a new site from an old one and share what they did not touch."""

from survey_app.site.edits.adding import (
    add_camera,
    add_climb,
    add_device,
    add_head_end,
    add_hop,
    add_landmark,
    add_mount,
    add_note,
    add_opening,
    add_photograph,
    add_plan_picture,
    add_radio,
    add_room,
    add_served_area,
    add_structure,
    add_supply,
    add_wall,
    add_water,
    add_wire,
    add_zone,
    join,
    wire,
)
from survey_app.site.edits.addressing import fill_addresses, set_address_plan
from survey_app.site.edits.arranging import align, distribute
from survey_app.site.edits.copying import duplicate, duplicate_along
from survey_app.site.edits.corners import insert_corner, move_corner, remove_corner
from survey_app.site.edits.edges import move_edge
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.evidence import EvidenceRow, add_evidence
from survey_app.site.edits.gear import (
    add_gear,
    drop_unused_gear,
    remove_gear,
    replace_gear_type,
    take_newer_gear,
)
from survey_app.site.edits.moving import by_metres, move, move_by, move_to, set_height, slide
from survey_app.site.edits.named import NAMED_EDITS, perform
from survey_app.site.edits.naming import evidence_ids, fresh_id
from survey_app.site.edits.openings import add_outer_opening, move_opening
from survey_app.site.edits.pasting import copy_things, paste
from survey_app.site.edits.radio import (
    aim_by_hand,
    aim_computed,
    hang,
    lock_channel,
    set_channel,
    set_channels,
    set_power,
)
from survey_app.site.edits.raising import raise_mount
from survey_app.site.edits.removing import hanging_on, remove
from survey_app.site.edits.site_wide import (
    change_design,
    set_anchor,
    set_as_of,
    set_defaults,
    set_prices,
    set_region,
    set_relief,
    set_revision,
)
from survey_app.site.edits.spots import add_spot_heights
from survey_app.site.edits.state import accept_finding, set_locked, set_status, withdraw_acceptance
from survey_app.site.edits.things import add, change, rename, replace
from survey_app.site.edits.together import add_with, change_all, hang_radio
from survey_app.site.edits.turning import by_turn, rotate

__all__ = [
    "NAMED_EDITS",
    "Edit",
    "EvidenceRow",
    "accept_finding",
    "add",
    "add_camera",
    "add_climb",
    "add_device",
    "add_evidence",
    "add_gear",
    "add_head_end",
    "add_hop",
    "add_landmark",
    "add_mount",
    "add_note",
    "add_opening",
    "add_outer_opening",
    "add_photograph",
    "add_plan_picture",
    "add_radio",
    "add_room",
    "add_served_area",
    "add_spot_heights",
    "add_structure",
    "add_supply",
    "add_wall",
    "add_water",
    "add_wire",
    "add_with",
    "add_zone",
    "aim_by_hand",
    "aim_computed",
    "align",
    "by_metres",
    "by_turn",
    "change",
    "change_all",
    "change_design",
    "copy_things",
    "distribute",
    "drop_unused_gear",
    "duplicate",
    "duplicate_along",
    "evidence_ids",
    "fill_addresses",
    "fresh_id",
    "hang",
    "hang_radio",
    "hanging_on",
    "insert_corner",
    "join",
    "lock_channel",
    "move",
    "move_by",
    "move_corner",
    "move_edge",
    "move_opening",
    "move_to",
    "paste",
    "perform",
    "raise_mount",
    "remove",
    "remove_corner",
    "remove_gear",
    "rename",
    "replace",
    "replace_gear_type",
    "rotate",
    "set_address_plan",
    "set_anchor",
    "set_as_of",
    "set_channel",
    "set_channels",
    "set_defaults",
    "set_height",
    "set_locked",
    "set_power",
    "set_prices",
    "set_region",
    "set_relief",
    "set_revision",
    "set_status",
    "slide",
    "take_newer_gear",
    "wire",
    "withdraw_acceptance",
]
