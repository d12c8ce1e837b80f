"""Changes many figures of the demo sites to awkward ones: `python -m tests.tools.awkward_figures [COUNT] [SEED]`.

COUNT figures of each demo, one at a time, then every kind of record at every end of its ranges. The suite tries a few.
"""

from __future__ import annotations

import sys

from tests.assess.test_mutations import DEMOS, change_figures, change_kinds


def main() -> None:
    """Change them, and stop at the first that gives neither a sentence nor a sound assessment."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    seed = sys.argv[2] if len(sys.argv) > 2 else "1"
    for demo in DEMOS:
        read = change_figures(demo, count, seed)
        print(f"{demo}: {count} figures changed, {read} of the sites could be read", flush=True)
        change_kinds(demo, sys.maxsize, seed)
        print(f"{demo}: every kind at every end", flush=True)


if __name__ == "__main__":
    main()
