"""manage.py before Django: when it makes or mends .venv, when it steps aside, and what it says when it cannot."""

import importlib.util
import os
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
BARE_PYTHON = getattr(sys, "_base_executable", sys.executable)


@pytest.fixture
def manage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """manage.py as a module whose checkout is an empty folder with two locks."""
    spec = importlib.util.spec_from_file_location("manage", ROOT / "manage.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    places = {"ROOT": tmp_path, "VENV": tmp_path / ".venv", "PYTHON": tmp_path / ".venv/bin/python"}
    locks = {"RUN_LOCK": tmp_path / "requirements.txt", "TEST_LOCK": tmp_path / "requirements-test.txt"}
    for name, path in (places | locks).items():
        monkeypatch.setattr(module, name, path)
    for lock in locks.values():
        lock.write_text(f"# the packages of {lock.name}\n")
    monkeypatch.setattr(sys, "prefix", sys.base_prefix)  # as if no environment were active
    monkeypatch.delenv("NO_BOOTSTRAP", raising=False)
    return module


@pytest.fixture
def commands(manage: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What manage.py would have run, in short; making an environment makes the interpreter's file."""
    ran: list[str] = []

    def note(*command: object, **_: str) -> None:
        ran.append(" ".join(Path(str(part)).name for part in command[1:]))
        if "venv" in command:
            manage.PYTHON.parent.mkdir(parents=True, exist_ok=True)
            manage.PYTHON.touch()

    monkeypatch.setattr(manage, "run", note)
    monkeypatch.setattr(manage, "is_pango_missing", lambda: False)
    monkeypatch.setattr(manage.os, "execv", lambda python, arguments: ran.append("restart"))
    return ran


PIP = "-m pip install -qq --disable-pip-version-check -r"


def test_the_first_start_makes_an_environment_and_goes_on_inside(manage, commands):
    manage.enter_environment("demo")
    assert commands == ["-m venv --clear .venv", f"{PIP} requirements.txt", "restart"]


def test_the_next_start_goes_straight_in(manage, commands):
    manage.enter_environment("demo")
    commands.clear()
    manage.enter_environment("runserver")
    assert commands == ["restart"]


def test_the_test_tools_come_with_the_first_test_only(manage, commands):
    manage.enter_environment("demo")
    commands.clear()
    manage.enter_environment("test")
    assert commands == [f"{PIP} requirements-test.txt", "restart"]
    commands.clear()
    manage.enter_environment("test")
    manage.enter_environment("demo")
    assert commands == ["restart", "restart"]


def test_the_test_lock_alone_is_enough_for_everything(manage, commands):
    manage.enter_environment("test")
    commands.clear()
    manage.enter_environment("demo")
    assert commands == ["restart"]


def test_a_changed_lock_is_installed_over_the_old_one(manage, commands):
    manage.enter_environment("demo")
    commands.clear()
    manage.RUN_LOCK.write_text("# another release\n")
    manage.enter_environment("demo")
    assert commands == [f"{PIP} requirements.txt", "restart"]


def test_an_environment_of_another_python_is_made_anew(manage, commands):
    manage.enter_environment("demo")
    stamp = manage.stamp_path(manage.RUN_LOCK)
    stamp.write_text("3.10 " + stamp.read_text().split()[1])
    commands.clear()
    manage.enter_environment("demo")
    assert commands[0] == "-m venv --clear .venv"


def test_an_environment_whose_interpreter_is_gone_is_made_anew(manage, commands):
    manage.enter_environment("demo")
    manage.PYTHON.unlink()
    commands.clear()
    manage.enter_environment("demo")
    assert commands[0] == "-m venv --clear .venv"


def test_an_active_environment_is_respected(manage, commands, monkeypatch):
    monkeypatch.setattr(sys, "prefix", "/somewhere/else")
    manage.enter_environment("demo")
    assert commands == []


def test_no_bootstrap_is_respected(manage, commands, monkeypatch):
    monkeypatch.setenv("NO_BOOTSTRAP", "1")
    manage.enter_environment("demo")
    assert commands == []


def test_a_failed_setup_says_what_to_type_and_starts_over_next_time(manage, commands, monkeypatch):
    def fail(*command: object, **_: str) -> None:
        raise subprocess.CalledProcessError(1, [str(part) for part in command])

    with monkeypatch.context() as patch:
        patch.setattr(manage, "run", fail)
        with pytest.raises(SystemExit, match="apt-get install python3-venv"):
            manage.enter_environment("demo")
    manage.enter_environment("demo")
    assert commands[0] == "-m venv --clear .venv"


def test_an_old_python_is_told_which_one_is_needed(manage, commands, monkeypatch):
    monkeypatch.setattr(manage.sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit, match=r"needs Python 3\.11 or newer"):
        manage.enter_environment("demo")
    assert commands == []


@pytest.fixture
def debian_without_pango(manage, monkeypatch, tmp_path):
    """A Debian machine, as root, where the next apt-get run answers as the test says."""
    monkeypatch.setattr(manage, "APT_GET", tmp_path / "requirements.txt")  # any file that exists
    monkeypatch.setattr(manage.os, "geteuid", lambda: 0)
    return manage


def test_root_on_debian_gets_pango_installed_and_is_told(debian_without_pango, commands, capsys):
    debian_without_pango.install_pango()
    assert commands == ["install -y --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"]
    assert "Running: apt-get install" in capsys.readouterr().err


def test_stale_package_lists_are_refreshed_once(debian_without_pango, monkeypatch, capsys):
    ran = []

    def first_fails(*command: str, **_: str) -> None:
        ran.append(command[1])
        if len(ran) == 1:
            raise subprocess.CalledProcessError(100, command)

    monkeypatch.setattr(debian_without_pango, "run", first_fails)
    debian_without_pango.install_pango()
    assert ran == ["install", "update", "install"]
    assert "did not work" not in capsys.readouterr().err


def test_where_apt_fails_everything_else_still_goes_on(debian_without_pango, monkeypatch, capsys):
    def fail(*command: str, **_: str) -> None:
        raise subprocess.CalledProcessError(100, command)

    monkeypatch.setattr(debian_without_pango, "run", fail)
    debian_without_pango.install_pango()
    said = capsys.readouterr().err
    assert "did not work" in said
    assert "everything else works" in said


def test_others_are_shown_the_line_to_type(debian_without_pango, commands, monkeypatch, capsys):
    monkeypatch.setattr(debian_without_pango.os, "geteuid", lambda: 1000)
    debian_without_pango.install_pango()
    assert commands == []
    assert "sudo apt-get install -y --no-install-recommends libpango-1.0-0" in capsys.readouterr().err


def packages(lock: str) -> dict[str, str]:
    """Name and marker to pinned version."""
    found = re.findall(r"^([A-Za-z0-9._-]+)==(\S+)(?: ; (.*?))? \\$", (ROOT / lock).read_text(), flags=re.MULTILINE)
    return {f"{name} ; {marker}": version for name, version, marker in found}


def test_the_test_lock_holds_all_of_the_run_lock():
    run, test = packages("requirements.txt"), packages("requirements-test.txt")
    assert len(run) > 30
    assert run.items() <= test.items()
    assert "pytest ; " in test.keys() - run.keys()


@pytest.mark.parametrize("lock", ["requirements.txt", "requirements-test.txt"])
def test_locks_pin_every_package_by_hash_and_name_no_index(lock):
    text = (ROOT / lock).read_text()
    assert not re.search(r"https?://|file:|--index-url|--find-links", text)
    entries = re.split(r"\n(?=[A-Za-z])", text)[1:]
    assert [entry.splitlines()[0] for entry in entries if "--hash=sha256:" not in entry] == []


def test_the_locks_are_made_from_pyproject():
    """Every package pyproject names is locked, in the lock its list belongs to."""
    lines = (ROOT / "pyproject.toml").read_text()
    wanted, extra = (re.findall(r'^    "([A-Za-z0-9-]+)', part, flags=re.MULTILINE) for part in split_lists(lines))
    run = {entry.split(" ;")[0] for entry in packages("requirements.txt")}
    test = {entry.split(" ;")[0] for entry in packages("requirements-test.txt")}
    assert {name.lower() for name in wanted} <= run
    assert {name.lower() for name in extra} <= test - run


def split_lists(pyproject: str) -> tuple[str, str]:
    project, rest = pyproject.split("[project.optional-dependencies]")
    return project, rest.split("[tool.")[0]


@pytest.mark.slow
def test_a_checkout_without_anything_sets_itself_up(tmp_path):
    """For real, with the interpreter below this environment and locks that name no package: no download is needed."""
    (tmp_path / "manage.py").write_text((ROOT / "manage.py").read_text())
    for lock in ("requirements.txt", "requirements-test.txt"):
        (tmp_path / lock).write_text("")
    environment = {name: value for name, value in os.environ.items() if name not in ("NO_BOOTSTRAP", "VIRTUAL_ENV")}
    result = subprocess.run(
        [BARE_PYTHON, "manage.py", "check"], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert "Setting up .venv" in result.stderr
    assert "No module named 'django'" in result.stderr  # it went on inside: an environment with nothing in it
    assert (tmp_path / ".venv/bin/python").exists()
