"""The maps of packages name every module that stands in them."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

import pytest


@pytest.mark.parametrize("package", ["english", "position", "talk"])
def test_a_package_names_its_modules_in_its_docstring(package: str) -> None:
    found = import_module(f"linewright.{package}")
    names = {module.name for module in iter_modules(found.__path__)}
    assert found.__doc__ is not None
    assert not {name for name in names if f"`{name}`" not in found.__doc__}
