"""What `make` runs: set up what is missing, then the demo or the tests. Standard library only."""

import os
import signal
import socket
import subprocess
import sys
import time

import debian
import environment
import postgres

PYTEST = ("-m", "pytest", "-q", "-n", "2", "--dist", "worksteal")
"""Tests of one file stay together, so that what they share is made once; who is done first takes more."""
HUNT = ("--hypothesis-profile=hunt", "-p", "no:cacheprovider", "-m")
DRAWN, WITH_YEARS = "hypothesis and not browser", "(hypothesis or hunt) and not browser"


def demo() -> None:
    port = os.environ.get("PORT") or "8000"
    _refuse_busy(port)
    debian.install(debian.for_the_site())
    environment.bring_up(environment.SITE)
    python = str(environment.PYTHON)
    os.execv(python, [python, "manage.py", "demo", "--port", port])


def dev() -> None:
    debian.install(debian.for_the_site())
    environment.bring_up(environment.DEV)


def test() -> None:
    debian.install(debian.for_the_site() + debian.for_browser_tests() + debian.for_postgresql_tests())
    environment.bring_up(environment.DEV)
    sys.exit(_on_sqlite() or _on_postgresql())


def test_sqlite() -> None:
    debian.install(debian.for_the_site() + debian.for_browser_tests())
    environment.bring_up(environment.DEV)
    sys.exit(_on_sqlite())


def test_postgres() -> None:
    debian.install(debian.for_the_site() + debian.for_postgresql_tests())
    environment.bring_up(environment.DEV)
    sys.exit(_on_postgresql())


def hunt() -> None:
    """Rounds of the tests that draw their cases, each with other cases, until MINUTES are over or one fails;
    simulated years would be the same in each, and run in the first. What failed is printed, and kept in
    .hypothesis so that the next hunt begins with it."""
    minutes = _minutes(os.environ.get("MINUTES") or "10")
    debian.install(debian.for_the_site())
    environment.bring_up(environment.DEV)
    over, rounds = time.monotonic() + 60 * minutes, 0
    while time.monotonic() < over:
        rounds += 1
        print(f"Round {rounds}, {max(0, over - time.monotonic()) / 60:.0f} minutes left", flush=True)
        which = WITH_YEARS if rounds == 1 else DRAWN
        if code := subprocess.run([environment.PYTHON, *PYTEST, *HUNT, which], check=False).returncode:
            sys.exit(code)
    print(f"Nothing found; rounds: {rounds}")


def _minutes(typed: str) -> float:
    try:
        return float(typed)
    except ValueError:
        sys.exit(f"MINUTES is {typed!r}; it must be a number, such as make hunt MINUTES=60")


def _on_sqlite() -> int:
    print("Every test, on SQLite", flush=True)
    return subprocess.run([environment.PYTHON, *PYTEST], check=False).returncode


def _on_postgresql() -> int:
    print("The tests that depend on the database, on PostgreSQL", flush=True)
    with postgres.server() as url:
        command = [environment.PYTHON, *PYTEST, "-m", "database and not browser and not one_engine"]
        return subprocess.run(command, env={**os.environ, "DATABASE_URL": url}, check=False).returncode


def _refuse_busy(port: str) -> None:
    """Said before anything is installed; `manage.py demo` takes the port for good."""
    if not port.isdecimal() or not 0 < int(port) < 65536:
        sys.exit(f"PORT is {port!r}; it must be a number from 1 to 65535, such as PORT=8001 make demo")
    with socket.socket() as door:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind(("127.0.0.1", int(port)))
        except OSError as error:
            sys.exit(f"Port {port} is not free ({error.strerror}); choose another: PORT=8001 make demo")


if __name__ == "__main__":
    if sys.version_info < (3, 11):  # noqa: UP036, since the user's python3 runs this file
        sys.exit(f"Jigumi needs Python 3.11 or newer; {sys.executable} is older. PYTHON=python3.11 make demo")
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))  # so that the database server is stopped, too
    os.chdir(environment.ROOT)
    for name in ("DATABASE_URL", "DJANGO_SETTINGS_MODULE"):  # another project's would be used by mistake
        os.environ.pop(name, None)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # every process of the tests would compile them anew
    for task in (demo, dev, test, test_sqlite, test_postgres, hunt):
        if task.__name__.replace("_", "-") == sys.argv[1]:
            task()
