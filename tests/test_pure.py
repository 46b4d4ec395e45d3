"""The pure line loads no Django: each package is imported alone, in a fresh interpreter."""

import subprocess
import sys

import pytest

PURE = (
    "chain", "merging", "money", "voice", "problem", "document", "lattice", "light", "hanging", "making",
    "pricing", "drawing", "estimate", "stored",
)  # fmt: skip

IMPORT_ALL = """
import importlib, pkgutil, sys
root = importlib.import_module("studio.{name}")
for module in pkgutil.walk_packages(getattr(root, "__path__", []), root.__name__ + "."):
    importlib.import_module(module.name)
print(sorted(name for name in sys.modules if name.partition(".")[0] == "django"))
"""


@pytest.mark.parametrize("name", PURE)
def test_no_django_is_loaded(name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", IMPORT_ALL.format(name=name)], capture_output=True, text=True, check=False
    )
    assert (done.stdout.strip(), done.stderr) == ("[]", "")
