"""Processes of their own, each with its connection to the test's database."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import quote

from django.conf import settings
from django.db import connection

__all__ = ["environment", "run", "started_together"]


def environment(folder: Path) -> dict[str, str]:
    """Of a process whose database is the test's as it is now, or on SQLite a file that is a copy of it. Only
    for tests whose rows are committed."""
    told = connection.settings_dict
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(folder / "shared.sqlite3")])
        url = f"sqlite:///{folder / 'shared.sqlite3'}"
    else:
        url = f"postgresql://{told['USER']}@{quote(told['HOST'], safe='')}/{told['NAME']}"
    here = {"DJANGO_SETTINGS_MODULE": "tests.settings", "PYTHONPATH": str(settings.BASE_DIR)}
    return {**os.environ, **here, "DATABASE_URL": url}


def run(env: dict[str, str], program: str, *words: str) -> subprocess.Popen[str]:
    pipes: Any = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    return subprocess.Popen([sys.executable, "-c", program, *words], env=env, **pipes)


def started_together(workers: list[subprocess.Popen[str]]) -> list[str]:
    """What each says, once all have said "ready" and were told to go."""
    for worker in workers:
        assert worker.stdout is not None
        assert worker.stdout.readline() == "ready\n"
    for worker in workers:
        assert worker.stdin is not None
        worker.stdin.write("go\n")
        worker.stdin.flush()
    said = [worker.communicate()[0] for worker in workers]
    assert [worker.returncode for worker in workers] == [0] * len(workers)
    return said
