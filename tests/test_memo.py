"""Memos of the process: all of them named, bounded and used."""

import importlib
import pkgutil

import studio
from studio.memo import MOST_KEPT


def test_every_memo_that_is_named_is_bounded_as_named():
    for name, most in MOST_KEPT.items():
        module, _, function = name.rpartition(".")
        kept = getattr(importlib.import_module(f"studio.{module}"), function)
        assert kept.cache_info().maxsize == most > 0


def test_no_memo_is_left_unnamed():
    named = set()
    for module in pkgutil.walk_packages(studio.__path__, "studio."):
        if ".migrations" not in module.name and not module.name.endswith("wsgi"):
            found = importlib.import_module(module.name)
            named |= {
                f"{module.name}.{name}".removeprefix("studio.")
                for name, value in vars(found).items()
                if hasattr(value, "cache_info") and value.__module__ == module.name
            }
    assert named == set(MOST_KEPT)
