"""Counts radios with antennas and feeders, cameras, labels and lanyards."""

from __future__ import annotations

from survey_app.assess.counting import Article, Book, Counted, State, gear_article, state_of, sundry_article
from survey_app.site.gear_type import RadioType
from survey_app.site.network import Camera
from survey_app.site.radio import Radio

__all__ = ["count_units"]

_RADIOS, _CAMERAS, _MOUNTS, _CABLE = "Radios", "Cameras and recorder", "Mounts", "Cable and plugs"


def count_units(book: Book, counted: Counted) -> None:
    """Count one unit a radio or camera, with what hangs on it by a plug."""
    for radio in counted.present(counted.job.design.radios):
        assert isinstance(radio, Radio)
        _radio(book, counted, radio)
    for camera in counted.present(counted.job.design.cameras):
        assert isinstance(camera, Camera)
        item = counted.job.gear.get(camera.gear)
        if item is not None:
            book.add(
                gear_article(counted, item, _CAMERAS, "one a camera"), state_of(camera), camera.id, 1, "one a camera"
            )
        _label_and_lanyard(book, counted, camera.id, state_of(camera), hangs=camera.mount is not None)
    for device in counted.present(counted.job.design.devices):
        _label_and_lanyard(book, counted, device.id, state_of(device), hangs=False)


def _radio(book: Book, counted: Counted, radio: Radio) -> None:
    job, state = counted.job, state_of(radio)
    item = job.gear.get(radio.gear)
    if item is not None:
        share = job.defaults.spare_radio_share
        article = gear_article(counted, item, _RADIOS, f"one a radio; spare: one in {share}")
        book.add(article, state, radio.id, 1, "one a radio", mount=radio.mount)
    antenna = job.gear.get(radio.antenna or "")
    if antenna is not None:
        article = gear_article(counted, antenna, _RADIOS, "one a radio with connectors")
        book.add(article, state, radio.id, 1, "one a radio with connectors", mount=radio.mount)
    feeder = job.gear.get(radio.feeder or "")
    if feeder is not None and radio.feeder_count:
        count = radio.feeder_count
        article = gear_article(counted, feeder, _RADIOS, "set of one a chain, in a row as drawn")
        book.add(article, state, radio.id, count, f"{count} in a row", mount=radio.mount)
        if state == "buy":
            chains = item.chains if isinstance(item, RadioType) else 2
            seal = sundry_article(counted, "feeder_seal", "seal for an antenna plug", _RADIOS, "two a feeder and chain")
            rule = f"two ends of {count} feeder{'s' if count > 1 else ''}, {chains} chains"
            book.add(seal, "buy", radio.id, 2 * count * chains, rule, mount=radio.mount)
    _label_and_lanyard(book, counted, radio.id, state, hangs=True)


def _label_and_lanyard(book: Book, counted: Counted, thing_id: str, state: State, *, hangs: bool) -> None:
    if state != "buy":
        return
    label = sundry_article(counted, "label", "label, engraved", _MOUNTS, "one a unit and box device")
    book.add(label, "buy", thing_id, 1, "one a unit")
    if hangs:
        lanyard: Article = sundry_article(counted, "lanyard", "lanyard", _MOUNTS, "one a unit that hangs")
        book.add(lanyard, "buy", thing_id, 1, "one a unit that hangs")
