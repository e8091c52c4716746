"""Settings under test: the real ones, with a data folder of their own that is gone afterwards.

Loaded by pytest-django before any conftest, so that no test can touch the folder of the person who runs it.
"""

import atexit
import os
import shutil
import tempfile

_folder = tempfile.mkdtemp(prefix="tieoff-tests-")
_maker = os.getpid()


def _clear() -> None:
    if os.getpid() == _maker:  # not in a child that was forked and inherits this
        shutil.rmtree(_folder, ignore_errors=True)


atexit.register(_clear)
os.environ["TIEOFF_DATA"] = _folder

from config.settings import *  # noqa: E402, F403
from config.settings import DATA_DIR, DATABASES, STORAGES  # noqa: E402

# Made to be slow, so that passwords are hard to guess; no test needs that.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# Found where they lie, without collecting them first.
STORAGES = {**STORAGES, "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    # A file, as in earnest: a database in memory locks in another way when a browser and a test share it.
    DATABASES["default"]["TEST"] = {"NAME": DATA_DIR / "test.sqlite3"}
