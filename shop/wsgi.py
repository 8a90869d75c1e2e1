"""The WSGI application for gunicorn: `gunicorn shop.wsgi --workers 2 --threads 4`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

application = get_wsgi_application()
