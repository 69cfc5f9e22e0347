"""The invented club, from nothing to a served site, with a real worker working out its order."""

from __future__ import annotations

import os
import signal
import sys
import time
from pathlib import Path
from types import FrameType
from typing import Any, Final, NoReturn
from urllib.error import URLError
from urllib.request import urlopen

import segno
from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone
from django.utils.translation import gettext as _

from bait.models import Order, OrderVersion
from bait.reads.orders import version_whole
from bait.writes.orders import order_ask
from matches.models import WorkRequest, WorkState
from web.demo import DEMO_PASSWORD, Demo, demo_load
from web.demo.table import order_lines
from web.processes import ProcessEnded, Processes, free_port, lan_address

WAIT_SECONDS: Final = 90.0
LOOK_SECONDS: Final = 0.1
INSIDE: Final = "DRAWBAG_DEMO"


class Command(BaseCommand):
    help = "Load the invented club, work out its order with a Celery worker, and serve it."
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="End after the order is printed.")

    def handle(self, *args: Any, **options: Any) -> None:
        once = options["once"] or os.environ.get("DEMO_ONCE") == "1"
        if not os.environ.get(INSIDE):
            _start_over(once=once)
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, _interrupt)
        try:
            self._run(once=once)
        except KeyboardInterrupt:
            self.stdout.write(_("\nStopped: every process of the demo has ended."))
        except ProcessEnded as error:
            raise CommandError(str(error)) from error

    def _run(self, *, once: bool) -> None:
        demo = self._prepare()
        logs = Path(settings.VAR_DIR) / "log"
        port = int(os.environ["PORT"])
        with Processes(logs=logs, environment=os.environ) as processes:
            _processes_start(processes, port=port)
            self.stdout.write(
                _("Worker, beat and web started; their logs are in %(logs)s.") % {"logs": logs}
            )
            version = self._order_await(demo, processes=processes)
            self.stdout.write("")
            for line in order_lines(version):
                self.stdout.write(line)
            _web_await(processes, port=port)
            if once:
                return
            self._address_tell(demo, port=port)
            while True:
                processes.check()
                time.sleep(1)

    def _prepare(self) -> Demo:
        call_command("migrate", verbosity=0)
        call_command("bank_build", verbosity=0)
        demo = demo_load(today=timezone.localdate())
        self.stdout.write(
            _("%(club)s is in %(place)s, apart from any database of yours.")
            % {"club": demo.club, "place": settings.VAR_DIR}
        )
        return demo

    def _order_await(self, demo: Demo, *, processes: Processes) -> OrderVersion:
        """Ask for the order as the captain does, and show how far the worker is."""
        order, work = order_ask(demo.captain, team=demo.team, match=demo.saturday)
        self.stdout.write(
            _("%(captain)s asks for the order of %(team)s for %(match)s.")
            % {
                "captain": demo.captain.get_full_name(),
                "team": demo.team,
                "match": demo.saturday,
            }
        )
        until, told = time.monotonic() + WAIT_SECONDS, ""
        while time.monotonic() < until:
            processes.check()
            work = WorkRequest.objects.get(pk=work.pk)
            told = self._progress_tell(work, told=told)
            if work.state == WorkState.DONE:
                current = Order.objects.select_related("current").get(pk=order.pk).current
                if current is not None:
                    return version_whole(current)
            if work.state == WorkState.FAILED:
                raise CommandError(work.problem)
            time.sleep(LOOK_SECONDS)
        raise CommandError(_("No worker answered: look at worker.log."))

    def _progress_tell(self, work: WorkRequest, *, told: str) -> str:
        words = f"  {work.percent:3d} %  {work.get_state_display()}  {work.progress}".rstrip()
        if words != told:
            self.stdout.write(words)
            self.stdout.flush()
        return words

    def _address_tell(self, demo: Demo, *, port: int) -> None:
        here, phone = f"http://localhost:{port}/", os.environ.get("DEMO_LAN", "")
        self.stdout.write(_("\nOpen %(address)s") % {"address": here})
        if phone:
            address = f"http://{phone}:{port}/"
            self.stdout.write(
                _("On a phone in the same network: %(address)s") % {"address": address}
            )
            segno.make(address, error="m").terminal(out=sys.stdout, compact=True)
            self.stdout.write(
                _(
                    "Offline the phone app needs https or localhost (browsers insist): over this "
                    "address a phone shows every page but keeps nothing without signal."
                )
            )
        self.stdout.write(_("\nSign in with the password %(word)s:") % {"word": DEMO_PASSWORD})
        for name, what in (
            ("maud", _("captain: the team's plans and order for Saturday")),
            ("idris", _("secretary: draw, weigh board, what disagrees, results")),
            ("tamsin", _("weigher: weighs in today's match on the phone app at /bank/")),
            ("wilmot", _("member: own plan, own bag; fishes today")),
        ):
            self.stdout.write(f"  {name:<8}{what}")
        self.stdout.write(
            _("The published result needs no account: %(address)sboard/%(club)s/%(match)s/")
            % {"address": here, "club": demo.club.slug, "match": demo.finished.slug}
        )
        self.stdout.write(_("Ctrl-C ends everything."))
        self.stdout.flush()


