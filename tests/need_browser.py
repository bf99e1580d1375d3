"""Make sure that a Chromium is there for the browser tests; install Debian's where that works.

Never skips silently under CI: ends with 1 there if none can be had.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def browser() -> str | None:
    """The path of the system's Chromium, or None."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def install() -> None:
    """Tries Debian's package; needs to be root and to have apt."""
    if not shutil.which("apt-get") or os.geteuid() != 0:
        return
    print("installing Chromium for the browser tests")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["update", "-qq"], ["install", "-y", "-qq", "chromium"]):
        subprocess.run(["apt-get", *command], env=environment, check=False, capture_output=True)


def main() -> int:
    """Exit code: 0 there is one or it may be missing, 1 it is missing under CI."""
    if browser() is None:
        install()
    if browser() is None:
        print("no Chromium found: browser tests need one (Debian: apt-get install chromium)")
        return 1 if os.environ.get("CI") else 0
    return 0


if __name__ == "__main__":
    sys.exit(main())
