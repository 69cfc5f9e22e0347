"""The app's manifest against the W3C's Web Application Manifest.

The schema below is written from the recommendation's members (W3C Working Draft "Web Application
Manifest", section 1), and from "Manifest Image Resource" for the icons.
"""

from __future__ import annotations

import re
from typing import Any
from urllib.parse import urljoin, urlsplit

import pytest
from django.test import Client
from jsonschema import Draft202012Validator

DISPLAYS = ["fullscreen", "standalone", "minimal-ui", "browser"]  # section 1.8, display modes
ORIENTATIONS = [  # Screen Orientation, OrientationLockType
    *("any", "natural", "landscape", "portrait", "portrait-primary"),
    *("portrait-secondary", "landscape-primary", "landscape-secondary"),
]
COLOUR = {"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"}
URL = {"type": "string", "minLength": 1}
IMAGE = {
    "type": "object",
    "required": ["src"],
    "additionalProperties": False,
    "properties": {
        "src": URL,
        "sizes": {"type": "string", "pattern": r"^(any|\d+x\d+)( (any|\d+x\d+))*$"},
        "type": {"type": "string", "pattern": r"^image/[a-z0-9.+-]+$"},
        "purpose": {
            "type": "string",
            "pattern": "^(any|maskable|monochrome)( (any|maskable|monochrome))*$",
        },
    },
}
MANIFEST: dict[str, Any] = {
    "type": "object",
    "required": ["name", "icons", "start_url", "display"],
    "additionalProperties": False,
    "properties": {
        "name": {"type": "string", "minLength": 1},
        "short_name": {"type": "string", "minLength": 1, "maxLength": 12},
        "description": {"type": "string"},
        "id": URL,
        "start_url": URL,
        "scope": URL,
        "display": {"enum": DISPLAYS},
        "orientation": {"enum": ORIENTATIONS},
        "theme_color": COLOUR,
        "background_color": COLOUR,
        "dir": {"enum": ["ltr", "rtl", "auto"]},
        "lang": {"type": "string", "pattern": "^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$"},
        "icons": {"type": "array", "minItems": 1, "items": IMAGE},
        "screenshots": {"type": "array", "items": IMAGE},
        "shortcuts": {"type": "array"},
        # Not of the recommendation; browsers pass over it, and its writer always adds it.
        "status_bar": {"type": "string"},
    },
}


@pytest.fixture
def manifest(client: Client) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/manifest.json").json()
    return found


def test_the_manifest_has_the_members_of_the_recommendation(manifest: dict[str, Any]) -> None:
    Draft202012Validator.check_schema(MANIFEST)
    faults = [error.message for error in Draft202012Validator(MANIFEST).iter_errors(manifest)]
    assert faults == []


def test_the_app_starts_within_its_scope(manifest: dict[str, Any]) -> None:
    """Section 1.5 (start_url is of the same origin) and "within scope" of 1.6."""
    base = "https://drawbag.example/manifest.json"
    start, scope = (urlsplit(urljoin(base, manifest[key])) for key in ("start_url", "scope"))
    assert start.netloc == scope.netloc == "drawbag.example"
    assert start.path.startswith(scope.path)


def test_browsers_would_offer_to_install_it(manifest: dict[str, Any]) -> None:
    """192 and 512 px, one of them for a mask, standing alone: what Chromium asks of an app it
    offers to install (its own developers' pages, from memory)."""
    sizes = " ".join(icon.get("sizes", "") for icon in manifest["icons"])
    assert {"192x192", "512x512"} <= set(re.findall(r"\d+x\d+", sizes))
    assert any("maskable" in icon.get("purpose", "") for icon in manifest["icons"])
    assert manifest["display"] in ("standalone", "fullscreen", "minimal-ui")
