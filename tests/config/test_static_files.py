"""Static files as a site serves them: scripts that import others name them as they are served."""

from __future__ import annotations

import json
import posixpath
import re
from pathlib import Path

import pytest
from django.core.files.storage import FileSystemStorage

from config.static_files import HashedStaticFiles

SOURCE = Path(__file__).parent.parent.parent / "kits" / "static"


def test_every_import_of_a_script_names_a_file_by_its_content(tmp_path: Path) -> None:
    storage = HashedStaticFiles(location=str(tmp_path), base_url="static/")
    source = FileSystemStorage(location=str(SOURCE))
    names = [path.relative_to(SOURCE).as_posix() for path in (SOURCE / "kits").rglob("*.js")]
    for name in names:
        with source.open(name) as file:
            storage.save(name, file)
    failed = [done for *_, done in storage.post_process({name: (source, name) for name in names}) if done is not True]
    assert [error for error in failed if isinstance(error, Exception)] == []
    served: dict[str, str] = json.loads((tmp_path / "staticfiles.json").read_text())["paths"]
    by_content = set(served.values())
    imports = 0
    for name in names:
        for found in re.findall(r'from "([^"]+)"', (tmp_path / served[name]).read_text()):
            assert posixpath.normpath(posixpath.join(posixpath.dirname(name), found)) in by_content, (name, found)
            imports += 1
    assert imports > 40


@pytest.mark.parametrize("name", ["django_htmx/ext/odd.js", "admin/js/odd.js"])
def test_the_packages_scripts_are_left_as_they_are(tmp_path: Path, name: str) -> None:
    storage = HashedStaticFiles(location=str(tmp_path), base_url="static/")
    (tmp_path / name).parent.mkdir(parents=True)
    (tmp_path / name).write_text('// import { a } from "./not-there.js";\n')
    done = list(storage.post_process({name: (FileSystemStorage(location=str(tmp_path)), name)}))
    assert not any(isinstance(result, Exception) for *_, result in done)
