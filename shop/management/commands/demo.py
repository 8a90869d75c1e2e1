"""`manage.py demo`: an invented shop to look around in, made on first use and kept until --fresh."""

import errno
import os
import shutil
import signal
import subprocess
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

from django.conf import settings
from django.contrib.auth.models import User
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.servers import basehttp
from django.core.wsgi import get_wsgi_application
from django.db import DEFAULT_DB_ALIAS, connection, connections, transaction
from django.db.migrations.executor import MigrationExecutor

from shop.checks import pdf_can_be_made
from shop.permissions import ROLES

PASSWORD = "port-wren"  # noqa: S105 - known to everyone: it opens nothing but invented data
DEMO_SETTINGS = "shop.settings_demo"
STOP_S = 3  # for the worker to put its work down (our own choice)
LOOPBACK = {"localhost", "127.0.0.1", "::1"}


class Command(BaseCommand):
    help = "Makes an invented shop with its own database under var/demo, shows the sign-ins and serves it."
    requires_system_checks = ()  # half a second; the one that matters here is shown below

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="address to listen on; 0.0.0.0 lets other devices in")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--fresh", action="store_true", help="throw the demo's database away and make a new one")
        parser.add_argument("--no-serve", action="store_true", help="make the demo, then stop")

    def handle(self, *, host: str, port: int, fresh: bool, no_serve: bool, **_: Any) -> None:
        if settings.SETTINGS_MODULE != DEMO_SETTINGS:
            raise CommandError(
                "The demo keeps to its own database: start it with `manage.py demo`, without --settings."
            )
        if fresh:
            self.throw_away()
        self.make()
        for warning in pdf_can_be_made():
            self.stderr.write(f"{warning.msg}\n{warning.hint}\n")
        if not no_serve:
            self.serve(host, port)

    def say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()  # whoever reads through a pipe waits too

    def throw_away(self) -> None:
        connections.close_all()
        database = Path(connection.settings_dict["NAME"])
        for file in database.parent.glob(f"{database.name}*"):  # with SQLite's -wal and -shm
            file.unlink()
        for folder in ("media", "mail"):
            shutil.rmtree(database.parent / folder, ignore_errors=True)

    def make(self) -> None:
        """Bring the tables up to date and load the invented shop, each only where it is still to do."""
        executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            self.say("Making the demo's database ...")
            call_command("migrate", verbosity=0)
        if not User.objects.exists():
            self.say("Filling it with an invented shop ...")
            with transaction.atomic():  # whole or not at all, or the next start would find half a shop and keep it
                call_command("loaddemo", odds=True, verbosity=0)
                for user in User.objects.filter(username__in=ROLES):
                    user.set_password(PASSWORD)
                    user.save(update_fields=["password"])
        connections.close_all()

    def serve(self, host: str, port: int) -> None:
        address = f"http://{'localhost' if host in LOOPBACK or host == '0.0.0.0' else host}:{port}"  # noqa: S104
        os.environ["BASE_URL"] = settings.BASE_URL = address
        if host not in LOOPBACK:  # asked for: the invented shop may be looked at from a phone, under any name
            settings.ALLOWED_HOSTS = ["*"]

        def announce(_: object) -> None:
            self.say(f"\nThe demo shop is open at {address}")
            self.say(f"Sign in as {', '.join(ROLES[:-1])} or {ROLES[-1]}; the password of each is {PASSWORD}")
            self.say("Press Ctrl+C to stop. `manage.py demo --fresh` starts it over.\n")

        signal.signal(signal.SIGTERM, stop)
        with mail_worker():
            try:
                basehttp.run(host, port, get_wsgi_application(), ":" in host, threading=True, on_bind=announce)
            except KeyboardInterrupt:
                self.say("\nStopped.")
            except OSError as error:
                if error.errno not in (errno.EADDRINUSE, errno.EACCES, errno.EADDRNOTAVAIL):
                    raise
                raise CommandError(f"Cannot listen on {host}:{port} ({error.strerror}). Try --port 8001.") from error


def stop(*_: object) -> NoReturn:
    raise KeyboardInterrupt


@contextmanager
def mail_worker() -> Iterator[None]:
    """Works the task queue beside the server, as a real shop's worker service does."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "db_worker", "--verbosity", "0"]
    worker = subprocess.Popen(command, env={**os.environ, "DJANGO_SETTINGS_MODULE": DEMO_SETTINGS})  # noqa: S603
    try:
        yield
    finally:
        worker.terminate()
        try:
            worker.wait(STOP_S)
        except subprocess.TimeoutExpired:  # compiling its loops; what it wrote is whole
            worker.kill()
            worker.wait()
