#!/usr/bin/env python3
"""donorbench's one command line: `python3 manage.py demo`, `python3 manage.py test`, and every Django command.

On a fresh checkout it first makes .venv beside this file and installs the locked packages there. It steps aside
where an environment is active already, and with NO_BOOTSTRAP=1 (containers, packagers).
"""

import contextlib
import ctypes
import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
RUN_LOCK = ROOT / "requirements.txt"
TEST_LOCK = ROOT / "requirements-test.txt"  # everything in RUN_LOCK and the test tools
SETTINGS = {"test": "tests.settings", "demo": "shop.settings_demo"}  # any other command: shop.settings
APT_GET = Path("/usr/bin/apt-get")
PANGO_LIBRARIES = ("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0")
PANGO_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")


def say(text: str) -> None:
    """Print before pip and apt print theirs."""
    print(text, file=sys.stderr, flush=True)


def run(*command: object, **environment: str) -> None:
    """Run a command quietly; its errors stay visible."""
    subprocess.run(
        [str(part) for part in command],
        check=True,
        stdout=subprocess.DEVNULL,
        stdin=subprocess.DEVNULL,
        env={**os.environ, **environment},
    )


def stamp_path(lock: Path) -> Path:
    return VENV / f".installed-{lock.stem}"


def stamp_text(lock: Path) -> str:
    """What an installed lock's stamp says: which packages, for which Python."""
    return f"{sys.version_info.major}.{sys.version_info.minor} {hashlib.sha256(lock.read_bytes()).hexdigest()}"


def is_installed(lock: Path) -> bool:
    stamp = stamp_path(lock)
    return PYTHON.exists() and stamp.exists() and stamp.read_text() == stamp_text(lock)


def install(lock: Path) -> None:
    """Install one lock, making the environment first where there is none that once worked for this Python."""
    run_stamp, this_python = stamp_path(RUN_LOCK), stamp_text(RUN_LOCK).split()[0]
    usable = PYTHON.exists() and run_stamp.exists() and run_stamp.read_text().split()[0] == this_python
    say(f"Setting up {VENV.name}: installing the packages in {lock.name}. This happens once.")
    try:
        if not usable:
            run(sys.executable, "-m", "venv", "--clear", VENV)
        run(PYTHON, "-m", "pip", "install", "-qq", "--disable-pip-version-check", "-r", lock)
    except (subprocess.CalledProcessError, OSError) as error:
        sys.exit(
            f"Setup failed: {error}\n"
            "The lines above say why. If Python's venv module is missing, on Debian or Ubuntu type:\n"
            "  apt-get install python3-venv\n"
            "If a download failed, run the same command again: what was downloaded is kept."
        )
    stamp_path(lock).write_text(stamp_text(lock))
    if lock == TEST_LOCK:  # a superset: the application's packages are installed with it
        run_stamp.write_text(stamp_text(RUN_LOCK))


def is_pango_missing() -> bool:
    """Whether the libraries that draw PDF text cannot be loaded; only known for Linux's names."""
    try:
        for name in PANGO_LIBRARIES:
            ctypes.CDLL(name)
    except OSError:
        return sys.platform == "linux"
    return False


def install_pango() -> None:
    """PDFs need system libraries that no Python package carries: install them as root on Debian, else say how."""
    command = ("apt-get", "install", "-y", "--no-install-recommends", *PANGO_PACKAGES)
    if os.geteuid() == 0 and APT_GET.exists():
        say(f"PDFs need Pango, which is missing. Running: {' '.join(command)}")
        for first in ((), ("apt-get", "update")):  # package lists may be absent or old: refresh them and try again
            with contextlib.suppress(subprocess.CalledProcessError, OSError):
                if first:
                    run(*first)
                run(*command, DEBIAN_FRONTEND="noninteractive")
                return
        say("That did not work. Everything except PDFs works without it.")
    say("PDFs need Pango, which is missing; everything else works. On Debian or Ubuntu type:")
    say(f"  sudo {' '.join(command)}")


def enter_environment(command: str) -> None:
    """Go on inside .venv, made and filled as far as this command needs; returns only where there is nothing to do."""
    if sys.prefix != sys.base_prefix or os.environ.get("NO_BOOTSTRAP"):
        return
    if sys.version_info < (3, 11):
        sys.exit(f"donorbench needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    lock = TEST_LOCK if command == "test" else RUN_LOCK
    if not is_installed(lock):
        install(lock)
        if is_pango_missing():
            install_pango()
    arguments = [str(PYTHON), str(ROOT / "manage.py"), *sys.argv[1:]]
    if os.name == "nt":  # Windows has no exec that keeps the terminal
        sys.exit(subprocess.run(arguments, check=False).returncode)
    os.execv(PYTHON, arguments)


if __name__ == "__main__":
    name = sys.argv[1] if len(sys.argv) > 1 else "help"
    enter_environment(name)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", SETTINGS.get(name, "shop.settings"))
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
    except ImproperlyConfigured as error:  # a person's setting, not a programmer's mistake: no traceback
        sys.exit(f"Settings: {error}")
