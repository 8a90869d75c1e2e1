"""Settings of a donorbench installation. All that differs between shops comes from environment.py's variables."""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from shop import databases
from shop import environment as env

BASE_DIR = Path(__file__).resolve().parent.parent

DEBUG = env.flag("DEBUG")
SECRET_KEY = env.text("SECRET_KEY")
if not SECRET_KEY:
    if not DEBUG:
        raise ImproperlyConfigured(
            "SECRET_KEY is not set. Make one with\n"
            '  python3 -c "import secrets; print(secrets.token_urlsafe(50))"\n'
            "and put it into the environment as SECRET_KEY. To look around first: python3 manage.py demo. "
            "To develop: set DEBUG=1."
        )
    SECRET_KEY = "only-for-development-" + "0" * 40

# Where people reach us
BASE_URL = env.base_url("BASE_URL")
HTTPS = BASE_URL.startswith("https://")
ALLOWED_HOSTS = env.items("ALLOWED_HOSTS") or [str(urlsplit(BASE_URL).hostname)]
CSRF_TRUSTED_ORIGINS = [BASE_URL]
BEHIND_PROXY = env.flag("BEHIND_PROXY")
if BEHIND_PROXY:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

INSTALLED_APPS = [
    "shop",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",  # before staticfiles: runserver serves static files as production does
    "django.contrib.staticfiles",
    "django.forms",  # the widgets' templates, for forms drawn by our own renderer
    "django_htmx",
    "axes",
    "csp",
    "django_tasks",
    "django_tasks_db",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    # Every view asks for a sign-in unless it says @login_not_required: a forgotten guard shows nothing.
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",  # last: it turns a locked sign-in into the answer
]

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.context.shop_page",
            ],
        },
    },
]

DATABASES = {"default": databases.from_url(env.text("DATABASE_URL"), base=BASE_DIR, pool_max=env.number("DB_POOL_MAX"))}
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
DRAW_ODDS = True  # ask the worker for new odds after each change of the plan; tests ask for them where they need them

# Signing in
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = LOGIN_URL
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{validator}"}
    for validator in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = timedelta(
    minutes=15
)  # common practice, no source; the owner can unlock sooner: manage.py axes_reset
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]  # both together: a stranger cannot lock the owner out
AXES_CLIENT_IP_CALLABLE = "shop.proxy.client_ip"
AXES_LOCKOUT_TEMPLATE = "accounts/locked_out.html"
AXES_VERBOSE = False

# What browsers may do with our pages
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if HTTPS else 0  # one year, RFC 6797 section 6.1.1's example
# We answer for one host, not for the shop's other subdomains, so HSTS stays with that host.
SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]

# Files
STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT: Path | None = env.folder("STATIC_ROOT", BASE_DIR)
MEDIA_URL = "media/"
MEDIA_ROOT = env.folder("MEDIA_ROOT", BASE_DIR)
PLAIN_STATIC = "django.contrib.staticfiles.storage.StaticFilesStorage"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": PLAIN_STATIC if DEBUG else "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

# Mail
EMAIL = env.email_settings("EMAIL_URL", BASE_DIR)
globals().update(EMAIL)
DEFAULT_FROM_EMAIL = SERVER_EMAIL = env.text("EMAIL_FROM")

# Words and clocks: UTC is stored, the shop's own zone is a shop setting
LANGUAGE_CODE = "en-us"
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TEST_RUNNER = "shop.runner.PytestRunner"

LOG_LEVEL = env.choice("LOG_LEVEL", "DEBUG", "INFO", "WARNING", "ERROR")
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": LOG_LEVEL},
    # Django's own console and mail handlers are replaced by the one above.
    "loggers": {
        "django": {"handlers": [], "level": LOG_LEVEL, "propagate": True},
        "django.server": {"handlers": [], "level": LOG_LEVEL, "propagate": True},
    },
}
