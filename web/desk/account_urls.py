"""Addresses of one's own account, and of who signs in for a club."""

from django.urls import path

from . import account, sign_ins

urlpatterns = [
    path("account/", account.account, name="account"),
    path("clubs/<slug:slug>/sign-ins/", sign_ins.sign_ins, name="sign-ins"),
]
