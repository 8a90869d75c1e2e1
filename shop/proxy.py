"""Who is asking, when a reverse proxy may stand in front."""

from django.conf import settings
from django.http import HttpRequest


def client_ip(request: HttpRequest) -> str:
    """The client's address: the last entry of X-Forwarded-For, the one our own proxy wrote, if there is a proxy.

    Entries before the last come from the client and can be forged.
    """
    if settings.BEHIND_PROXY:
        forwarded = str(request.META.get("HTTP_X_FORWARDED_FOR", "")).rpartition(",")[2].strip()
        if forwarded:
            return forwarded
    return str(request.META["REMOTE_ADDR"])
