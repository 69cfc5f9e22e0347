"""Addresses of a match's pools and prizes."""

from django.urls import path

from . import payouts, pool, pools

urlpatterns = [
    path("matches/<int:match_id>/pools/", pools.pools, name="pools"),
    path("matches/<int:match_id>/pools/new/", pools.pool_new, name="pool-new"),
    path("matches/<int:match_id>/pools/<int:pool_id>/", pool.pool, name="pool"),
    path("matches/<int:match_id>/payouts/", payouts.payouts, name="payouts"),
    path(
        "matches/<int:match_id>/payouts/<int:entry_id>/",
        payouts.prize_receipt,
        name="prize-receipt",
    ),
]
