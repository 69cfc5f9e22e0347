"""Every address of the site."""

from django.contrib import admin
from django.contrib.auth import views as auth
from django.urls import include, path

from . import (
    api_page,
    choices,
    join,
    light,
    own_calendar,
    privacy,
    recover,
    recover_mail,
    second_step,
    security_txt,
    views,
)
from .running import views as running
from .sign_in import SignInView

urlpatterns = [
    path("", views.home, name="home"),
    path("healthz", views.health, name="health"),
    path("readyz", running.ready, name="ready"),
    path("metrics", running.metrics, name="metrics"),
    path(".well-known/security.txt", security_txt.security_txt, name="security-txt"),
    path("sign-in/", SignInView.as_view(), name="sign-in"),
    path("sign-in/code/", second_step.second_step, name="second-step"),
    path("recover/", recover.recover, name="recover"),
    path("recover/mail/", recover_mail.recover_mail, name="recover-mail"),
    path(
        "recover/mail/<uidb64>/<token>/",
        recover_mail.RecoverLinkView.as_view(),
        name="recover-link",
    ),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("join/<str:code>/", join.join, name="join"),
    path("language/", choices.choices, name="language"),
    path("light/", light.light, name="light"),
    path("privacy/", privacy.privacy, name="privacy"),
    path("admin/", admin.site.urls),
    path("api/", api_page.api_page, name="api-page"),
    path("api/v1/", include("web.api.urls")),
    path("desk/", include("web.desk.urls")),
    path("board/", include("web.board.urls")),
    path("calendar/<str:secret>.ics", own_calendar.feed, name="own-calendar"),
    path("bank/", include("web.bank.urls")),
    path("", include("pwa.urls")),
]

handler404 = "web.problem_pages.not_found"