def _start_over(*, once: bool) -> NoReturn:
    """Run this command again with settings of its own, so that no real database is touched."""
    port, lan = free_port(int(os.environ.get("PORT") or 8000)), lan_address()
    own = {
        INSIDE: "1",
        "VAR_DIR": str(Path(settings.VAR_DIR).resolve() / "demo"),
        "DATABASE_URL": "",
        "BROKER_URL": "",
        "SECRET_KEY": "",
        "DEBUG": "",
        "BEHIND_PROXY": "",
        "PORT": str(port),
        "SITE_URL": f"http://localhost:{port}",
        "ALLOWED_HOSTS": lan or "",
        "DEMO_LAN": lan or "",
        "PYTHONUNBUFFERED": "1",
        "PYTHONUTF8": "1",
        "DJANGO_SETTINGS_MODULE": "web.settings",
        "PYTHONPATH": os.pathsep.join(
            filter(None, [str(settings.BASE_DIR), os.environ.get("PYTHONPATH")])
        ),
    }
    words = [sys.executable, str(settings.BASE_DIR / "manage.py"), "demo"]
    sys.stdout.flush()
    os.execve(sys.executable, [*words, "--once"] if once else words, {**os.environ, **own})


def _interrupt(number: int, frame: FrameType | None) -> NoReturn:
    """A request to end is a Ctrl-C, whoever sent it."""
    raise KeyboardInterrupt


def _processes_start(processes: Processes, *, port: int) -> None:
    celery = ["-A", "web"]
    processes.start(
        "worker",
        module="celery",
        words=[*celery, "worker", "--concurrency", "1", "--loglevel", "INFO", "--hostname", "demo"],
    )
    processes.start(
        "beat", module="celery", words=[*celery, "beat", "--pidfile", "", "--loglevel", "INFO"]
    )
    processes.start(
        "web",
        module="gunicorn",
        words=[
            *("--config", str(settings.BASE_DIR / "web/deploy/gunicorn.conf.py")),
            *("--bind", f"0.0.0.0:{port}", "--workers", "2", "web.wsgi"),
        ],
    )


def _web_await(processes: Processes, *, port: int) -> None:
    """Until the site answers. Raises CommandError when it does not."""
    until = time.monotonic() + WAIT_SECONDS
    while time.monotonic() < until:
        processes.check()
        try:
            with urlopen(f"http://127.0.0.1:{port}/healthz", timeout=5) as answer:
                if answer.status == 200:
                    return
        except (URLError, OSError):
            time.sleep(LOOK_SECONDS)
    raise CommandError(_("The site did not answer: look at web.log."))
