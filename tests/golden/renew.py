"""Write the digests anew, and say which have changed.

python -m tests.golden.renew
"""

from __future__ import annotations

import json

from tests.golden.recipes import KEPT, RECIPES, digests


def main() -> None:
    """Renew ``digests.json``."""
    old = json.loads(KEPT.read_text("utf-8")) if KEPT.exists() else {}
    new = {name: digests(recipe) for name, recipe in RECIPES.items()}
    for name, stages in new.items():
        changed = [
            stage for stage, value in stages.items() if old.get(name, {}).get(stage) != value
        ]
        print(f"{name}: {', '.join(changed) or 'as it was'}")
    KEPT.write_text(json.dumps(new, indent=2) + "\n", "utf-8")


if __name__ == "__main__":
    main()
