"""Whom a message may be sent to: addresses of the public internet, looked up once and kept to."""

from __future__ import annotations

import ipaddress
import socket
from typing import Final

from django.utils.translation import gettext as _

Address = ipaddress.IPv4Address | ipaddress.IPv6Address

#: Within these an address of IPv4 is hidden, which a gateway takes out again: NAT64 (RFC 6052),
#: 6to4 (RFC 3056), Teredo (RFC 4380), and those written with IPv4 within (RFC 4291, 2.5.5).
_HIDING: Final = tuple(
    ipaddress.ip_network(net)
    for net in ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "2001::/32", "::/96")
)


class NotPublic(Exception):
    """The name leads, also, where no message may go. The text says so to the secretary."""


def is_public(text: str) -> bool:
    """Whether an address as the resolver gives it is one of the public internet."""
    try:
        address: Address = ipaddress.ip_address(text.partition("%")[0])
    except ValueError:
        return False
    if isinstance(address, ipaddress.IPv6Address):
        if address.ipv4_mapped is not None:
            address = address.ipv4_mapped
        elif address.is_site_local or any(address in net for net in _HIDING):
            return False
    return address.is_global and not (
        address.is_multicast or address.is_reserved or address.is_unspecified
    )


def addresses_found(host: str, port: int, *, local: bool) -> list[str]:
    """What a name leads to, looked up once. Raises NotPublic where any of it is not public, and
    OSError for a name that leads nowhere. `local` lets everything pass, for tests and a try-out.
    """
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except UnicodeError as error:  # a part of the name is empty or too long
        raise OSError(_("There is no such name.")) from error
    addresses = list(dict.fromkeys(str(each[4][0]) for each in found))
    if not local and not all(is_public(address) for address in addresses):
        raise NotPublic(_("Its name leads to an address that is not public."))
    return addresses
