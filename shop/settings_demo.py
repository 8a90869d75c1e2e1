"""Settings of `manage.py demo`: production's rules with an invented shop on this machine.

DEBUG stays off, so pages, errors and the Content-Security-Policy are what a real shop gets. What differs: an own
database, uploads and mail under var/, a key made on first use and kept there, plain http, and style sheets served
from where they are developed, so that no collectstatic step is needed.
"""

import os
import secrets
from pathlib import Path

from shop import environment as env

DEMO_DIR = env.folder("DEMO_DIR", Path(__file__).resolve().parent.parent)
KEY_FILE = DEMO_DIR / "secret-key"

DEMO_DIR.mkdir(parents=True, exist_ok=True)
if not KEY_FILE.exists():
    KEY_FILE.touch(mode=0o600)
    KEY_FILE.write_text(secrets.token_urlsafe(50))

ADDRESS = os.environ.get("BASE_URL", "")  # the demo command tells its mail worker where the pages are
os.environ.update(
    SECRET_KEY=KEY_FILE.read_text(),
    DEBUG="0",
    BASE_URL=ADDRESS if ADDRESS.startswith("http://") else "http://localhost:8000",
    ALLOWED_HOSTS="localhost,127.0.0.1,[::1]",
    DATABASE_URL=f"sqlite:///{DEMO_DIR / 'demo.sqlite3'}",
    MEDIA_ROOT=str(DEMO_DIR / "media"),
    EMAIL_URL=f"file:{DEMO_DIR / 'mail'}",
    BEHIND_PROXY="0",
    LOG_LEVEL="WARNING",
)

from shop.settings import *

STATIC_ROOT = None
WHITENOISE_USE_FINDERS = True
STORAGES["staticfiles"] = {"BACKEND": PLAIN_STATIC}
