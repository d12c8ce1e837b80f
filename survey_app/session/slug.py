"""Names of files and folders made of the names that people give."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["slug"]


def slug(name: str) -> str:
    """Return a name of a file or folder for a name of a thing: small letters, digits and hyphens.

    Examples
    --------
    >>> slug("Tide Mill, East Yard"), slug("Vågen 3"), slug("港")
    ('tide-mill-east-yard', 'vagen-3', 'site')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60].strip("-") or "site"
