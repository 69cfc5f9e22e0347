"""Which ways of asking a page of the site takes."""

from __future__ import annotations

from django.views.decorators.http import require_http_methods

#: It is looked at, and its form is sent to the same address.
shown_and_sent = require_http_methods(["GET", "HEAD", "POST"])
