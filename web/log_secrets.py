"""What a log must not hold: whoever read it there could go in by it."""

from __future__ import annotations

import logging
import re

#: Addresses whose last parts open something by themselves: all after these is hidden.
SECRET_PATHS = ("/join/", "/recover/mail/", "/desk/account/address/", "/calendar/")
_SECRET = re.compile(rf"({'|'.join(map(re.escape, SECRET_PATHS))})[^\s\"'<>?#]+")
_QUERY = re.compile(r"\?[^\s\"'<>?]*=[^\s\"'<>]*")


class SecretsHidden(logging.Filter):
    """Invitations, links of letters and secret calendars are cut out of every line, and whatever
    was asked after a question mark: names are searched for there, and addresses gone back to."""

    def filter(self, record: logging.LogRecord) -> bool:
        words = record.getMessage()
        hidden = _QUERY.sub("?…", _SECRET.sub(r"\1…", words))
        if hidden != words:
            record.msg, record.args = hidden, None
        return True
