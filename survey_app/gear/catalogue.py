"""The catalogue: every gear type that the program knows, by id and by kind."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from survey_app.data import shared_folder
from survey_app.errors import InputError, UnknownNameError, UsageError
from survey_app.gear.reading import read_catalogue_file
from survey_app.site.gear_type import GearType

__all__ = ["Catalogue", "load_catalogue"]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Gear types in the order of their ids; a value, never changed.

    Parameters
    ----------
    items : tuple of GearType
        Every type once, sorted by id.
    files : tuple of Path
        The file of each type, in the same order.
    """

    items: tuple[GearType, ...]
    files: tuple[Path, ...]
    by_id: MappingProxyType[str, GearType] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_id", MappingProxyType({item.id: item for item in self.items}))

    def __iter__(self) -> Iterator[GearType]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def __contains__(self, gear_id: object) -> bool:
        return gear_id in self.by_id

    def kinds(self) -> tuple[str, ...]:
        """Return the kinds that occur, sorted."""
        return tuple(sorted({item.kind for item in self.items}))

    def of_kind(self, kind: str) -> tuple[GearType, ...]:
        """Return the types of one kind, sorted by id; empty where there is none."""
        return tuple(item for item in self.items if item.kind == kind)

    def file_of(self, gear_id: str) -> Path:
        """Return the file that a type was read from."""
        return self.files[self.items.index(self.find(gear_id))]

    def find(self, name: str) -> GearType:
        """Find a type by its id, or by its name whatever its capitals.

        Parameters
        ----------
        name : str
            Such as `bowline-p16` or `Bowline P16`.

        Raises
        ------
        UnknownNameError
            There is no such type; the nearest ids are offered.

        Examples
        --------
        >>> load_catalogue().find("Bowline P16").id
        'bowline-p16'
        """
        if name in self.by_id:
            return self.by_id[name]
        wanted = name.strip().casefold()
        for item in self.items:
            if wanted in (item.id, item.name.casefold()):
                return item
        raise UnknownNameError(f"no gear type is called '{name}'", remedy=self._offer(wanted))

    def copies_for(self, gear_ids: Iterable[str]) -> tuple[GearType, ...]:
        """Return the types that a site carries as copies: each once, sorted by id.

        Raises
        ------
        UnknownNameError
            One of the ids is not in the catalogue.
        """
        return tuple(self.find(gear_id) for gear_id in sorted(set(gear_ids)))

    def _offer(self, wanted: str) -> str:
        words = {item.id: item.id for item in self.items} | {item.name.casefold(): item.id for item in self.items}
        close = difflib.get_close_matches(wanted, words, n=6, cutoff=0.5)
        close += [word for word in words if wanted and wanted in word]
        ids = list(dict.fromkeys(words[word] for word in close))[:4]
        return f"did you mean {' or '.join(ids)}?" if ids else "see the list of gear types"


def load_catalogue(extra_folders: Iterable[Path] = ()) -> Catalogue:
    """Read the built-in catalogue, then folders of the user's own.

    A type in a later folder replaces a type with the same id in an earlier one, so that a user's own figures,
    order codes and prices win. Nothing is read from the environment: the caller names the folders.

    Parameters
    ----------
    extra_folders : iterable of Path
        Folders with catalogue files (`*.json`), such as `user_gear_folders()` returns.

    Raises
    ------
    UsageError
        A folder that was named does not exist or is none.
    InputError
        A file cannot be read as a catalogue, or two files of one folder hold the same id.

    Examples
    --------
    >>> len(load_catalogue().of_kind("radio"))
    10
    """
    found: dict[str, tuple[GearType, Path]] = {}
    for folder in (shared_folder() / "gear", *extra_folders):
        if not folder.is_dir():
            wrong = f"{folder} is not a folder" if folder.exists() else f"the folder {folder} does not exist"
            raise UsageError(wrong, remedy="name a folder with catalogue files")
        found |= _folder(folder)
    rows = [found[gear_id] for gear_id in sorted(found)]
    return Catalogue(tuple(item for item, _ in rows), tuple(path for _, path in rows))


def _folder(folder: Path) -> dict[str, tuple[GearType, Path]]:
    found: dict[str, tuple[GearType, Path]] = {}
    for path in sorted(folder.glob("*.json")):
        for item in read_catalogue_file(path):
            if item.id in found:
                raise InputError(
                    f"'{item.id}' is already in {found[item.id][1].name}",
                    where=path.name,
                    remedy="every type of a folder needs an id of its own",
                )
            found[item.id] = (item, path)
    return found
