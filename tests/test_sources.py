"""Every source that is cited stands once in the list of references, and none stands there idle."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
_LISTED = re.compile(r"^- \[([A-Z][A-Z0-9]*)\] (.+)$", re.MULTILINE)
_IN_DOCSTRING = re.compile(r"\[([A-Z][A-Z0-9]{2,})\]_")
_IN_CODE = re.compile(r"""\bsource\s*=\s*(?:[^"'\n]*?)["']([A-Z][A-Z0-9]{2,})["']""")
_IN_DATA = re.compile(r'"source": "([A-Z][A-Z0-9]*)"')


def _listed() -> dict[str, str]:
    text = (ROOT / "shared" / "references.md").read_text(encoding="utf-8")
    rows = _LISTED.findall(text)
    assert len({key for key, _ in rows}) == len(rows), "a key stands twice in shared/references.md"
    return dict(rows)


def _cited() -> dict[str, str]:
    """Return each cited key with one place where it is cited."""
    cited: dict[str, str] = {}
    for path in sorted((ROOT / "survey_app").rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        for key in (*_IN_DOCSTRING.findall(text), *_IN_CODE.findall(text)):
            cited.setdefault(key, str(path.relative_to(ROOT)))
    for path in sorted((ROOT / "shared").rglob("*.json")):
        for key in _IN_DATA.findall(path.read_text(encoding="utf-8")):
            cited.setdefault(key, str(path.relative_to(ROOT)))
    return cited


def test_every_cited_source_is_listed() -> None:
    missing = {key: place for key, place in _cited().items() if key not in _listed()}
    assert not missing, f"cited but not in shared/references.md: {missing}"


def test_every_listed_source_is_used() -> None:
    text = "\n".join(
        path.read_text(encoding="utf-8")
        for folder in ("survey_app", "tests", "shared/spectrum", "shared/gear", "resources/guide")
        for path in sorted((ROOT / folder).rglob("*"))
        if path.suffix in (".py", ".json", ".md")
    )
    words = set(re.findall(r"\b[A-Z][A-Z0-9]*\b", text))
    idle = [key for key in _listed() if key not in words]
    assert not idle, f"in shared/references.md but never cited: {idle}"


@pytest.mark.parametrize("path", sorted((ROOT / "tests" / "published").glob("test_*.py")), ids=lambda path: path.stem)
def test_published_checks_name_listed_sources(path: Path) -> None:
    """A published check cites a listed source, an independent library by name, or says that it is common practice."""
    words = path.read_text(encoding="utf-8")
    cited = [key for key in _listed() if re.search(rf"\b{key}\b", words)]
    assert cited or re.search(r"common practice|from memory|an independent library", words, re.IGNORECASE)
