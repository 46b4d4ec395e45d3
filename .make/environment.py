"""The virtual environment in .venv, brought to what the lock files say, and only when they changed."""

import hashlib
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
STAMP = VENV / "installed-locks"
SITE, DEV = ROOT / "requirements.lock", ROOT / "requirements-dev.lock"


def bring_up(lock: Path) -> None:
    """Install `lock` into .venv; the developer's lock holds the site's as well."""
    wanted = _digest(lock)
    if not _works():
        print("Making the virtual environment .venv", flush=True)
        _run(sys.executable, "-m", "venv", "--clear", str(VENV))
    elif STAMP.exists() and wanted in STAMP.read_text().split():
        return
    print(f"Installing Python packages from {lock.name}", flush=True)
    quiet = ("--quiet", "--disable-pip-version-check", "--no-input")
    _run(str(PYTHON), "-m", "pip", "install", *quiet, "--require-hashes", "-r", str(lock))
    STAMP.write_text("\n".join([wanted, _digest(SITE)] if lock == DEV else [wanted]) + "\n")


def _works() -> bool:
    """False when there is none, when it was left half made, or when its interpreter is gone or too old."""
    code = "import sys, pip; sys.exit(sys.version_info < (3, 11))"
    try:
        return subprocess.run([PYTHON, "-c", code], capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def _digest(lock: Path) -> str:
    return hashlib.sha256(lock.read_bytes()).hexdigest()


def _run(*command: str) -> None:
    if subprocess.run(command, check=False).returncode:
        sys.exit(f"This failed; what it said is above: {' '.join(command)}")
