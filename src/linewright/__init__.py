"""linewright: checked chess lessons, and everything students get, from one source."""

from __future__ import annotations

# What `typing` calls by this name; loading it would take the engine a third of its start.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    """`linewright.ask`, loaded when it is first used, so that the program starts quickly."""
    if name == "ask":
        from linewright.asking import ask

        return ask
    raise AttributeError(f"module 'linewright' has no attribute '{name}'")
