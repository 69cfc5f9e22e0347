"""What the bank app's manifest says (W3C, Web Application Manifest): name, colours, pictures."""

from __future__ import annotations

from typing import Any, Final

from django.utils.translation import gettext_lazy as _

#: Settings of django-pwa.
PWA: Final[dict[str, Any]] = {
    "PWA_APP_NAME": "Drawbag",
    "PWA_APP_SHORT_NAME": "Drawbag",
    "PWA_APP_DESCRIPTION": _("Log weigh-ins and feed on the bank, with or without signal"),
    "PWA_APP_THEME_COLOR": "#0d3b3a",
    "PWA_APP_BACKGROUND_COLOR": "#f5f1e6",
    "PWA_APP_DISPLAY": "standalone",
    "PWA_APP_SCOPE": "/",
    "PWA_APP_ORIENTATION": "any",
    "PWA_APP_START_URL": "/bank/",
    "PWA_APP_STATUS_BAR_COLOR": "default",
    "PWA_APP_DIR": "ltr",
    "PWA_APP_LANG": "en-GB",
    "PWA_APP_ICONS": [
        {"src": "/static/bank/icons/bag-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "/static/bank/icons/bag-512.png", "sizes": "512x512", "type": "image/png"},
        {
            "src": "/static/bank/icons/bag-mask-512.png",
            "sizes": "512x512",
            "type": "image/png",
            "purpose": "maskable",
        },
    ],
    "PWA_APP_ICONS_APPLE": [{"src": "/static/bank/icons/bag-180.png", "sizes": "180x180"}],
    "PWA_APP_SPLASH_SCREEN": [],
    "PWA_APP_SCREENSHOTS": [],
}
