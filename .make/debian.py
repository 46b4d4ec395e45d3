"""What a minimal Debian lacks, and getting it with apt: only that, quietly, with sudo for apt alone."""

import ctypes
import os
import shutil
import subprocess
import sys
from glob import glob
from importlib.util import find_spec

# Shared libraries that documents need, by the package that brings each. Pango brings a font as well.
DOCUMENTS = {
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
DRIVER = {"libatomic.so.1": "libatomic1"}  # of the browser's driver


def for_the_site() -> list[str]:
    return [*_venv(), *_libraries(DOCUMENTS)]


def for_browser_tests() -> list[str]:
    found = any(map(shutil.which, ("chromium", "chromium-browser", "google-chrome")))
    return [*([] if found else ["chromium"]), *_libraries(DRIVER)]


def for_postgresql_tests() -> list[str]:
    return [] if postgresql_programs() else ["postgresql"]


def postgresql_programs() -> str:
    """The folder of initdb and pg_ctl, the newest where there are several; empty when there is none."""
    folders = sorted(glob("/usr/lib/postgresql/*/bin"), key=lambda path: float(path.split("/")[-2]))
    found = [folder for folder in folders if os.path.exists(f"{folder}/initdb")]
    return found[-1] if found else os.path.dirname(shutil.which("initdb") or "")


def install(packages: list[str]) -> None:
    if not packages:
        return
    names = " ".join(packages)
    if not shutil.which("apt-get"):
        sys.exit(f"This machine has no apt-get. Please install what Debian calls: {names}")
    if os.geteuid() and not shutil.which("sudo"):
        sys.exit(f"Please have these installed by root, then start again: apt-get install {names}")
    print(f"Installing with apt: {names}", flush=True)
    if _apt("install", *packages).returncode == 0:
        return
    _apt("update")  # lists that are absent or old
    done = _apt("install", *packages)
    if done.returncode:
        sys.exit(f"{done.stdout}\napt could not install {names}; its last words are above")


def _apt(verb: str, *packages: str) -> subprocess.CompletedProcess[str]:
    waiting = ("-o", "DPkg::Lock::Timeout=300")
    command = ["env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq", *waiting, verb]
    if packages:
        command += ["--yes", "--no-install-recommends", *packages]
    if os.geteuid():
        command.insert(0, "sudo")
    return subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)


def _libraries(packages: dict[str, str]) -> list[str]:
    return [package for library, package in packages.items() if not _loads(library)]


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _venv() -> list[str]:
    """Debian takes ensurepip out of its python3; other builds have it."""
    if find_spec("ensurepip") and find_spec("venv"):
        return []
    if sys.base_prefix != "/usr":
        sys.exit(
            f"{sys.executable} lacks venv or ensurepip; choose another: PYTHON=/usr/bin/python3 make demo"
        )
    return [f"python{sys.version_info.major}.{sys.version_info.minor}-venv"]
