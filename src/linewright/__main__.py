"""`python -m linewright`, and where the installed program begins."""

import sys


def main() -> None:
    """Runs the program; the engine alone without loading the rest."""
    if sys.argv[1:] == ["engine"]:
        from linewright.uci import speak

        speak()
        return
    from linewright.cli import main as run

    run()


if __name__ == "__main__":
    main()
