"""What a site on SQLite asks of its database, seen through a connection of its own."""

import os
import subprocess
import sys
from pathlib import Path

ASK = """
import django
django.setup()
from django.conf import settings
from django.db import connection
with connection.cursor() as cursor:
    names = ("journal_mode", "synchronous", "foreign_keys")
    asked = [cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in names]
print(*asked, connection.transaction_mode, settings.DEBUG)
"""


def test_sqlite_loses_nothing_and_waits_for_other_writers(tmp_path: Path) -> None:
    unset = {"DATABASE_URL", "JIGUMI_DEBUG", "JIGUMI_SECRET_KEY"}
    env = {name: value for name, value in os.environ.items() if name not in unset}
    env |= {"JIGUMI_VAR": str(tmp_path / "var"), "DJANGO_SETTINGS_MODULE": "studio.settings"}
    done = subprocess.run([sys.executable, "-c", ASK], env=env, capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["wal", "2", "1", "IMMEDIATE", "False"], done.stderr
    assert (tmp_path / "var").stat().st_mode & 0o777 == 0o700
