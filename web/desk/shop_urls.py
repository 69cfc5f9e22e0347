"""Addresses of a club's shops and baits."""

from django.urls import path

from . import baits, packs, price_lists, shops

urlpatterns = [
    path("shops/<slug:slug>/", shops.shops, name="shops"),
    path("shops/<slug:slug>/<slug:key>/", shops.shop, name="shop"),
    path("shops/<slug:slug>/<slug:key>/list/", price_lists.price_list, name="price-list"),
    path(
        "shops/<slug:slug>/<slug:key>/prices.csv",
        price_lists.price_list_csv,
        name="price-list-csv",
    ),
    path("shops/<slug:slug>/<slug:key>/packs/", packs.pack_new, name="pack-new"),
    path("shops/<slug:slug>/<slug:key>/packs/<int:pack_id>/", packs.pack, name="pack"),
    path("baits/<slug:slug>/", baits.baits, name="baits"),
    path("baits/<slug:slug>/<slug:key>/", baits.bait, name="bait"),
]
