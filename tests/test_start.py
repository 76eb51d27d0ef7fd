"""The commands that start and test Bowlwright, without installing anything."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

import start

ROOT = Path(__file__).resolve().parent.parent


def test_old_python_is_refused_with_what_to_install():
    assert "3.11 or newer; this is 3.10" in start.python_problem((3, 10, 14), True, "Debian or Ubuntu")
    assert "apt-get install python3 " in start.python_problem((3, 10, 14), True, "Debian or Ubuntu")
    assert start.python_problem((3, 11, 0), True, "Debian or Ubuntu") == ""
    assert start.python_problem((4, 0, 0), True, "") == ""


def test_python_without_venv_is_refused_with_the_package_of_this_python():
    problem = start.python_problem((3, 11, 2), False, "Debian or Ubuntu")
    assert f"apt-get install python3.{sys.version_info.minor}-venv" in problem


@pytest.mark.parametrize(
    ("system", "told", "not_told"),
    [
        ("Debian or Ubuntu", ["libpangoft2-1.0-0 libharfbuzz-subset0"], ["dnf", "brew"]),
        ("Fedora", ["sudo dnf install pango"], ["apt-get", "brew"]),
        ("macOS", ["brew install pango"], ["apt-get", "dnf"]),
        ("", ["apt-get install", "dnf install", "brew install"], []),
    ],
)
def test_advice_fits_the_system_or_names_them_all(system, told, not_told):
    text = start.advice("pdf", system)
    assert all(words in text for words in told)
    assert not any(words in text for words in not_told)


def test_every_need_has_advice_for_the_same_systems():
    assert {tuple(systems) for systems in start.WHAT_TO_TYPE.values()} == {
        ("Debian or Ubuntu", "Fedora", "macOS")
    }


def test_other_projects_settings_are_taken_out(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    environment = {
        "PYTHONHOME": "/x",
        "PYTHONPATH": "/x",
        "VIRTUAL_ENV": "/x",
        "BOWLWRIGHT_DATA": "my data",
        "HOME": "/h",
    }
    start.tidy(environment)
    assert environment == {"BOWLWRIGHT_DATA": str(tmp_path / "my data"), "HOME": "/h"}


def test_tests_never_see_the_practices_data_or_database():
    practice = {
        "BOWLWRIGHT_DATA": "/practice",
        "DATABASE_URL": "postgres://host/practice",
        "DEBUG": "1",
        "HOME": "/h",
    }
    assert start.for_tests(practice, "/thrown/away") == {"BOWLWRIGHT_DATA": "/thrown/away", "HOME": "/h"}


def test_tests_use_a_database_server_named_for_them():
    environment = {"DATABASE_URL": "postgres://host/practice", "TEST_DATABASE_URL": "postgres://host/tests"}
    assert start.for_tests(environment, "/t")["DATABASE_URL"] == "postgres://host/tests"


def test_fingerprint_follows_names_and_contents_not_order(tmp_path):
    one, two = tmp_path / "one.csv", tmp_path / "two.csv"
    one.write_text("1")
    two.write_text("2")
    before = start.fingerprint([one, two])
    assert start.fingerprint([two, one]) == before
    two.write_text("3")
    assert start.fingerprint([one, two]) != before
    two.write_text("2")
    assert start.fingerprint([one, two]) == before
    assert start.fingerprint([one, two.rename(tmp_path / "three.csv")]) != before


@pytest.fixture
def machine(tmp_path, monkeypatch):
    """A lock file and a .venv not made yet; `ran` lists what was run, `pip_answer` is pip's exit code."""
    machine = SimpleNamespace(
        lock=tmp_path / "requirements.txt", venv=tmp_path / ".venv", ran=[], pip_answer=0
    )
    machine.lock.write_text("django==5.2.19")

    def run(command, **_):
        words = [str(word) for word in command]
        name = "make" if "--clear" in words else "pip" if "--require-hashes" in words else "probe"
        machine.ran.append(name)
        machine.venv.mkdir(exist_ok=True)
        if name == "make":
            (machine.venv / "installed.json").unlink(missing_ok=True)
        return SimpleNamespace(returncode=machine.pip_answer if name == "pip" else 0, stdout="", stderr="")

    monkeypatch.setattr(start.subprocess, "run", run)
    return machine


def install(machine):
    machine.ran.clear()
    start.install(machine.lock, machine.venv)
    return machine.ran


def test_first_start_makes_the_venv_and_installs(machine):
    assert install(machine) == ["make", "pip"]


def test_second_start_installs_nothing(machine):
    install(machine)
    assert install(machine) == ["probe"]


def test_changed_lock_installs_into_the_same_venv(machine):
    install(machine)
    machine.lock.write_text("django==5.2.20")
    assert install(machine) == ["probe", "pip"]
    assert install(machine) == ["probe"]


def test_interrupted_installation_starts_over(machine):
    machine.pip_answer = 1
    with pytest.raises(SystemExit, match="could not be installed"):
        install(machine)
    assert start.installed_locks(machine.venv) == {}
    machine.pip_answer = 0
    assert install(machine) == ["make", "pip"]


def test_interrupted_upgrade_starts_over(machine):
    install(machine)
    machine.lock.write_text("django==5.2.20")
    machine.pip_answer = 1
    with pytest.raises(SystemExit):
        install(machine)
    machine.pip_answer = 0
    assert install(machine) == ["make", "pip"]


