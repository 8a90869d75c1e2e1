"""The invented shop that `manage.py demo` shows: readable files, and what loads them through the app's own services."""
