"""The demo's sign-in: made once, printed at every start, never readable by others, never a lie."""

import json
import os
import socket
from pathlib import Path

import pytest
from django.contrib.staticfiles.finders import get_finders
from django.core.management import CommandError, call_command

from studio.people.management.commands.demo import _sign_in
from studio.people.models import User
from studio.people.serving import _static_files_are_current


def test_second_start_prints_the_same_sign_in(db: None, tmp_path: Path) -> None:
    note = tmp_path / "note"
    first = _sign_in(note)
    assert _sign_in(note) == first
    assert User.objects.get().check_password(first.split()[-1])
    assert note.stat().st_mode & 0o777 == 0o600


def test_changed_password_is_not_printed(db: None, tmp_path: Path) -> None:
    note = tmp_path / "note"
    _sign_in(note)
    user = User.objects.get()
    user.set_password("another")
    user.save()
    assert "has been changed" in _sign_in(note)


def test_static_files_are_collected_again_when_one_is_newer_or_new(tmp_path: Path) -> None:
    manifest = tmp_path / "staticfiles.json"
    assert not _static_files_are_current(manifest)
    names = [
        f"{storage.prefix}/{name}" if getattr(storage, "prefix", "") else name
        for finder in get_finders()
        for name, storage in finder.list([])
    ]
    manifest.write_text(json.dumps({"paths": dict.fromkeys(names, "")}))
    assert _static_files_are_current(manifest)
    os.utime(manifest, (0, 0))
    assert not _static_files_are_current(manifest)
    manifest.write_text(json.dumps({"paths": {name: "" for name in names if "htmx-2.min" not in name}}))
    assert not _static_files_are_current(manifest)


def test_busy_port_is_named_before_the_database_is_touched() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=f"Port {port} is busy.*PORT=8001 make demo"):
            call_command("demo", "--port", str(port))
