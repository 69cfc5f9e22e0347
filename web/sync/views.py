"""Facts in and out, and what a phone carries: shapes are read here, the work is done elsewhere."""

from __future__ import annotations

from typing import Any

from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.csrf import ensure_csrf_cookie
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.parsers import BaseParser
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from matches.models import Club, Match
from matches.problems import Code, Problem, bad_field
from matches.reads.access import clubs_of, match_seen
from matches.reads.facts import PULL_MOST, fact_json, facts_page, facts_reader
from matches.reckon.decimals import digits_read
from matches.writes.facts import Outcome, device_seen, facts_store
from matches.writes.facts.shape import PROTOCOL
from matches.writes.restores import epoch_renew
from web.people import person_of
from web.problem_details import problem_body
from web.problem_shapes import PROBLEM

from . import shapes
from .cursors import Cursor, cursor_start, cursor_write
from .kinds import body_checks
from .package_shapes import PackageShape
from .packages import me_of, me_of_nobody, package_etag, package_of
from .push_counted import push_count
from .reading import FactsParser, push_read
from .session_device import device_note


class FactsView(APIView):
    """Facts pushed by phones and pulled by them."""

    parser_classes: tuple[type[BaseParser], ...] = (FactsParser,)

    @extend_schema(
        operation_id="facts_push",
        request=shapes.PushShape,
        responses={
            200: shapes.PushAnswerShape,
            **dict.fromkeys((400, 401, 403, 413, 415, 503), PROBLEM),
        },
        description="Hand in facts. At most 500 facts and 256 KiB unpacked, plain or gzip. One "
        "outcome a fact, in the same order; pointers in an outcome's problem point into that fact.",
    )
    def post(self, request: Request) -> Response:
        push = push_read(request.data)
        outcomes = facts_store(person_of(request), facts=push.facts, body_checks=body_checks())
        push_count(request, outcomes)
        device_seen(person_of(request), device=push.device, app_build=push.app)
        device_note(request, push.device)
        return Response({"protocol": PROTOCOL, "outcomes": [_outcome_json(o) for o in outcomes]})

    @extend_schema(
        operation_id="facts_pull",
        parameters=[
            OpenApiParameter("match", str, description="Only the facts of this match."),
            OpenApiParameter("club", str, description="The club's short name, for all of it."),
            OpenApiParameter("after", str, description="`next` of the page before."),
            OpenApiParameter("limit", int, description="1 to 500 facts."),
        ],
        responses={
            200: shapes.PullAnswerShape,
            **dict.fromkeys((400, 401, 404, 503), PROBLEM),
        },
        description="Read facts in the club's order. When `epoch` changes, begin again from the "
        "start: after a restore, and as soon as more or less is to be seen.",
    )
    def get(self, request: Request) -> Response:
        club, match = _pull_scope(request)
        reader = facts_reader(person_of(request), club=club, match=match)
        scope = f"match:{match.pk}" if match else "club"
        where = request.query_params.get("after", "")
        epoch = str(reader.epoch)
        counted = club.fact_counter
        after = cursor_start(where, epoch=epoch, scope=scope, counted=counted)
        if after > counted:
            # It has read facts that are not here: a copy was put back, and nobody said so.
            epoch_renew(club=club, read_to=after)
            club.refresh_from_db(fields=["epoch"])
            epoch = str(reader.epoch)
            after = cursor_start(where, epoch=epoch, scope=scope, counted=counted)
        page = facts_page(reader, after=after, limit=_limit_read(request))
        return Response(
            {
                "protocol": PROTOCOL,
                "epoch": epoch,
                "facts": [fact_json(fact, initials=page.initials) for fact in page.facts],
                "next": cursor_write(Cursor(epoch, scope, page.last)),
                "more": page.more,
            }
        )


class MatchPackageView(APIView):
    """A match as a phone takes it along."""

    @extend_schema(
        operation_id="match_package",
        parameters=[
            OpenApiParameter(
                "If-None-Match", str, OpenApiParameter.HEADER, description="The ETag you hold."
            )
        ],
        responses={
            200: PackageShape,
            304: OpenApiResponse(description="It says what it said before."),
            **dict.fromkeys((401, 404, 503), PROBLEM),
        },
    )
    def get(self, request: Request, match_id: int) -> Response:
        package = package_of(person_of(request), match_id=match_id)
        etag = package_etag(package)
        headers = {"ETag": etag, "Cache-Control": "private, no-cache"}
        if _holds(request.headers.get("If-None-Match", ""), etag):
            return Response(status=304, headers=headers)
        return Response(package, headers=headers)


@method_decorator(ensure_csrf_cookie, name="dispatch")
class MeView(APIView):
    """Who is signed in. Also sets the cookie `csrftoken`, which a session's writes need."""

    @extend_schema(
        operation_id="me",
        parameters=[
            OpenApiParameter(
                "or_nobody",
                str,
                description="Signed out, `person` is null and the lists are empty: no 401.",
            )
        ],
        responses={200: shapes.MeShape, 401: PROBLEM},
    )
    def get(self, request: Request) -> Response:
        me = me_of(person_of(request)) if request.user.is_authenticated else me_of_nobody()
        return Response(me, headers={"Cache-Control": "private, no-store"})

    def get_permissions(self) -> list[Any]:
        return [] if "or_nobody" in self.request.GET else list(super().get_permissions())


def _outcome_json(outcome: Outcome) -> dict[str, Any]:
    """Only what an outcome has: a phone reads what is there."""
    out: dict[str, Any] = {"id": outcome.id, "outcome": outcome.verdict.value}
    if outcome.cseq is not None:
        out["cseq"] = outcome.cseq
    if outcome.rivals:
        out["rivals"] = [rival.as_json() for rival in outcome.rivals]
    if outcome.problem is not None:
        p = outcome.problem
        out["problem"] = problem_body(p.code, p.detail, p.faults)
    if outcome.after is not None:
        out["after"] = outcome.after
    return out


def _pull_scope(request: Request) -> tuple[Club, Match | None]:
    """The club, and the match if one is named. Raises Problem for what the person cannot see."""
    named = request.query_params.get("match", "")
    if named:
        match = match_seen(person_of(request), match_id=_number_read(named, "match", most=10**18))
        return match.club, match
    slug = request.query_params.get("club", "").replace("\x00", "?")  # no database takes it
    clubs = clubs_of(person_of(request))
    found = list((clubs.filter(slug=slug) if slug else clubs)[:2])
    if len(found) > 1:
        words = _("You belong to several clubs: name one of them, or a match.")
        raise bad_field("/club", words)
    if not found:
        raise Problem(Code.NOT_FOUND, _("No such club among yours."))
    return found[0], None


def _limit_read(request: Request) -> int:
    return _number_read(request.query_params.get("limit", str(PULL_MOST)), "limit", most=PULL_MOST)


def _number_read(text: str, name: str, *, most: int) -> int:
    value = digits_read(text, most=most)
    if value:
        return value
    words = _("Write a whole number from 1 to %(most)s.") % {"most": most}
    raise bad_field(f"/{name}", words)


def _holds(if_none_match: str, etag: str) -> bool:
    """Whether the phone holds it already (weak comparison, RFC 9110, section 13.1.2)."""
    tags = [tag.strip().removeprefix("W/") for tag in if_none_match.split(",")]
    return "*" in tags or etag in tags
