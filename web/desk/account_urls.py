"""Addresses of one's own account, and of who signs in for a club."""

from django.urls import path

from . import account, sign_ins

urlpatterns = [
    path("account/", account.account, name="account"),
    path("account/address/<str:letter>/", account.address, name="address"),
    path("clubs/<slug:slug>/sign-ins/", sign_ins.sign_ins, name="sign-ins"),
]
