"""What is installed is what was pinned and looked through.

pip's secure installs (pip documentation, "Secure installs"): every requirement is pinned and has a hash,
what it needs in turn, too.
"""

import re
import zipfile
from importlib import metadata
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.licences import licences, pinned

ROOT = Path(__file__).parents[2]
LOCKS = ["requirements.txt", "tests/requirements.txt"]


def entries(lock):
    """Requirement and hashes of each line of a lock file."""
    lines = (ROOT / lock).read_text("utf-8").replace("\\\n", " ").splitlines()
    for line in lines:
        if line.strip() and not line.strip().startswith("#"):
            requirement = Requirement(line.partition(" --hash")[0])
            yield requirement, re.findall(r"--hash=sha256:[0-9a-f]{64}\b", line)


def pinned_version(requirement):
    [pin] = requirement.specifier
    assert pin.operator == "==", requirement
    return pin.version


def is_for_here(requirement):
    """Not for another system or Python."""
    return requirement.marker is None or requirement.marker.evaluate()


def asked_for(path):
    lines = (ROOT / path).read_text("utf-8").splitlines()
    return [Requirement(line) for line in lines if line and not line.startswith("-r")]


@pytest.mark.parametrize("lock", LOCKS)
def test_every_package_is_pinned_with_hashes_and_installed_as_pinned(lock):
    found = list(entries(lock))
    assert len(found) == len({each.name for each, _ in found}) > 50
    for each, hashes in found:
        assert hashes, each
        version = pinned_version(each)
        if is_for_here(each):
            assert metadata.version(each.name) == version


@pytest.mark.parametrize("lock", LOCKS)
def test_what_a_pinned_package_needs_is_pinned_too(lock):
    versions = {each.name: pinned_version(each) for each, _ in entries(lock)}
    for path in ["requirements.in", "tests/requirements.in"][: LOCKS.index(lock) + 1]:
        for each in asked_for(path):
            assert each.specifier.contains(versions[canonicalize_name(each.name)]), each
    for name in [each.name for each, _ in entries(lock) if is_for_here(each)]:
        for need in map(Requirement, metadata.requires(name) or []):
            if need.marker is None or need.marker.evaluate({"extra": ""}):
                version = versions[canonicalize_name(need.name)]
                assert need.specifier.contains(version), f"{name} needs {need}"


def test_the_tests_run_on_what_production_has():
    of_tests = {each.name: (each, hashes) for each, hashes in entries(LOCKS[1])}
    for each, hashes in entries(LOCKS[0]):
        assert of_tests[each.name] == (each, hashes)


def test_the_install_script_takes_nothing_without_its_hash():
    script = (ROOT / ".ci/install").read_text("utf-8").replace("\\\n", " ")
    installs = [line for line in script.splitlines() if "pip" in line and " install " in line]
    assert len(installs) == 1
    assert "--require-hashes" in installs[0]
    assert (
        "--only-binary :all:" in installs[0]
    )  # what is built runs its own code while it is installed


def test_the_list_of_licences_is_up_to_date():
    written = (ROOT / "LICENCES").read_text("utf-8").split("\n\n", 1)[1].splitlines()
    by_name = {line.split()[0]: line for line in written}
    here = licences()
    assert len(here) > 50
    assert by_name | here == by_name, "run: sh .ci/lock"
    assert by_name.keys() <= pinned().keys()
    assert "UNKNOWN" not in "".join(written)


@pytest.fixture
def index_with(tmp_path, monkeypatch):
    """pip's index is a folder with these packages, of which each is nothing but its name."""
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path))
    monkeypatch.setenv("PIP_CONFIG_FILE", "/dev/null")

    def index_with(*packages):
        for name, version in packages:
            folder = f"{name}-{version}.dist-info"
            with zipfile.ZipFile(tmp_path / f"{name}-{version}-py3-none-any.whl", "w") as wheel:
                head = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
                wheel.writestr(f"{folder}/METADATA", head)
                wheel.writestr(f"{folder}/WHEEL", "Wheel-Version: 1.0\nTag: py3-none-any\n")
                wheel.writestr(f"{folder}/RECORD", "")

    return index_with


def test_what_is_out_of_date_is_listed_with_what_the_requirements_let_in(index_with, capsys):
    index_with(("Django", "5.2.99"), ("Django", "9.1"), ("segno", "77.0"), ("pytest", "99.0"))
    call_command("outdated")
    said = capsys.readouterr().out
    lines = {line.split()[0]: line.split()[1:] for line in said.splitlines() if line}
    versions = pinned()
    assert lines["django"] == [versions["django"], "5.2.99", "9.1"]  # 5.2 has long-term support
    assert lines["segno"] == [versions["segno"], "77.0", "77.0"]
    assert "pytest" not in said  # the studio does not run it
    assert f"2 of {len(versions)}." in said


def test_nothing_is_said_to_be_new_where_nothing_could_be_asked(monkeypatch, capsys):
    monkeypatch.setenv("PIP_NO_INDEX", "no truth value")
    with pytest.raises(CommandError, match="pip could not say"):
        call_command("outdated")
    assert not capsys.readouterr().out
