"""Pattern files at the command line: a verdict, a stored pattern, or plain words."""

import json
import re
from pathlib import Path

import pytest
from django.core.management import call_command

from studio.settings import BASE_DIR
from studio.workshop.own_patterns import usable

COMMANDS = ("check_pattern", "add_pattern")


def example() -> str:
    """The pattern file that the guide shows."""
    guide = (BASE_DIR / "DEVELOPERS.md").read_text()
    section = guide.partition("## How to add a pattern")[2]
    found = re.search(r"```json\n(.*?)```", section, re.DOTALL)
    assert found
    return found[1]


def refused(capsys: pytest.CaptureFixture[str], command: str, file: object) -> str:
    with pytest.raises(SystemExit) as stopped:
        call_command(command, str(file))
    assert stopped.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    return err


def test_the_guides_example_can_be_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a database: this test has none."""
    file = tmp_path / "leaning-leaf.json"
    file.write_text(example())
    call_command("check_pattern", str(file))
    said = capsys.readouterr().out
    assert "Leaning leaf (leaning-leaf), for a three-way lattice" in said
    assert "at least 22 mm" in said


def test_the_guides_example_can_be_stored(
    db: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "leaning-leaf.json"
    file.write_text(example(), encoding="utf-8-sig")
    call_command("add_pattern", str(file))
    assert "Stored as revision 1." in capsys.readouterr().out
    assert [(p.slug, p.revision) for p in usable("three-way turned")] == [("leaning-leaf", 1)]
    assert "there already" in refused(capsys, "add_pattern", file)


@pytest.mark.parametrize("command", COMMANDS)
def test_what_is_no_file_is_said(
    db: None, tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert "cannot be read" in refused(capsys, command, tmp_path)
    assert "cannot be read" in refused(capsys, command, tmp_path / "none.json")
    assert "larger than 200 kB" in refused(capsys, command, "/dev/zero")


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "not JSON"),
        (b"\x00\xff", "not UTF-8"),
        (b"{}", "slug: this key is missing"),
        (json.dumps(["leaning-leaf"]).encode(), "object with keys"),
    ],
)
def test_a_bad_file_is_refused_in_plain_words(
    db: None, tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str, data: bytes, reason: str
) -> None:
    file = tmp_path / "bad.json"
    file.write_bytes(data)
    assert reason in refused(capsys, command, file)


def test_a_pattern_that_falls_apart_is_refused_form_by_form(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    loose = [{"kind": "line", "points": [[x, -0.1], [x, 0.1]]} for x in (-0.3, 0.1)]
    file = tmp_path / "loose.json"
    file.write_text(json.dumps(json.loads(example()) | {"half": loose}))
    said = refused(capsys, "check_pattern", file)
    assert said.startswith("half: ")
    assert "fall apart" in said
