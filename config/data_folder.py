"""Where everything lives that is made while Tieoff runs: never inside the source folder.

The folder holds the SQLite file, the secret key, uploads, printed sheets and the collected static files.
Copying it is a full backup; deleting it starts afresh.
"""

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

__all__ = ["data_folder", "secret_key"]


def data_folder(environment: Mapping[str, str]) -> Path:
    """The data folder, made (mode 0700) if it is not there: `TIEOFF_DATA`, else `~/.local/share/tieoff`.

    Raises OSError if it can be neither found nor made.
    """
    named = environment.get("TIEOFF_DATA")
    folder = Path(named).expanduser().absolute() if named else Path.home() / ".local" / "share" / "tieoff"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def secret_key(folder: Path) -> str:
    """The secret key kept in `folder`: made on first use, in a file of mode 0600, and the same ever after.

    Safe when two processes start at once: the file appears whole or not at all, and the first one wins.
    """
    path = folder / "secret-key"
    if not path.exists():
        draft = folder / f".secret-key-{os.getpid()}-{secrets.token_hex(4)}"
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(secrets.token_urlsafe(64))
        try:
            os.link(draft, path)
        except FileExistsError:
            pass  # another process made it a moment ago: that key counts
        finally:
            draft.unlink()
    return path.read_text(encoding="ascii").strip()