def test_second_lock_keeps_what_the_first_installed(machine, tmp_path):
    install(machine)
    start.install(tmp_path / "requirements.txt", machine.venv)
    tests = tmp_path / "requirements-test.txt"
    tests.write_text("pytest==9")
    start.install(tests, machine.venv)
    assert set(start.installed_locks(machine.venv)) == {"requirements.txt", "requirements-test.txt"}
    assert install(machine) == ["probe"]


@pytest.mark.parametrize("note", ["", "{", "requirements.txt"])
def test_damaged_note_counts_as_nothing_installed(tmp_path, note):
    (tmp_path / "installed.json").write_text(note)
    assert start.installed_locks(tmp_path) == {}


def test_venv_without_a_python_does_not_work(tmp_path):
    assert not start.venv_works(tmp_path)
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "python").symlink_to("/gone/python3")
    assert not start.venv_works(tmp_path)
    (tmp_path / "bin" / "python").unlink()
    (tmp_path / "bin" / "python").symlink_to(shutil.which("false"))
    assert not start.venv_works(tmp_path)


def test_options_have_defaults():
    assert vars(start.read_options([])) == {"port": 8000, "no_demo": False}
    assert vars(start.read_options(["--no-demo", "--port", "8080"])) == {"port": 8080, "no_demo": True}


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty", "8.5", "²"])
def test_impossible_port_is_refused(port, capsys):
    with pytest.raises(SystemExit):
        start.read_options([f"--port={port}"])
    assert "a port is a number from 1 to 65535" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["tset"], ["--nodemo"], ["--no"], ["--port", "8001", "test"]])
def test_mistyped_arguments_are_refused(arguments):
    with pytest.raises(SystemExit):
        start.read_options(arguments)


def test_pytest_comes_last_with_the_further_arguments():
    assert start.checks(["-k", "energy"])[-1] == ("pytest", ["-m", "pytest", "-k", "energy"])


@pytest.mark.parametrize(("failing", "answer"), [("format", 1), ("nothing", 0)])
def test_every_check_runs_whatever_the_others_answer(failing, answer, monkeypatch, capsys):
    ran = []

    def run(command, cwd, env):
        ran.append(command)
        assert Path(env["BOWLWRIGHT_DATA"]).is_dir()
        return SimpleNamespace(returncode=int(failing in command))

    for name in ("install", "need_pdf_libraries", "need_browser"):
        monkeypatch.setattr(start, name, lambda *_: None)
    monkeypatch.setattr(start.subprocess, "run", run)
    assert start.test([]) == answer
    assert len(ran) == len(start.checks([]))
    assert ("Failed: ruff format" in capsys.readouterr().out) == (answer == 1)


def test_apt_is_left_alone_without_the_right_to_use_it(monkeypatch):
    monkeypatch.setattr(start, "administrator", lambda: None)
    monkeypatch.setattr(start.subprocess, "run", lambda *_, **__: pytest.fail("something was run"))
    start.apt_install(["chromium"])


def copy_into(folder: Path) -> Path:
    folder.mkdir()
    for name in ("bowlwright", "start.py"):
        shutil.copy(ROOT / name, folder)
    return folder / "bowlwright"


def run(*command, cwd, **environment):
    return subprocess.run(
        command, cwd=cwd, env={**os.environ, **environment}, capture_output=True, text=True, timeout=30
    )


def test_help_from_another_folder_through_a_symlink_and_a_path_with_spaces(tmp_path):
    command = copy_into(tmp_path / "a practice's folder")
    link = tmp_path / "bowl"
    link.symlink_to(command)
    foreign = {"PYTHONHOME": "/nowhere", "PYTHONPATH": "/nowhere", "VIRTUAL_ENV": "/nowhere"}
    for called in (str(command), str(link), "./bowl"):
        answer = run(called, "--help", cwd=tmp_path, **foreign)
        assert answer.returncode == 0, answer.stderr
        for word in ("--port", "--no-demo", "test", "BOWLWRIGHT_DATA", "DATABASE_URL"):
            assert word in answer.stdout
    assert not (command.parent / ".venv").exists()


@pytest.mark.parametrize(
    ("python", "told"),
    [('case "$2" in -c) exit 1;; esac; echo "given: $2 $3"', "start.py --help"), ("", "needs Python 3.11")],
)
def test_a_machine_without_a_new_enough_python(tmp_path, python, told):
    command = copy_into(tmp_path / "bowl")
    programs = tmp_path / "programs"
    programs.mkdir()
    for name in ("sh", "dirname", "readlink"):
        (programs / name).symlink_to(shutil.which(name))
    if python:
        (programs / "python3").write_text(f"#!{programs}/sh\n{python}\n")
        (programs / "python3").chmod(0o755)
    answer = run(str(command), "--help", cwd=tmp_path, PATH=str(programs))
    assert told in answer.stdout + answer.stderr


def test_the_check_script_runs_the_tests_from_the_root_wherever_it_is_called(tmp_path):
    root = tmp_path / "a b"
    (root / ".ci").mkdir(parents=True)
    shutil.copy(ROOT / ".ci" / "run", root / ".ci")
    (root / "bowlwright").write_text('#!/bin/sh\npwd\necho "$# $1"\nexit 7\n')
    (root / "bowlwright").chmod(0o755)
    answer = run(str(root / ".ci" / "run"), cwd="/")
    assert answer.stdout.splitlines() == [str(root), "1 test"]
    assert answer.returncode == 7


def test_both_locks_agree():
    """The test lock holds all that the practice runs, so the tests run on the same versions."""

    def pins(name):
        return {line for line in (ROOT / name).read_text().splitlines() if "==" in line}

    assert pins("requirements.txt")
    assert pins("requirements.txt") <= pins("requirements-test.txt")
