"""The lock files: each version with hashes, no address, and one version of a package in both."""

import re
from pathlib import Path

import pytest
from django.conf import settings

ENTRY = re.compile(r"([a-z0-9-]+)==(\S+)((?: --hash=sha256:[0-9a-f]{64})+)")


def versions(name: str) -> dict[str, str]:
    """Refuses any line that is not a version with hashes: an index, a path, a comment, a loose range."""
    text = (Path(settings.BASE_DIR) / name).read_text()
    lines = re.sub(r" \\\n\s+", " ", text).splitlines()
    entries = [ENTRY.fullmatch(line) for line in lines]
    assert [line for line, entry in zip(lines, entries, strict=True) if not entry] == []
    return {entry[1]: entry[2] for entry in entries if entry}


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-dev.lock"])
def test_holds_versions_with_hashes_and_nothing_else(name: str) -> None:
    assert versions(name)["django"].startswith("5.2.")


def test_developers_have_what_the_site_has() -> None:
    assert versions("requirements.lock").items() <= versions("requirements-dev.lock").items()
