"""Settings of the tests: production's rules, cheaper passwords, tasks run where they are enqueued.

`manage.py test` and plain pytest both choose this module. DATABASE_URL may name PostgreSQL; the default is SQLite
in memory.
"""

import os

os.environ["SECRET_KEY"] = "only-for-tests-" + "0" * 40
os.environ["DEBUG"] = "0"
os.environ["BASE_URL"] = "http://testserver"
os.environ["ALLOWED_HOSTS"] = "testserver,localhost"
os.environ["EMAIL_URL"] = "console:"
os.environ["LOG_LEVEL"] = "WARNING"
os.environ["BEHIND_PROXY"] = "0"
os.environ["DB_POOL_MAX"] = "12"  # eight tills, and those who look on
os.environ.setdefault("DATABASE_URL", "sqlite:///:memory:")

from shop.settings import *

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
    "staticfiles": {"BACKEND": PLAIN_STATIC},
}
STATIC_ROOT = None
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = True  # look files up when asked for, or every Client() walks them all
TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}
MIDDLEWARE = ["tests.one_at_a_time.one_at_a_time", *MIDDLEWARE]
DRAW_ODDS = False
