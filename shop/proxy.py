"""Who is asking, when a reverse proxy may stand in front."""

import ipaddress
from contextlib import suppress

from django.conf import settings
from django.http import HttpRequest


def client_ip(request: HttpRequest) -> str | None:
    """The client's address: the last entry of X-Forwarded-For, the one our own proxy wrote, if there is a proxy.

    Entries before the last come from the client and can be forged. None where there is no address (a unix socket
    whose proxy sends none).
    """
    candidates = [str(request.META.get("REMOTE_ADDR", ""))]
    if settings.BEHIND_PROXY:
        candidates.insert(0, str(request.META.get("HTTP_X_FORWARDED_FOR", "")).rpartition(",")[2].strip())
    for candidate in candidates:
        with suppress(ValueError):
            return str(ipaddress.ip_address(candidate))
    return None
