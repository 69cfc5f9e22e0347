#!/usr/bin/python3
"""A window of Debian's WebKitGTK that a driver may steer, and that keeps its data in a folder.

The browser which comes with the driver keeps nothing when steered.
    webkit_window.py FOLDER [--private]     (a private window: it keeps nothing either)
"""

import ctypes
import signal
import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402

PR_SET_PDEATHSIG = 1  # prctl(2)


def main(folder: str, *words: str) -> None:
    ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    if words:
        manager = WebKit2.WebsiteDataManager.new_ephemeral()
    else:
        manager = WebKit2.WebsiteDataManager(
            base_data_directory=f"{folder}/data", base_cache_directory=f"{folder}/cache"
        )
        manager.get_cookie_manager().set_persistent_storage(
            f"{folder}/cookies", WebKit2.CookiePersistentStorage.SQLITE
        )
    context = WebKit2.WebContext(website_data_manager=manager)
    context.connect("automation-started", lambda _, session: steer(context, session))
    context.connect("download-started", lambda _, download: keep(download, folder))
    context.set_automation_allowed(True)
    Gtk.main()


def steer(context: WebKit2.WebContext, session: WebKit2.AutomationSession) -> None:
    session.connect("create-web-view", lambda _: window(context))


def window(context: WebKit2.WebContext) -> WebKit2.WebView:
    view = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    frame = Gtk.Window(default_width=400, default_height=800)
    frame.add(view)
    frame.show_all()
    return view


def keep(download: WebKit2.Download, folder: str) -> None:
    def named(it: WebKit2.Download, name: str) -> bool:
        it.set_destination(f"file://{folder}/downloads/{name}")
        return True

    download.connect("decide-destination", named)


main(*sys.argv[1:])
