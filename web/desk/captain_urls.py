"""Addresses of the captain's and members' pages."""

from django.urls import path

from . import (
    bags,
    captain,
    kitty,
    mixing,
    order_page,
    order_sheets,
    plan_giving,
    suggested,
    throws,
    where,
    why,
)

urlpatterns = [
    path("plans/<int:match_id>/", captain.my_plan, name="plan"),
    path("plans/<int:match_id>/entries/<int:entry_id>/", captain.member_plan, name="member-plan"),
    path("plans/<int:match_id>/suggestion/", suggested.my_suggestion, name="suggestion"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/suggestion/",
        suggested.member_suggestion,
        name="member-suggestion",
    ),
    path("plans/<int:match_id>/mixing/", mixing.my_mixing, name="mixing"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/mixing/",
        mixing.member_mixing,
        name="member-mixing",
    ),
    path("plans/<int:match_id>/throws/", throws.my_throws, name="throws"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/throws/",
        throws.member_throws,
        name="member-throws",
    ),
    path("plans/<int:match_id>/where/", where.my_where, name="where"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/where/",
        where.member_where,
        name="member-where",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/", captain.team, name="team"),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/plans/give/",
        plan_giving.plan_giving,
        name="plan-giving",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/order/", order_page.order, name="order"),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/state.json",
        order_page.order_stands,
        name="order-stands",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/shops.txt",
        order_sheets.shops_text,
        name="order-text",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/shops.csv",
        order_sheets.shops_csv,
        name="order-csv",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/print/",
        order_sheets.shops_print,
        name="order-print",
    ),
    path(
        "teams/<int:team_id>/matches/<int:match_id>/order/calendar.ics",
        order_sheets.calendar,
        name="order-calendar",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/order/why/", why.why, name="why"),
    path("plans/<int:match_id>/statement/", kitty.my_statement, name="statement"),
    path(
        "plans/<int:match_id>/entries/<int:entry_id>/statement/",
        kitty.member_statement,
        name="member-statement",
    ),
    path("teams/<int:team_id>/matches/<int:match_id>/kitty/", kitty.kitty, name="kitty"),
    path("teams/<int:team_id>/matches/<int:match_id>/bags/", bags.bags, name="bags"),
    path("teams/<int:team_id>/matches/<int:match_id>/bags/labels/", bags.labels, name="labels"),
]
