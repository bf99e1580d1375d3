"""The system's Chromium for tests: found on the path, never missing silently where CI is set."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from .need_browser import NAMES
from .need_browser import browser as on_path


def chromium_path() -> str:
    """The browser's path; skips the test where there is none, fails it where CI is set."""
    found = on_path() or ""
    if not found and os.environ.get("CI"):
        pytest.fail(f"no browser: install the package chromium (looked for {', '.join(NAMES)})")
    if not found:
        pytest.skip(f"no browser: install the package chromium (looked for {', '.join(NAMES)})")
    return found


@contextmanager
def chromium() -> Iterator[Any]:
    """A running browser."""
    path = chromium_path()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        try:
            yield browser
        finally:
            browser.close()


def serious(page: Any) -> list[str]:
    """What axe-core calls serious or critical on a page, with the elements."""
    from axe_core_python.sync_playwright import Axe

    found = Axe().run(page, options={"resultTypes": ["violations"]})
    return [
        f"{violation['id']}: {node['html'][:160]} {node.get('failureSummary', '')[:300]}"
        for violation in found["violations"]
        if violation["impact"] in {"serious", "critical"}
        for node in violation["nodes"]
    ]
