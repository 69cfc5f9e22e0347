"""Addresses of one's own account, and of who signs in for a club."""

from django.urls import path

from . import account, home, second_factor, sign_ins

urlpatterns = [
    path("account/", account.account, name="account"),
    path("account/address/<str:letter>/", account.address, name="address"),
    path("account/codes/", second_factor.second_factor, name="second-factor"),
    path("account/notices/", home.notices_away, name="notices"),
    path("clubs/<slug:slug>/sign-ins/", sign_ins.sign_ins, name="sign-ins"),
]
