"""`python -m linewright`, and where the installed program begins."""

import gc
import sys

# Starting makes a hundred thousand objects that stay: looking for dead ones after every 700 new
# ones, as is usual, is a twentieth of a short run.
OBJECTS_BEFORE_COLLECTION = 50_000


def main() -> None:
    """Runs the program; the engine alone without loading the rest."""
    if sys.argv[1:] == ["engine"]:
        from linewright.uci import speak

        speak()
        return
    gc.set_threshold(OBJECTS_BEFORE_COLLECTION)
    from linewright.cli import main as run

    run()


if __name__ == "__main__":
    main()
