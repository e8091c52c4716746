"""The data folder and the secret key in it."""

import stat
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from config.data_folder import data_folder, secret_key


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_folder_named_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    folder = data_folder({"TIEOFF_DATA": str(tmp_path / "a" / "b")})
    assert folder == tmp_path / "a" / "b"
    assert mode(folder) == 0o700


def test_without_a_name_it_lies_in_the_home_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_folder({}) == tmp_path / ".local" / "share" / "tieoff"


def test_a_key_is_made_once_and_read_by_its_owner_alone(tmp_path: Path) -> None:
    first = secret_key(tmp_path)
    assert len(first) >= 50
    assert secret_key(tmp_path) == first
    assert [path.name for path in tmp_path.iterdir()] == ["secret-key"]
    assert mode(tmp_path / "secret-key") == 0o600


def test_two_folders_have_two_keys(tmp_path: Path) -> None:
    keys = set()
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        keys.add(secret_key(tmp_path / name))
    assert len(keys) == 2


def test_many_starts_at_once_agree_on_one_key(tmp_path: Path) -> None:
    with ThreadPoolExecutor(16) as pool:
        keys = set(pool.map(lambda _: secret_key(tmp_path), range(64)))
    assert len(keys) == 1


def test_tests_keep_out_of_the_folder_of_whoever_runs_them(settings, tmp_path: Path) -> None:
    assert settings.DATA_DIR.name.startswith("tieoff-tests-")
    assert Path.home() not in settings.DATA_DIR.parents


def test_the_real_settings_make_the_key_on_first_run(tmp_path: Path) -> None:
    environment = {
        "PATH": "/usr/bin:/bin",
        "TIEOFF_DATA": str(tmp_path / "new"),
        "DJANGO_SETTINGS_MODULE": "config.settings",
    }
    script = "from django.conf import settings; print(settings.SECRET_KEY)"
    printed = [
        subprocess.run(
            [sys.executable, "-c", script], env=environment, check=True, capture_output=True, text=True
        ).stdout.strip()
        for _ in range(2)
    ]
    assert printed[0] == printed[1] == (tmp_path / "new" / "secret-key").read_text()
