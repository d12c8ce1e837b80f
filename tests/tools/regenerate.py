"""Make the generated files again: `python tests/tools/regenerate.py`.

A test compares them with what the records say; run this after changing a record, then read the difference.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from survey_app.site.guide import PAGES, page_text  # noqa: E402 - the clone comes first on the path
from survey_app.site.schema import SCHEMA_FILE, schema_text  # noqa: E402


def generated_files() -> dict[Path, str]:
    """Return every generated file with the text that it should have."""
    files = {ROOT / "shared" / SCHEMA_FILE: schema_text()}
    for page in PAGES:
        path = ROOT / "resources" / "guide" / "things" / f"{page}.md"
        files[path] = page_text(page, path.read_text(encoding="utf-8") if path.exists() else "")
    return files


if __name__ == "__main__":
    for file, text in generated_files().items():
        if not file.exists() or file.read_text(encoding="utf-8") != text:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8", newline="\n")
            print(f"made anew: {file.relative_to(ROOT)}")
