"""A PostgreSQL server for one test run, on a Unix socket in a folder that goes away with it."""

import os
import pwd
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import quote

from debian import postgresql_programs

# Nothing here outlives the run, so nothing needs to reach the disk.
OPTIONS = "-c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off"


@contextmanager
def server() -> Iterator[str]:
    """Yields the DATABASE_URL. The server refuses root, so root runs it as another user."""
    folder = tempfile.mkdtemp(prefix="jigumi-pg-")
    someone = _someone_else(folder) if os.geteuid() == 0 else {}
    programs, data = postgresql_programs(), f"{folder}/data"

    def run(program: str, *arguments: str) -> None:
        command = [f"{programs}/{program}", "-D", data, *arguments]
        with open(f"{folder}/said", "a+") as said:  # a pipe would be held open by the server itself
            if subprocess.run(
                command, cwd=folder, stdout=said, stderr=said, check=False, **someone
            ).returncode:
                said.seek(0)
                sys.exit(f"{program} failed:\n{said.read()}")

    try:
        run("initdb", "-U", "jigumi", "--auth=trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
        run("pg_ctl", "-w", "-o", f"{OPTIONS} -k {folder}", "start")
        try:
            yield f"postgresql://jigumi@{quote(folder, safe='')}/postgres"
        finally:
            run("pg_ctl", "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _someone_else(folder: str) -> dict[str, Any]:
    """Debian's `postgres`, else `nobody`, as arguments for subprocess; the folder becomes theirs."""
    names = {entry.pw_name: entry for entry in pwd.getpwall()}
    entry = names.get("postgres") or names["nobody"]
    os.chown(folder, entry.pw_uid, entry.pw_gid)
    return {"user": entry.pw_uid, "group": entry.pw_gid, "extra_groups": []}
