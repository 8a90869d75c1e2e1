from django.apps import AppConfig
from django.core.checks import Tags, register

from shop import checks


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Shop"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        register(checks.pdf_can_be_made)
        register(checks.uploads_can_be_kept, Tags.files)
        register(checks.people_reach_us_safely, Tags.security, deploy=True)
        register(checks.mail_leaves_the_machine, deploy=True)
